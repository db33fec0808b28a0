/**
 * Attempts in a row on the page: odds by attempt against fresh luck, how unlike vehicles are, what to change after a
 * miss, what is worth measuring, a few campaigns in full.
 */
import type { Campaign } from '../../analysis/campaign/campaignStudy.ts';
import type { Policies } from '../../analysis/campaign/policies.ts';
import type { Rival } from '../../analysis/campaign/rivals.ts';
import type { TypicalCampaign } from '../../analysis/campaign/typicalCampaigns.ts';
import type { Vehicles } from '../../analysis/campaign/vehicles.ts';
import { type Drawing, WIDTH } from '../drawing.ts';
import { type Figure, figureMarkup, still } from '../figure.ts';
import { inputWords } from '../inputWords.ts';
import { escaped, htmlTable, paragraphs } from '../markup.ts';
import { count, percent, percentInterval, plain, withInterval } from '../words.ts';

/** Room of the names beside the bars, in the picture's units. */
const NAME_ROOM = 16;
const LETTER_ROOM = 7.4;

export function campaignSection(drawing: Drawing, c: Campaign, number: number): string {
  const { firstLanding, vehicles, policies, holds } = c;
  if (firstLanding === null) return `<section><h2>Attempts in a row, rule ${escaped(c.rule)}</h2>${paragraphs([c.finding])}</section>`;
  const id = (name: string): string => `campaign-${name}-${number}`;
  const figures = [
    oddsFigure(drawing, c, id('odds')),
    ...(vehicles === null ? [] : [vehiclesFigure(drawing, vehicles, id('vehicles'))]),
    ...(policies === null || policies.rivals.length === 0
      ? []
      : [
          savedFigure(drawing, id('policies'), policies.rivals, policies.finding, POLICY_CAPTION),
          gainFigure(drawing, id('gains'), policies),
        ]),
    ...(holds === null || holds.held.length === 0
      ? []
      : [
          savedFigure(
            drawing,
            id('holds'),
            holds.held.map((one) => ({ ...one, name: inputWords(one.name) })),
            holds.finding,
            HOLD_CAPTION,
          ),
        ]),
    ...c.typical.map((one) => missesFigure(drawing, one, id(`misses-${one.campaign}`))),
  ].filter((figure): figure is Figure => figure !== null);
  const rows = firstLanding.needed.map(({ odds, attempts, least, most, naive, naiveLeast, naiveMost }) => [
    `${Math.round(100 * odds)} %`,
    attempts === null
      ? `more than ${count(c.plan.attempts)}`
      : `${count(attempts)} (${least ?? '?'} to ${most === null ? 'more' : count(most)})`,
    naive === null ? 'no number' : `${count(naive)} (${count(naiveLeast)} to ${naiveMost === null ? 'no number' : count(naiveMost)})`,
  ]);
  const needed = htmlTable(
    'Attempts, each with a pair of motors, for the odds of a first landing; 95 % intervals',
    [{ head: 'odds' }, { head: 'attempts' }, { head: 'if fresh luck' }],
    rows,
    'Attempts for the odds of a first landing',
  );
  return `<section><h2 id="${id('section')}">Attempts in a row, rule ${escaped(c.rule)}</h2>
${paragraphs([c.finding, ...(policies === null ? [] : [policies.finding]), ...(holds === null ? [] : [holds.finding]), ...costWords(c)])}
${needed}
<div class="grid">${figures.map(figureMarkup).join('\n')}</div></section>`;
}

const POLICY_CAPTION =
  'Against the program left as it is, campaign by campaign on the same luck; the intervals hold all together (95 %). Right of 0: fewer attempts.';
const HOLD_CAPTION =
  'The part that stays held at its centre, as if measured and corrected, on the same luck; what is fresh on every flight stays fresh. The intervals hold all together (95 %). Right of 0: fewer attempts.';

function costWords({ costs }: Campaign): string[] {
  if (costs === null) return [];
  const { currency, mean, rebuilds } = costs;
  const whole = (x: number): string => count(Math.round(x));
  return [
    `A campaign costs ${whole(mean.value)} ${currency} on the mean (${whole(mean.interval[0])} to ${whole(mean.interval[1])}), with ${plain(rebuilds)} rebuilds, up to its first landing or its last attempt.`,
  ];
}

