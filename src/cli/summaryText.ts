/** The answers about one rule's flights, as text for a terminal. Computes nothing. */
import type { AttemptPlan } from '../analysis/fly/attemptPlan.ts';
import type { ContactAnswer, MeasuredContact } from '../analysis/fly/contact.ts';
import type { Answers } from '../analysis/fly/summary.ts';
import type { MeasuredTouchdown } from '../analysis/fly/touchdown.ts';
import { CAUTIONS } from '../report/cautions.ts';
import { EVEN_DESIGN } from '../report/designWords.ts';
import { count, percent, percentInterval, plain, shown, withInterval } from '../report/words.ts';
import type { Study } from '../study/study.ts';
import { blocks, heading, table } from './terminal.ts';

const MEASURES = [
  { key: 'sink', label: 'sink speed', unit: 'm/s' },
  { key: 'slide', label: 'slide speed', unit: 'm/s' },
  { key: 'tilt', label: 'tilt', unit: 'rad' },
] as const;

/** Success probability, causes of failure, touchdown and scatter, each with its interval. */
export function answersText(a: Answers, design: Study['design']): string {
  return [
    oddsText(a.odds, design),
    ...(a.attempts === null ? [] : [attemptsText(a.attempts)]),
    causesText(a.causes),
    touchdownText(a.touchdown),
    ...(a.contact === null ? [] : [contactText(a.contact)]),
    scatterText(a),
  ].join('\n\n');
}

export function cautionsText(): string {
  return CAUTIONS.join('\n');
}

function oddsText(o: Answers['odds'], design: Study['design']): string {
  const level = `${100 * o.level} %`;
  const flown = `${count(o.flights)} flights flown, ${count(o.noResult)} without a result`;
  if (o.share === null || o.interval === null || o.wilson === null) {
    return `${heading('Landing success  unknown')}\n  ${flown}: no flight has a result to count`;
  }
  const lines = [
    `${heading(`Landing success  ${percent(o.share, o.interval)}`)}   ${level} interval ${percentInterval(o.interval)}`,
    `  ${count(o.landed)} of ${count(o.counted)} flights with a result landed; ${flown}`,
    o.nominal === o.level
      ? `  the interval is Clopper and Pearson's, which keeps its level whatever the truth; Wilson's: ${percentInterval(o.wilson)}`
      : `  flown until narrow enough, so the interval is Clopper and Pearson's at ${100 * o.nominal} %: with that stop it covers at least ${level}`,
  ];
  if (design !== 'independent') {
    lines.push(`  ${EVEN_DESIGN}`);
  }
  if (o.noResult > 0 && o.open !== null) {
    const [none, all] = o.open.share;
    lines.push(`  had none or all of those without a result landed: ${percent(none, o.interval)} to ${percent(all, o.interval)}`);
  }
  return lines.join('\n');
}

/** Chances over several attempts, and what it takes to claim a reliability. */
function attemptsText({ within, assured, claims }: AttemptPlan): string {
  const chances = within.map(({ attempts, chance, interval }) => [`${attempts}`, percent(chance, interval), percentInterval(interval)]);
  const { assurance, attempts, least, most } = assured;
  const sure = percent(assurance, [0, 1]);
  const enough =
    attempts === null || most === null
      ? `no number of attempts is sure to bring one with ${sure}; at least ${count(least)}`
      : `${count(attempts)} attempts bring one with ${sure} (${count(least)} to ${count(most)} over the interval)`;
  const needed = claims.map(({ reliability, failures, attempts: number }) => [
    percent(reliability, [0, 1]),
    failures === 0 ? 'all of them landed' : `${failures} of them lost`,
    count(number),
  ]);
  const confidence = percent(claims[0].confidence, [0, 1]);
  return [
    heading('A first landing within so many attempts'),
    table(['attempts', 'chance', '95 % interval'], chances),
    `  ${enough}`,
    '  each attempt with fresh luck by this study: nothing learnt, nothing broken, the motors of one kind; the real vehicle may differ',
    '',
    heading(`Attempts to claim a reliability with ${confidence} confidence`),
    table(['lands at least', 'if', 'attempts'], needed, [1]),
    '  real attempts of one unchanged vehicle, their number fixed beforehand; no simulated flight counts',
  ].join('\n');
}

function causesText(c: Answers['causes']): string {
  if (c.counted === 0) return heading('Causes of failure: no flight has a result');
  if (c.failed === 0) return heading('Causes of failure: none seen');
  const rows = c.ranked.map((cause) => [
    `${cause.place}${cause.shared ? '=' : ''}`,
    cause.outcome,
    count(cause.count),
    percent(cause.share, cause.interval),
    percentInterval(cause.interval),
  ]);
  const lines = [heading('Causes of failure'), table(['', 'outcome', 'flights', 'share', `${100 * c.level} % interval`], rows, [1])];
  if (c.ranked.some(({ shared }) => shared)) lines.push('  = : the order of these neighbours may be luck');
  if (c.unseen !== null)
    lines.push(`  not seen: ${c.unseen.outcomes.join(', ')} (each at most ${percent(c.unseen.interval[1], c.unseen.interval)})`);
  return lines.join('\n');
}

/** Quantiles of a measure with their intervals, and the share of flights within its limit. @param factor from SI */
function measuredCells(
  m: Omit<MeasuredContact, 'mark' | 'histogram'>,
  factor: number,
): { readonly cells: string[]; readonly within: string } {
  return {
    cells: m.quantiles.map(({ value, interval }) =>
      withInterval(value * factor, interval === null ? null : [interval[0] * factor, interval[1] * factor]),
    ),
    within:
      m.shareWithin === null || m.shareWithinInterval === null
        ? ''
        : `${percent(m.shareWithin, m.shareWithinInterval)} (${percentInterval(m.shareWithinInterval)})`,
  };
}

