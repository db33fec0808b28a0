/** The answers about one rule's flights, as text for a terminal. Computes nothing. */
import type { Answers } from '../analysis/fly/summary.ts';
import type { Measured } from '../analysis/fly/touchdown.ts';
import { CAUTIONS } from '../report/cautions.ts';
import { count, percent, percentInterval, plain, shown, withInterval } from '../report/words.ts';
import { blocks, heading, table } from './terminal.ts';

const MEASURES = [
  { key: 'sink', label: 'sink speed', unit: 'm/s' },
  { key: 'slide', label: 'slide speed', unit: 'm/s' },
  { key: 'tilt', label: 'tilt', unit: 'rad' },
] as const;

/** Success probability, causes of failure, touchdown and scatter, each with its interval. */
export function answersText(a: Answers): string {
  return [oddsText(a.odds), causesText(a.causes), touchdownText(a.touchdown), scatterText(a.scatter)].join('\n\n');
}

export function cautionsText(): string {
  return CAUTIONS.join('\n');
}

function oddsText(o: Answers['odds']): string {
  const level = `${100 * o.level} %`;
  const flown = `${count(o.flights)} flights flown, ${count(o.noResult)} without a result`;
  if (o.share === null || o.interval === null || o.wilson === null) {
    return `${heading('Landing success  unknown')}\n  ${flown}: no flight has a result to count`;
  }
  const lines = [
    `${heading(`Landing success  ${percent(o.share, o.interval)}`)}   ${level} interval ${percentInterval(o.interval)}`,
    `  ${count(o.landed)} of ${count(o.counted)} flights with a result landed; ${flown}`,
    `  the interval is Clopper and Pearson's, which keeps its level whatever the truth; Wilson's: ${percentInterval(o.wilson)}`,
  ];
  if (o.noResult > 0 && o.open !== null) {
    const [none, all] = o.open.share;
    lines.push(`  had none or all of those without a result landed: ${percent(none, o.interval)} to ${percent(all, o.interval)}`);
  }
  return lines.join('\n');
}

function causesText(c: Answers['causes']): string {
  if (c.counted === 0) return heading('Causes of failure: no flight has a result');
  if (c.failed === 0) return heading('Causes of failure: none seen');
  let place = 0;
  let shared = false;
  const rows = c.ranked.map((cause, i) => {
    if (!shared) place = i + 1;
    const tied = shared || cause.tiedWithNext;
    shared = cause.tiedWithNext;
    return [
      `${place}${tied ? '=' : ''}`,
      cause.outcome,
      count(cause.count),
      percent(cause.share, cause.interval),
      percentInterval(cause.interval),
    ];
  });
  const lines = [heading('Causes of failure'), table(['', 'outcome', 'flights', 'share', `${100 * c.level} % interval`], rows, [1])];
  if (c.ranked.some((cause) => cause.tiedWithNext)) lines.push('  = : the order of these neighbours may be luck');
  if (c.unseen !== null)
    lines.push(`  not seen: ${c.unseen.outcomes.join(', ')} (each at most ${percent(c.unseen.interval[1], c.unseen.interval)})`);
  return lines.join('\n');
}

function touchdownText(t: Answers['touchdown']): string {
  const untouched = t.untouched > 0 ? `; ${count(t.untouched)} never touched the ground` : '';
  if (t.touched === 0) return heading(`Touchdown: no flight with a result touched the ground${untouched}`);
  const heads = ['', ...t.measures.sink.quantiles.map((q) => `${100 * q.share} %`), 'limit', 'within it'];
  const rows = MEASURES.map(({ key, label, unit }) => {
    const m = t.measures[key];
    const to = shown(unit);
    const cells = m.quantiles.map((q) =>
      withInterval(q.value * to.factor, q.interval === null ? null : [q.interval[0] * to.factor, q.interval[1] * to.factor]),
    );
    const within =
      m.shareWithin === null || m.shareWithinInterval === null
        ? ''
        : `${percent(m.shareWithin, m.shareWithinInterval)} (${percentInterval(m.shareWithinInterval)})`;
    return [`${label}, ${to.unit}`, ...cells, plain(m.limit * to.factor), within];
  });
  return [
    heading(`Touchdown, worst contact of ${count(t.touched)} flights that touched the ground${untouched}`),
    quantileTable(heads, rows),
    `  quantiles with their ${100 * t.level} % distribution-free intervals (too few: not enough flights for one); within the limit: Clopper and Pearson’s`,
    ...histogramLines('sink speed, m/s', t.measures.sink),
  ].join('\n');
}

/** One measure a column and one quantile a row: intervals are wide, terminals are not. */
function quantileTable(heads: readonly string[], rows: readonly (readonly string[])[]): string {
  const turned = heads.slice(1).map((head, i) => [head, ...rows.map((row) => row[i + 1])]);
  return table(['', ...rows.map((row) => row[0])], turned, [0]);
}

function histogramLines(label: string, m: Measured): string[] {
  const { edges, counts, above } = m.histogram;
  const mark = edges.findIndex((edge) => edge >= m.limit);
  const last = edges[edges.length - 1];
  const beyond = above > 0 ? `; ${count(above)} beyond ${plain(last)}` : '';
  return [
    '',
    `  ${label}${beyond}`,
    ...blocks(counts, mark, { left: plain(edges[0]), mark: `limit ${plain(m.limit)}`, right: plain(last) }),
  ];
}

function scatterText(s: Answers['scatter']): string {
  if (s.farthest === null) return heading('Landing scatter: no flight with a result came down');
  const lines = [heading(`Landing scatter of ${count(s.placed)} flights`)];
  if (s.cloud !== null) {
    const { cloud } = s;
    const rows = cloud.ellipses.map((e) => [
      `${100 * e.share} %`,
      plain(e.semiMajor),
      plain(e.semiMinor),
      ((((90 - (e.angle * 180) / Math.PI) % 180) + 180) % 180).toFixed(0),
      `${count(e.inside)} (${((100 * e.inside) / s.placed).toFixed(1)} %)`,
    ]);
    lines.push(
      table(['ellipse', 'half-axes, m', '', 'toward, deg', 'flights inside'], rows),
      `  about ${plain(cloud.meanEast)} m east, ${plain(cloud.meanNorth)} m north of the pad; half of them within ${plain(cloud.cepCounted)} m of there`,
    );
  }
  lines.push(`  greatest distance from the pad ${plain(s.farthest.distance)} m, flight ${s.farthest.number}`);
  return lines.join('\n');
}