function oddsFigure({ Plot, draw }: Drawing, c: Campaign, id: string): Figure | null {
  const { firstLanding: odds, vehicles } = c;
  if (odds === null) return null;
  const last = odds.curve[odds.curve.length - 1];
  const points = odds.curve.map((p, i) => ({
    attempt: p.attempt,
    share: 100 * p.share,
    low: 100 * p.interval[0],
    high: 100 * p.interval[1],
    naive: 100 * p.naive,
    naiveLow: 100 * p.naiveInterval[0],
    naiveHigh: 100 * p.naiveInterval[1],
    fit: vehicles === null ? null : 100 * vehicles.fit.curve[i],
    title: `by attempt ${p.attempt}: ${percent(p.share, p.interval)} (${percentInterval(p.interval)}); if fresh luck ${percent(p.naive, p.naiveInterval)}`,
  }));
  const title = `By attempt ${count(last.attempt)}, ${percent(last.share, last.interval)} (${percentInterval(last.interval)}) of campaigns have landed`;
  const drawn = draw(`Share of campaigns that have landed, by attempt. ${points.map((p) => p.title).join('; ')}.`, {
    width: WIDTH,
    height: 300,
    marginTop: 34,
    x: { label: 'attempt', ticks: Math.min(10, points.length), tickFormat: 'd' },
    y: { label: 'have landed, %', domain: [0, 100], grid: true, ticks: 5 },
    marks: [
      Plot.areaY(points, { x: 'attempt', y1: 'naiveLow', y2: 'naiveHigh', fill: 'var(--ruleB)', fillOpacity: 0.18 }),
      Plot.line(points, { x: 'attempt', y: 'naive', stroke: 'var(--ruleB)', strokeDasharray: '6 3', strokeWidth: 1.5 }),
      ...(vehicles === null ? [] : [Plot.line(points, { x: 'attempt', y: 'fit', stroke: 'var(--ruleA)', strokeWidth: 1 })]),
      Plot.ruleX(points, { x: 'attempt', y1: 'low', y2: 'high', stroke: 'var(--ruleA)', strokeWidth: 1.5, title: 'title' }),
      Plot.dot(points, { x: 'attempt', y: 'share', fill: 'var(--ruleA)', r: 3, title: 'title' }),
      Plot.text(['as it is'], { frameAnchor: 'top-left', dx: 8, dy: -20, fill: 'var(--ruleA)', fontWeight: 'bold' }),
      Plot.text(['if every attempt were fresh luck'], {
        frameAnchor: 'top-left',
        dx: 80,
        dy: -20,
        fill: 'var(--ruleB)',
        fontWeight: 'bold',
      }),
    ],
  });
  const fit = vehicles === null ? '' : ' Thin line: by vehicles whose landing probability differs by a beta distribution.';
  return still(
    id,
    title,
    drawn,
    `${count(odds.campaigns)} campaigns; 95 % intervals (Clopper and Pearson), each for itself. Broken line: one flight of a vehicle nobody knows, again and again; band: its interval.${fit}`,
  );
}

function vehiclesFigure({ Plot, draw }: Drawing, v: Vehicles, id: string): Figure {
  const bars = v.tenths.map((share, i) => ({
    from: 10 * i,
    to: 10 * (i + 1),
    share: 100 * share,
    title: `${percent(share, [share, share])} of vehicles land ${10 * i} to ${10 * (i + 1)} % of their flights`,
  }));
  const tenth = v.quantiles.find(({ share }) => share === 0.1);
  const title =
    tenth === undefined
      ? 'How often vehicles land'
      : `One builder in ten has a vehicle that lands less than ${percent(tenth.value, tenth.interval)} (${percentInterval(tenth.interval)}) of its flights`;
  const drawn = draw(`Vehicles by the share of their flights that land. ${bars.map((b) => b.title).join('; ')}.`, {
    width: WIDTH,
    height: 300,
    x: { label: 'flights of a vehicle that land, %', domain: [0, 100], ticks: 10 },
    y: { label: 'vehicles, %', grid: true, ticks: 5 },
    marks: [
      Plot.rectY(bars, { x1: 'from', x2: 'to', y: 'share', fill: 'var(--measure)', inset: 1, title: 'title' }),
      Plot.ruleY([0], { stroke: 'var(--faint)' }),
    ],
  });
  const between = v.correlation;
  return still(
    id,
    title,
    drawn,
    `By a beta distribution fitted to the campaigns; of the variance of a flight’s landing ${percent(between.value, between.interval)} (${percentInterval(between.interval)}) lies between vehicles, with the days and motors they met. The fit lies within the counted odds’ interval at ${count(v.fit.within)} of ${count(v.fit.curve.length)} attempts.`,
  );
}

