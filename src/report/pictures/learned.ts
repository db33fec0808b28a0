/** What a logbook taught: inputs before and after, how far out each observation lies, and the next attempt's odds. */
import type { Markish } from '@observablehq/plot';
import type { Learning } from '../../analysis/learn/learning.ts';
import type { Range } from '../../analysis/learn/narrowed.ts';
import type { LandingOdds } from '../../analysis/learn/nextAttempt.ts';
import { type Drawing, type Plot, WIDTH } from '../drawing.ts';
import { type Figure, still } from '../figure.ts';
import { inputWords } from '../inputWords.ts';
import { grownRows, landingWords, rangeWords } from '../learningWords.ts';
import { count, percent, plain, shown } from '../words.ts';

/** Rows in a picture at most. */
const MOST = 14;
/** Height of a row, and of what stands around the rows, in the picture's units. */
const ROW = 26;
const AROUND = 62;
/** Room of the names beside the rows. */
const NAME_ROOM = 16;
const LETTER_ROOM = 7.4;

export function learnedFigures(drawing: Drawing, learning: Learning): readonly Figure[] {
  return [
    surpriseFigure(drawing, learning),
    movedFigure(drawing, learning),
    nextFigure(drawing, learning),
    grownFigure(drawing, learning),
  ].filter((f) => f !== null);
}

/** Ahead of every title that hangs on the particles: nothing of them may be taken where two runs disagree. */
function settled({ agreement }: Learning, title: string): string {
  return agreement.settled ? title : `Not settled, so take none of it: ${title}`;
}

const nameRoom = (names: readonly string[]): number => NAME_ROOM + LETTER_ROOM * Math.max(...names.map(({ length }) => length));

interface IntervalRow {
  readonly name: string;
  readonly share: number;
  readonly low: number;
  readonly high: number;
  /** Drawn black. */
  readonly strong: boolean;
  readonly title: string;
}

/** A row each: a line from low to high, and a dot at the share. */
function intervalMarks(plot: Plot, rows: IntervalRow[]): Markish[] {
  const colour = ({ strong }: IntervalRow): string => (strong ? 'var(--ink)' : 'var(--measure)');
  return [
    plot.ruleY(rows, { y: 'name', x1: 'low', x2: 'high', stroke: 'var(--measure)', strokeWidth: 2, title: 'title' }),
    plot.dot(rows, { x: 'share', y: 'name', r: 4.5, strokeWidth: 1.5, stroke: colour, fill: colour, title: 'title' }),
  ];
}

function surpriseFigure({ Plot, draw }: Drawing, { surprise }: Learning): Figure | null {
  const { observations, flights } = surprise;
  if (observations.length === 0) return null;
  // Half a flight: what none did has a place too.
  const least = 50 / flights;
  const ordered = observations.toSorted((a, b) => a.share - b.share);
  const rows = ordered.slice(0, MOST).map(({ attempt, key, seen, share, interval, surprising }) => ({
    name: `${attempt}: ${inputWords(key)}`,
    share: Math.max(least, 100 * share),
    low: Math.max(least, 100 * interval[0]),
    high: Math.max(least, 100 * interval[1]),
    strong: surprising,
    title: `${attempt}: ${inputWords(key)}, seen ${seen}: ${percent(share, interval)} as far out${surprising ? ', a surprise' : ''}`,
  }));
  const surprises = observations.filter((one) => one.surprising).length;
  const drawn = draw(`Share of simulated flights as far out as what was seen. ${rows.map(({ title }) => title).join('; ')}.`, {
    width: WIDTH,
    height: AROUND + ROW * rows.length,
    marginLeft: nameRoom(rows.map(({ name }) => name)),
    x: {
      type: 'log',
      label: 'flights as far out, %',
      domain: [least, 100],
      ticks: [0.01, 0.1, 1, 10, 100].filter((tick) => tick >= least),
      tickFormat: (v: number) => String(v),
      grid: true,
    },
    y: { type: 'point', label: null, domain: [...new Set(rows.map(({ name }) => name))], padding: 0.5 },
    marks: intervalMarks(Plot, rows),
  });
  const title =
    surprises === 0
      ? 'Nothing was seen that the study hardly ever does'
      : `The study hardly ever does ${surprises === 1 ? 'one' : count(surprises)} of the ${count(observations.length)} things seen`;
  const drawnOf = observations.length > MOST ? ` The ${MOST} farthest out of ${count(observations.length)} are drawn.` : '';
  return still(
    'learned-surprise',
    title,
    drawn,
    `Dots: share of ${count(flights)} flights of the study, under that attempt’s settings, at least as far out to either side; black: a surprise, all observations together (Holm). Lines: 95 % intervals, each for itself.${drawnOf}`,
  );
}

