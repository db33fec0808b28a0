/**
 * A sweep on the page: success along a number with its bands, how the flights end along it, and the map of two numbers.
 */
import type { Sweep, SweepPoint } from '../../analysis/designs/sweep.ts';
import { OUTCOMES } from '../../flight/outputs.ts';
import { type Drawing, turnedLabels, WIDTH } from '../drawing.ts';
import { type Figure, figureMarkup, key, still } from '../figure.ts';
import { flightCount, sentence } from '../findings.ts';
import { staleWords } from '../heightWords.ts';
import { escaped, htmlTable, paragraphs } from '../markup.ts';
import { ENDINGS, endingOf } from '../palette.ts';
import { bandWords, pointWords, spreadWords, sweepFinding } from '../sweepWords.ts';
import { levelText } from '../verdict.ts';
import { count, plain, rounded, withInterval } from '../words.ts';

const VERDICTS: Readonly<Record<SweepPoint['verdict'], string>> = { best: 'the best', alike: 'not told from it', worse: 'worse' };

/** @param number of this sweep on the page */
export function sweepSection(drawing: Drawing, sweep: Sweep, number: number): string {
  const { axes, points, asProgrammed, flights, bandLevel, rule } = sweep;
  const name = axes.map(({ path }) => path).join(' and ');
  const figures =
    axes.length === 1
      ? [successFigure(drawing, sweep, number), endingsFigure(drawing, sweep, number)]
      : [mapFigure(drawing, sweep, number)];
  const motors = axes.some(({ path }) => /\.curve$/.test(path));
  const rows = points.map((point) => {
    const { values, odds, toBest, verdict, retuned, impulse, fallEnergy } = point;
    const { share, band } = bandWords(point);
    const sink = point.sink.find((q) => q.share === 0.5);
    return [
      values.join(', '),
      share,
      band,
      VERDICTS[verdict],
      toBest === null ? '' : withInterval(100 * toBest.difference, [100 * toBest.interval[0], 100 * toBest.interval[1]]),
      sink === undefined ? '' : withInterval(sink.value, sink.interval),
      ...(asProgrammed ? [] : [retuned === null ? '' : withInterval(retuned.shift, retuned.interval)]),
      ...(motors
        ? [
            `${plain(impulse.ascent)}, ${plain(impulse.landing)}`,
            fallEnergy === null ? '' : withInterval(fallEnergy.value, fallEnergy.interval),
          ]
        : []),
      count(odds.noResult),
    ];
  });
  const heads = [
    name,
    'landed',
    'band',
    'against the best',
    'points to the best',
    'median sink, m/s',
    ...(asProgrammed ? [] : ['height shift, m']),
    ...(motors ? ['impulse up and down, N s', 'fall, J'] : []),
    'no result',
  ];
  const stale = points.flatMap((point) =>
    staleWords(`${rule} at ${pointWords(sweep, point)}`, point.heightMiss, 'leave out --as-programmed'),
  );
  const notes = [
    `${flightCount(flights)} of each by rule ${rule}, ${asProgrammed ? 'as programmed' : 'each retuned by a height shift of its own'}. Bands hold for all points together (${levelText(bandLevel)} each); “worse” means that some other point is shown to land more often, all pairs taken together (McNemar’s exact test, Holm). The best is picked from these very flights: expect a little less of it.`,
    ...spreadWords(axes).map((line) => `${sentence(line)}.`),
    ...stale,
    ...(sweep.unfinished.length === 0 ? [] : [`Interrupted: not flown are ${sweep.unfinished.join('; ')}.`]),
  ];
  return `<section><h2 id="sweep-${number}">${escaped(`Success along ${name}`)}</h2>
${figures.some((f) => f !== null) ? '' : paragraphs([`${sweepFinding(sweep)}.`])}
<div class="grid">${figures
    .filter((f): f is Figure => f !== null)
    .map(figureMarkup)
    .join('\n')}</div>
${htmlTable(null, [{ head: heads[0], align: 'left' }, ...heads.slice(1).map((head) => ({ head }))], rows, `Success along ${name}`)}
<div class="note">${paragraphs(notes)}</div></section>`;
}

/** Digits of a value beside its axis, where they tell all values apart; the table has all of them. */
const DIGITS = 3;

/** A value without the unit that the axis is labelled with. */
function ticksOf({ axes }: Sweep, a: number): ReadonlyMap<string, string> {
  const short = (number: number): string => String(Number(number.toPrecision(DIGITS)));
  const { values } = axes[a];
  const alike = new Set(values.map(({ number }) => (number === null ? null : short(number)))).size < values.length;
  return new Map(values.map(({ text, number }) => [text, number === null ? text : alike ? String(number) : short(number)]));
}

function labelOf({ axes }: Sweep, a: number): string {
  const { path, unit } = axes[a];
  return unit === '' ? path : `${path}, ${unit}`;
}