function savedFigure({ Plot, draw }: Drawing, id: string, rivals: readonly Rival[], finding: string, caption: string): Figure {
  const rows = rivals.map(({ name, saved, verdict }) => ({
    name,
    saved: saved.value,
    low: saved.interval[0],
    high: saved.interval[1],
    colour: verdict === 'fewer' ? 'var(--ruleA)' : verdict === 'more' ? 'var(--ruleB)' : 'var(--faint)',
    title: `${name}: ${withInterval(saved.value, saved.interval)} attempts fewer`,
  }));
  const [low, high] = [Math.min(0, ...rows.map((row) => row.low)), Math.max(0, ...rows.map((row) => row.high))];
  const rim = 0.03 * (high - low);
  const drawn = draw(`Attempts saved. ${rows.map((row) => row.title).join('; ')}.`, {
    width: WIDTH,
    height: 62 + 24 * rows.length,
    marginLeft: NAME_ROOM + LETTER_ROOM * Math.max(...rows.map(({ name }) => name.length)),
    x: { label: 'attempts fewer up to the first landing', domain: [low - rim, high + rim], ticks: 5, grid: true },
    y: { label: null, domain: rows.map(({ name }) => name), padding: 0.35 },
    marks: [
      Plot.ruleX([0], { stroke: 'var(--faint)' }),
      Plot.ruleY(rows, { y: 'name', x1: 'low', x2: 'high', stroke: 'colour', strokeWidth: 2, title: 'title' }),
      Plot.dot(rows, { y: 'name', x: 'saved', fill: 'colour', r: 4, title: 'title' }),
    ],
  });
  return still(id, firstSentence(finding), drawn, `${count(rivals[0].pairs)} campaigns each way. ${caption}`);
}

/** Attempts saved over how much of each miss is corrected; nothing where fewer than three gains were flown. */
function gainFigure({ Plot, draw }: Drawing, id: string, { rivals, best, alike }: Policies): Figure | null {
  const points = rivals
    .flatMap(({ name, saved }) => {
      const gain = Number(/^correct:(.*)$/.exec(name)?.[1] ?? Number.NaN);
      if (Number.isNaN(gain)) return [];
      return [
        {
          name,
          gain: 100 * gain,
          saved: saved.value,
          low: saved.interval[0],
          high: saved.interval[1],
          title: `${plain(100 * gain)} % of each miss: ${withInterval(saved.value, saved.interval)} attempts fewer`,
        },
      ];
    })
    .sort((a, b) => a.gain - b.gain);
  if (points.length < 3) return null;
  const percents = (found: readonly (typeof points)[number][]): string => found.map(({ gain }) => `${plain(gain)} %`).join(', ');
  const others = points.filter(({ name }) => alike.includes(name));
  const winner = points.find(({ name }) => name === best);
  const title =
    winner === undefined
      ? 'How much of each miss to correct: no gain came out best of all policies'
      : `Correcting ${percents([winner])} of each miss came out best${others.length === 0 ? '' : `; ${percents(others)} ${others.length === 1 ? 'is' : 'are'} not told apart from it`}`;
  const drawn = draw(`Attempts saved over the part of each miss that is corrected. ${points.map((p) => p.title).join('; ')}.`, {
    width: WIDTH,
    height: 280,
    x: { label: 'part of each miss corrected, %', domain: [0, 1.05 * points[points.length - 1].gain], ticks: 6 },
    y: { label: 'attempts fewer', grid: true, ticks: 5 },
    marks: [
      Plot.ruleY([0], { stroke: 'var(--faint)' }),
      Plot.line([{ gain: 0, saved: 0 }, ...points], { x: 'gain', y: 'saved', stroke: 'var(--ruleA)', strokeWidth: 1 }),
      Plot.ruleX(points, { x: 'gain', y1: 'low', y2: 'high', stroke: 'var(--ruleA)', strokeWidth: 1.5, title: 'title' }),
      Plot.dot(points, { x: 'gain', y: 'saved', fill: 'var(--ruleA)', r: 3.5, title: 'title' }),
    ],
  });
  return still(id, title, drawn, `At 0 the program is left as it is. ${POLICY_CAPTION.replace(' Right of 0: fewer attempts.', '')}`);
}