/** Between the ends of the range before, from -1 to 1, its middle at 0. */
function placed(value: number, [low, , high]: Range): number {
  return (2 * value - low - high) / (high - low);
}

function movedFigure({ Plot, draw }: Drawing, learning: Learning): Figure | null {
  const all = learning.narrowed.flatMap(({ input, unit, before, after }) =>
    before === null || after === null || before[2] === before[0] ? [] : [{ input, unit, before, after }],
  );
  if (all.length === 0) return null;
  const rows = all.slice(0, MOST).map(({ input, unit, before, after }) => {
    const words = shown(unit).unit;
    const name = words === '' ? inputWords(input) : `${inputWords(input)}, ${words}`;
    return {
      name,
      before: before.map((value) => placed(value, before)),
      after: after.map((value) => placed(value, before)),
      title: `${name}: before ${rangeWords(before, unit)}, after ${rangeWords(after, unit)}`,
    };
  });
  const ends = rows.flatMap(({ before, after }) => [...before, ...after]);
  const [low, high] = [Math.min(...ends), Math.max(...ends)];
  const pad = 0.05 * (high - low);
  const drawn = draw(`Inputs before and after the logbook, most learnt first. ${rows.map(({ title }) => title).join('; ')}.`, {
    width: WIDTH,
    height: AROUND + ROW * rows.length,
    marginLeft: nameRoom(rows.map(({ name }) => name)),
    x: { label: '5 % (−1) to 95 % (1) of before', domain: [low - pad, high + pad], ticks: 5, grid: true },
    y: { type: 'point', label: null, domain: rows.map(({ name }) => name), padding: 0.5 },
    marks: [
      Plot.ruleX([0], { stroke: 'var(--faint)' }),
      ...(['before', 'after'] as const).flatMap((when) => {
        const stroke = when === 'before' ? 'var(--faint)' : 'var(--measure)';
        const dy = when === 'before' ? -4 : 4;
        return [
          Plot.ruleY(rows, {
            y: 'name',
            x1: (row) => row[when][0],
            x2: (row) => row[when][2],
            stroke,
            strokeWidth: when === 'before' ? 1.5 : 3,
            dy,
            title: 'title',
          }),
          Plot.dot(rows, { y: 'name', x: (row) => row[when][1], fill: stroke, r: when === 'before' ? 3 : 4, dy, title: 'title' }),
        ];
      }),
    ],
  });
  const [first] = all;
  const { unit, factor } = shown(first.unit);
  const middle = ([, value]: Range): string => plain(value * factor);
  const others = all.length === 1 ? '' : `; ${all.length === 2 ? 'one other' : `${count(all.length - 1)} others`} moved too`;
  const title = `The ${inputWords(first.input)} is put at ${middle(first.after)}${unit === '' ? '' : ` ${unit}`}, ${middle(first.before)} before${others}`;
  const more = all.length > MOST ? ` The first ${MOST} of ${count(all.length)} are drawn.` : '';
  return still(
    'learned-inputs',
    settled(learning, title),
    drawn,
    `Above, thin and grey: before the logbook; below, blue: after it. Lines: where nine in ten next attempts lie, fresh luck and all; dots: the middle. By information gained about what stays; in their units below.${more}`,
  );
}