function successFigure({ Plot, draw }: Drawing, sweep: Sweep, number: number): Figure | null {
  const ticks = ticksOf(sweep, 0);
  const marks = sweep.points.flatMap(({ values, odds: { share }, band, verdict }) =>
    share === null || band === null
      ? []
      : [{ value: ticks.get(values[0]) ?? '', share: 100 * share, low: 100 * band[0], high: 100 * band[1], open: verdict === 'worse' }],
  );
  if (marks.length === 0) return null;
  const title = sweepFinding(sweep);
  const drawn = draw(`Success at each value with its band. ${title}.`, {
    width: WIDTH,
    x: { type: 'point', label: labelOf(sweep, 0), domain: [...ticks.values()], padding: 0.5, ...turnedLabels([...ticks.values()]) },
    y: { label: 'landed, %', domain: [0, Math.min(100, 1.15 * Math.max(...marks.map(({ high }) => high)))], ticks: 5, grid: true },
    marks: [
      Plot.ruleX(marks, { x: 'value', y1: 'low', y2: 'high', stroke: 'var(--measure)', strokeWidth: 2 }),
      Plot.dot(marks, {
        x: 'value',
        y: 'share',
        r: 4.5,
        stroke: 'var(--measure)',
        strokeWidth: 1.5,
        fill: (m) => (m.open ? 'var(--paper)' : 'var(--measure)'),
      }),
    ],
  });
  const caption = `Filled: cannot be told from the best. Lines: bands that hold for all ${sweep.points.length} values together (exact, Bonferroni).`;
  return still(`sweep-success-${number}`, title, drawn, caption);
}

function endingsFigure({ Plot, draw }: Drawing, sweep: Sweep, number: number): Figure | null {
  const ticks = ticksOf(sweep, 0);
  const seen = OUTCOMES.filter((_, o) => sweep.points.some(({ outcomes }) => outcomes[o] > 0));
  const parts = sweep.points.flatMap(({ values, outcomes, odds }) =>
    seen.map((outcome) => ({
      value: ticks.get(values[0]) ?? '',
      share: odds.flights === 0 ? 0 : (100 * outcomes[OUTCOMES.indexOf(outcome)]) / odds.flights,
      colour: `var(--${endingOf(outcome)})`,
    })),
  );
  if (parts.length === 0) return null;
  const most = sweep.points.map(({ outcomes, values }) => {
    const lost = OUTCOMES.map((outcome, o) => ({ outcome, n: outcome === 'landed' ? 0 : outcomes[o] }));
    const top = lost.reduce((a, b) => (b.n > a.n ? b : a));
    return { value: values[0], ...top };
  });
  const [first, last] = [most[0], most[most.length - 1]];
  const title =
    first.n === 0 && last.n === 0
      ? 'At neither end was a flight lost'
      : `Lost most often: at ${first.value} ${first.n === 0 ? 'none' : `“${first.outcome}”`}, at ${last.value} ${last.n === 0 ? 'none' : `“${last.outcome}”`}`;
  const drawn = draw(`How flights end at each value, stacked. ${title}.`, {
    width: WIDTH,
    x: { type: 'band', label: labelOf(sweep, 0), domain: [...ticks.values()], padding: 0.15, ...turnedLabels([...ticks.values()]) },
    y: { label: 'share of all flights, %', domain: [0, 100], ticks: 5 },
    marks: [Plot.barY(parts, { x: 'value', y: 'share', fill: 'colour', stroke: 'var(--paper)', strokeWidth: 0.5 })],
  });
  const endings = ENDINGS.filter((ending) => seen.some((outcome) => endingOf(outcome) === ending));
  const figure = still(
    `sweep-endings-${number}`,
    title,
    drawn,
    `From the bottom: ${seen.join(', ')}. ${flightCount(sweep.flights)} at each value; shares as flown, their bands are in the table for landing alone.`,
  );
  return { ...figure, picture: `${figure.picture}${key(endings)}` };
}

function mapFigure({ Plot, draw }: Drawing, sweep: Sweep, number: number): Figure | null {
  const [across, up] = [ticksOf(sweep, 0), ticksOf(sweep, 1)];
  const cells = sweep.points.flatMap(({ values, odds: { share }, verdict }) =>
    share === null
      ? []
      : [{ x: across.get(values[0]) ?? '', y: up.get(values[1]) ?? '', share, words: rounded(100 * share, 0), ring: verdict !== 'worse' }],
  );
  if (cells.length === 0) return null;
  const most = Math.max(...cells.map(({ share }) => share), 1e-9);
  const title = sweepFinding(sweep);
  const drawn = draw(`Success at each pair of values. ${title}.`, {
    width: WIDTH,
    marginLeft: 72,
    x: { type: 'band', label: labelOf(sweep, 0), domain: [...across.values()], padding: 0.05 },
    y: { type: 'band', label: labelOf(sweep, 1), labelOffset: 62, domain: [...up.values()].reverse(), padding: 0.05 },
    marks: [
      Plot.cell(cells, { x: 'x', y: 'y', fill: 'var(--measure)', fillOpacity: ({ share }: { share: number }) => (0.35 * share) / most }),
      Plot.cell(
        cells.filter(({ ring }) => ring),
        { x: 'x', y: 'y', fill: 'none', stroke: 'var(--ink)', strokeWidth: 1.5 },
      ),
      Plot.text(cells, { x: 'x', y: 'y', text: 'words', fill: 'var(--ink)' }),
    ],
  });
  const caption = `Landed, % of flights with a result; the fuller the more. Framed: cannot be told from the best. ${flightCount(sweep.flights)} at each pair; bands are in the table.`;
  return still(`sweep-map-${number}`, title, drawn, caption);
}