/** The finding stands in full above; over the picture its first sentence. */
function firstSentence(finding: string): string {
  return finding.replace(/\. [A-Z][\s\S]*$|\.$/, '');
}

function missesFigure({ Plot, draw }: Drawing, t: TypicalCampaign, id: string): Figure {
  const colours = ['var(--ruleB)', 'var(--ruleA)'];
  const ways = t.ways.map(({ policy, attempts }, k) => ({
    policy,
    colour: colours[k % colours.length],
    dash: k === 0 ? '6 3' : 'none',
    end: attempts.some(({ landed }) => landed) ? `landed at attempt ${attempts.length}` : `never landed in ${attempts.length}`,
    points: attempts.flatMap(({ miss, landed }, i) =>
      miss === null
        ? []
        : [
            {
              attempt: i + 1,
              miss,
              landed,
              colour: colours[k % colours.length],
              title: `attempt ${i + 1}, ${policy}: ${landed ? 'landed' : `${plain(miss)} m`}`,
            },
          ],
    ),
  }));
  const most = Math.max(...t.ways.map(({ attempts }) => attempts.length));
  const title = `Campaign ${count(t.campaign)}: ${ways.map(({ policy, end }) => `${policy} ${end}`).join(', ')}`;
  const points = ways.flatMap((way) => way.points);
  // Where all misses are none there is still an axis, to a metre either way.
  const [low, high] = [Math.min(-1, ...points.map(({ miss }) => miss)), Math.max(1, ...points.map(({ miss }) => miss))];
  const drawn = draw(`Misses as read off, by attempt. ${title}. ${points.map((p) => p.title).join('; ')}.`, {
    width: WIDTH,
    height: 260,
    marginTop: 34,
    x: { label: 'attempt', domain: [0.5, Math.max(2, most) + 0.5], ticks: Math.min(10, most), tickFormat: 'd' },
    y: { label: 'miss as read off, m', domain: [1.05 * low, 1.05 * high], grid: true, ticks: 5 },
    marks: [
      Plot.ruleY([0], { stroke: 'var(--faint)' }),
      ...ways.map(({ points: own, colour, dash }) =>
        Plot.line(own, { x: 'attempt', y: 'miss', stroke: colour, strokeDasharray: dash, strokeWidth: 1.5 }),
      ),
      Plot.dot(
        points.filter(({ landed }) => !landed),
        { x: 'attempt', y: 'miss', stroke: 'colour', fill: 'var(--panel)', r: 3.5, title: 'title' },
      ),
      Plot.dot(
        points.filter(({ landed }) => landed),
        { x: 'attempt', y: 'miss', fill: 'colour', r: 5, title: 'title' },
      ),
      ...ways.map(({ policy, colour }, k) =>
        Plot.text([policy], { frameAnchor: 'top-left', dx: 8 + 150 * k, dy: -20, fill: colour, fontWeight: 'bold' }),
      ),
    ],
  });
  return still(
    id,
    title,
    drawn,
    `The campaign of the lowest number among those that end when ${Math.round(100 * t.odds)} % of all have landed, or never where fewer do. Above 0: lit too high. Full dot: landed. On 0 without landing: it came down at a good speed and failed of something else. Where a dot lacks, no miss was to be seen.`,
  );
}