function touchdownText(t: Answers['touchdown']): string {
  const untouched = t.untouched > 0 ? `; ${count(t.untouched)} never touched the ground` : '';
  if (t.touched === 0) return heading(`Touchdown: no flight with a result touched the ground${untouched}`);
  const heads = ['', ...t.measures.sink.quantiles.map((q) => `${100 * q.share} %`), 'limit', 'within it'];
  const rows = MEASURES.map(({ key, label, unit }) => {
    const m = t.measures[key];
    const to = shown(unit);
    const { cells, within } = measuredCells(m, to.factor);
    return [
      `${label}, ${to.unit}`,
      ...cells,
      m.limit === null ? 'none' : `${plain(m.limit * to.factor)}${m.ofLegs ? ' (legs)' : ''}`,
      within,
    ];
  });
  return [
    heading(`Touchdown, worst contact of ${count(t.touched)} flights that touched the ground${untouched}`),
    quantileTable(heads, rows),
    `  quantiles with their ${100 * t.level} % distribution-free intervals (too few: not enough flights for one); within the limit: Clopper and Pearson’s`,
    ...histogramLines('sink speed, m/s', t.measures.sink),
  ].join('\n');
}

const CONTACTS = [
  { key: 'peakFootForce', label: 'foot force', unit: 'N' },
  { key: 'greatestLean', label: 'lean after', unit: 'rad' },
  { key: 'slidPath', label: 'slid path', unit: 'm' },
] as const;

function contactText(c: ContactAnswer): string {
  if (c.touched === 0) return heading('Legs and ground: in no flight with a result did a foot touch');
  const heads = ['', ...c.measures.peakFootForce.quantiles.map((q) => `${100 * q.share} %`), 'strength', 'within it'];
  const rows = CONTACTS.map(({ key, label, unit }) => {
    const m = c.measures[key];
    const to = shown(unit);
    const { cells, within } = measuredCells(m, to.factor);
    return [`${label}, ${to.unit}`, ...cells, m.mark === null ? '' : plain(m.mark * to.factor), within];
  });
  const rebounds =
    c.shareRebounded === null || c.shareReboundedInterval === null
      ? []
      : [
          `  all feet came off the ground again in ${percent(c.shareRebounded, c.shareReboundedInterval)} (${percentInterval(c.shareReboundedInterval)}) of them`,
        ];
  return [
    heading(`Legs and ground, of ${count(c.touched)} flights in which a foot touched`),
    quantileTable(heads, rows),
    '  quantiles with their distribution-free intervals; strength is the nominal one',
    ...rebounds,
  ].join('\n');
}

/** One measure a column and one quantile a row: intervals are wide, terminals are not. */
function quantileTable(heads: readonly string[], rows: readonly (readonly string[])[]): string {
  const turned = heads.slice(1).map((head, i) => [head, ...rows.map((row) => row[i + 1])]);
  return table(['', ...rows.map((row) => row[0])], turned, [0]);
}

function histogramLines(label: string, m: MeasuredTouchdown): string[] {
  const { limit } = m;
  if (limit === null) return [];
  const { edges, counts, above } = m.histogram;
  const mark = edges.findIndex((edge) => edge >= limit);
  const last = edges[edges.length - 1];
  const beyond = above > 0 ? `; ${count(above)} beyond ${plain(last)}` : '';
  return [
    '',
    `  ${label}${beyond}`,
    ...blocks(counts, mark, { left: plain(edges[0]), mark: `${m.ofLegs ? 'legs stand' : 'limit'} ${plain(limit)}`, right: plain(last) }),
  ];
}

function scatterText({ scatter: s, wind }: Answers): string {
  if (s.farthest === null) return heading('Landing scatter: no flight with a result came down');
  const lines = [heading(`Landing scatter of ${count(s.placed)} flights`)];
  if (s.cloud !== null) {
    const { cloud } = s;
    const rows = cloud.ellipses.map((e) => [
      `${100 * e.share} %`,
      plain(e.semiMajor),
      plain(e.semiMinor),
      ((((90 - (e.angle * 180) / Math.PI) % 180) + 180) % 180).toFixed(0),
      `${percent(e.inside / s.placed, e.insideInterval)} (${percentInterval(e.insideInterval)})`,
    ]);
    lines.push(
      table(['ellipse', 'half-axes, m', '', 'toward, deg', 'flights inside, 95 % interval'], rows),
      `  middle ${withInterval(cloud.meanEast, cloud.meanEastInterval)} m east, ${withInterval(cloud.meanNorth, cloud.meanNorthInterval)} m north of the pad; half of them within ${withInterval(cloud.cepCounted, cloud.cepInterval)} m of there`,
    );
  }
  const within = s.distances.map((q) => `${100 * q.share} % within ${withInterval(q.value, q.interval)} m`).join(', ');
  lines.push(`  of the pad: ${within}`);
  lines.push(
    `  greatest distance of these flights from the pad ${plain(s.farthest.distance)} m, flight ${s.farthest.number}: others can come down farther`,
  );
  if (wind.speed !== null) {
    const toward = wind.toward === null ? 'from no one direction' : `toward ${bearing(wind.toward)} deg`;
    lines.push(`  mean wind ${plain(wind.speed)} m/s, ${toward}`);
  }
  return lines.join('\n');
}

/** Compass bearing of a direction, whole degrees from 0 to 359. */
function bearing({ east, north }: { readonly east: number; readonly north: number }): string {
  return String(Math.round((Math.atan2(east, north) * 180) / Math.PI + 360) % 360);
}