function nextFigure({ Plot, draw }: Drawing, learning: Learning): Figure {
  const { before, after, change, rule } = learning.next;
  const row = (name: string, landing: LandingOdds, strong: boolean) => ({
    name,
    share: 100 * landing.share,
    low: 100 * landing.interval[0],
    high: 100 * landing.interval[1],
    strong,
    title: `${name}: ${landingWords(landing)}`,
  });
  const rows = [
    row('before the logbook', before, false),
    row('after it', after, true),
    ...(change === null ? [] : [row(`${plain(Math.abs(change.shift))} m ${change.shift > 0 ? 'higher' : 'lower'}`, change.odds, false)]),
  ];
  const drawn = draw(`Odds that the next attempt lands. ${rows.map(({ title }) => title).join('; ')}.`, {
    width: WIDTH,
    height: AROUND + 1.4 * ROW * rows.length,
    marginLeft: nameRoom(rows.map(({ name }) => name)),
    x: { label: 'landed, %', domain: [0, Math.min(100, 1.15 * Math.max(...rows.map(({ high }) => high)))], ticks: 5, grid: true },
    y: { type: 'point', label: null, domain: rows.map(({ name }) => name), padding: 0.5 },
    marks: intervalMarks(Plot, rows),
  });
  const shift =
    change === null
      ? ' No other lighting height did better.'
      : ` The shift of lighting height was found on other luck; its gain, flight against flight on one luck, stands below${change.interval[0] > 0 ? '' : ', and may be chance'}.`;
  return still(
    'learned-odds',
    settled(learning, `By rule ${rule} the next attempt lands with ${landingWords(after)}`),
    drawn,
    `Black: with what the logbook taught. Lines: 95 % intervals, each for itself. ${count(before.flights)} flights before, ${count(after.flights)} after, on the same fresh luck.${shift}`,
  );
}

/** Names stand below the points as long as they have room: points, and letters of a name. */
const MOST_NAMED = 8;
const LONGEST_NAME = 8;

function grownFigure({ Plot, draw }: Drawing, learning: Learning): Figure {
  const points = grownRows(learning).map(({ known, attempt, odds }) => ({
    known,
    share: 100 * odds.share,
    low: 100 * odds.interval[0],
    high: 100 * odds.interval[1],
    title: `${attempt === null ? 'before any attempt' : `after ${attempt}`}: ${landingWords(odds)}`,
  }));
  const last = points.length - 1;
  const every = Math.ceil(last / 10);
  const named = last <= MOST_NAMED && learning.attempts.every(({ length }) => length <= LONGEST_NAME);
  const drawn = draw(`Odds that the next attempt lands, as the logbook grew. ${points.map(({ title }) => title).join('; ')}.`, {
    width: WIDTH,
    height: 260,
    x: {
      label: 'attempts known',
      domain: [-0.3, last + 0.3],
      ticks: points.map(({ known }) => known).filter((known) => known % every === 0),
      tickFormat: (known: number) => (named && known > 0 ? `${known}: ${learning.attempts[known - 1]}` : `${known}`),
    },
    y: { label: 'landed, %', domain: [0, Math.min(100, 1.15 * Math.max(...points.map(({ high }) => high)))], grid: true },
    marks: [
      Plot.lineY(points, { x: 'known', y: 'share', stroke: 'var(--faint)' }),
      Plot.ruleX(points, { x: 'known', y1: 'low', y2: 'high', stroke: 'var(--measure)', strokeWidth: 2, title: 'title' }),
      Plot.dot(points, { x: 'known', y: 'share', r: 4.5, fill: 'var(--measure)', title: 'title' }),
    ],
  });
  const { before, after } = learning.next;
  const n = `${learning.attempts.length} attempt${learning.attempts.length === 1 ? '' : 's'}`;
  const apart =
    before.interval[1] < after.interval[0]
      ? 'rose to'
      : after.interval[1] < before.interval[0]
        ? 'fell to'
        : 'are not shown to have moved:';
  return still(
    'learned-grown',
    settled(learning, `Over ${n} the odds of the next one ${apart} ${landingWords(after)}, ${landingWords(before)} before any`),
    drawn,
    'Dots: the same next attempt with today’s constants, flown from particles that know the attempts up to there and no later one, on the same fresh luck. Lines: 95 % intervals, each for itself.',
  );
}
