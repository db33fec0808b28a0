/** What a logbook taught, as the tables and lines that the terminal and the page share. Computes nothing. */
import type { Learning } from '../analysis/learn/learning.ts';
import type { Range } from '../analysis/learn/narrowed.ts';
import type { LandingOdds, NextAttempt } from '../analysis/learn/nextAttempt.ts';
import type { SeenSurprise } from '../analysis/learn/surprise.ts';
import type { TableColumn } from './markup.ts';
import { count, percent, percentInterval, plain, shown } from './words.ts';

/** "34.0 % (28.4 to 40.1 %)". */
export function landingWords({ share, interval }: LandingOdds): string {
  return `${percent(share, interval)} (${percentInterval(interval)})`;
}

/** Middle and 5 to 95 %, in the unit shown. */
export function rangeWords(range: Range | null, unit: string): string {
  if (range === null) return 'a direction';
  const { factor } = shown(unit);
  const [low, middle, high] = range.map((value) => plain(value * factor));
  return `${middle} (${low} to ${high})`;
}

/** What the study foretold of an observation. */
function foretoldWords({ foretold, happened, unit }: SeenSurprise): string {
  return foretold === null ? `in ${percent(happened, null)} of flights` : `${rangeWords(foretold, unit)} ${shown(unit).unit}`;
}

function surpriseWords({ surprise, attempts }: Learning): string[] {
  const surprises = surprise.observations.filter((one) => one.surprising);
  const { share, interval } = surprise.joint;
  return [
    `as far out: share of ${count(surprise.flights)} flights of the study, under that attempt’s settings, at least as far to either side; of all: adjusted for ${surprise.observations.length} observations (Holm)`,
    `all together: ${percent(share, interval)} (${percentInterval(interval)}) of simulated logbooks of ${attempts.length} attempt${attempts.length === 1 ? '' : 's'} are farther out`,
    ...surprises.map(oneSurprise),
    ...(surprises.length === 0 ? ['nothing that the study, as spread, would hardly ever do'] : []),
  ];
}

function oneSurprise({ key, attempt, culprits }: SeenSurprise): string {
  const why =
    culprits.length === 0
      ? ''
      : ` Likeliest, together: ${culprits.map(({ input, sds }) => `${input} ${plain(Math.abs(sds))} sd ${sds > 0 ? 'high' : 'low'}`).join(', ')}.`;
  return `seen of ${key} in ${attempt}: the study, as spread, hardly ever does that: the model, a spread or the entry is wrong.${why}`;
}

function settledWords({ agreement, runs, particles }: Learning): string[] {
  const { typical, expected, largest, bound, settled } = agreement;
  const moved = runs.map(
    (run, i) =>
      `run ${i + 1}: ${count(run.distinct)} of ${count(particles / runs.length)} differ, ${run.stops} stops, ${percent(run.accepted, null)} of moves accepted at the end`,
  );
  return [
    `${settled ? 'yes' : 'NO'}: two runs from different seeds differ by ${plain(typical)} of the spread that is left, on the whole; their own noise lets expect ${plain(expected)}, and up to 0.5 will do`,
    `no input differs by more than ${plain(largest)} times its noise, itself no less than the runs differ by on the whole; below ${plain(bound)} that is chance`,
    ...moved,
    ...(settled ? [] : ['do not act on what follows: learn again with more --particles, or with larger errors where they were optimistic']),
  ];
}

function nextWords({ rule, before, after, change }: NextAttempt): string[] {
  const lines = [`by rule ${rule} it lands with ${landingWords(after)}; before the logbook that was ${landingWords(before)}`];
  if (change === null) return [...lines, 'no other lighting height did better'];
  const { constant, proposed, now, shift, gain, interval } = change;
  const sure = interval[0] > 0;
  return [
    ...lines,
    `lighting ${plain(Math.abs(shift))} m ${shift > 0 ? 'higher' : 'lower'} (${constant} ${plain(proposed)} in place of ${plain(now)}): ${landingWords(change.odds)}, a difference of ${percent(gain, interval)} (${percentInterval(interval)}) on the same luck${sure ? '' : ', which may be chance'}`,
  ];
}

export interface GrownRow {
  /** Attempts known. */
  readonly known: number;
  /** Name of the last of them; null before any. */
  readonly attempt: string | null;
  readonly odds: LandingOdds;
}

/** The odds of the next attempt as the logbook grew, from none of its attempts to all. */
export function grownRows({ attempts, next }: Learning): GrownRow[] {
  return [next.before, ...next.grown, next.after].map((odds, known) => ({
    known,
    attempt: known === 0 ? null : attempts[known - 1],
    odds,
  }));
}

const GROWN_HOW =
  'each row: the same next attempt with today’s constants and the same fresh luck, flown from particles that know the attempts up to there and no later one; 95 % intervals, each for itself';

/** Shift of the middle in sds of before, with twice its noise. */
function shiftWords({ shift, noise }: Learning['narrowed'][number]): string {
  return `${shift >= 0 ? '+' : '−'}${Math.abs(shift).toFixed(2)} ± ${(2 * noise).toFixed(2)}`;
}

/** @param name how a key is called where these words stand */
function hardlyWords({ hardly }: Learning, name: (key: string) => string): string[] {
  return hardly.length === 0 ? [] : [`hardly moved, so nothing was learnt of them: ${hardly.map(name).join(', ')}`];
}

/** One part of what is told: a table, where there is one, and lines below it. */
export interface LearnedPart {
  readonly heading: string;
  /** What the table is called where it cannot be seen. */
  readonly label: string;
  readonly columns: readonly TableColumn[];
  readonly rows: readonly (readonly string[])[];
  readonly lines: readonly string[];
}

/**
 * All that is told, in order; what there is nothing to say of is left out.
 * @param name how a key is called where this stands
 */
export function learnedParts(learning: Learning, name: (key: string) => string): LearnedPart[] {
  return [
    surprisePart(learning, name),
    { heading: 'Is the answer settled?', label: '', columns: [], rows: [], lines: settledWords(learning) },
    { heading: 'The next attempt', label: '', columns: [], rows: [], lines: nextWords(learning.next) },
    grownPart(learning),
    narrowedPart(learning, name),
    ...[ownPart(learning, name), pairPart(learning, name), worthPart(learning)].filter(({ rows }) => rows.length > 0),
  ];
}

const words = (head: string): TableColumn => ({ head, align: 'left' });
const BEFORE = words('before: middle (5 to 95 %)');

function surprisePart(learning: Learning, name: (key: string) => string): LearnedPart {
  return {
    heading: 'How surprising was what was seen?',
    label: 'Observations',
    columns: [
      words('attempt'),
      words('what'),
      words('seen'),
      words('study: middle (5 to 95 %)'),
      { head: 'as far out' },
      { head: 'of all' },
      words('surprise'),
    ],
    rows: learning.surprise.observations.map((one) => [
      one.attempt,
      name(one.key),
      one.seen,
      foretoldWords(one),
      percent(one.share, one.interval),
      percent(one.adjusted, null),
      one.surprising ? 'yes' : 'no',
    ]),
    lines: surpriseWords(learning),
  };
}

function grownPart(learning: Learning): LearnedPart {
  return {
    heading: 'Odds of the next attempt as the logbook grew',
    label: 'Odds as the logbook grew',
    columns: [words('attempts known'), words('up to'), { head: 'lands' }, { head: '95 % interval' }, { head: 'flights' }],
    rows: grownRows(learning).map(({ known, attempt, odds }) => [
      `${known}`,
      attempt ?? 'none',
      percent(odds.share, odds.interval),
      percentInterval(odds.interval),
      count(odds.flights),
    ]),
    lines: [GROWN_HOW],
  };
}

function narrowedPart(learning: Learning, name: (key: string) => string): LearnedPart {
  const rows = learning.narrowed.map((one) => [
    name(one.input),
    shown(one.unit).unit,
    rangeWords(one.before, one.unit),
    rangeWords(one.after, one.unit),
    plain(one.sdRatio),
    shiftWords(one),
    one.bits.toFixed(2),
  ]);
  return {
    heading: 'What stays with this vehicle, and was narrowed',
    label: 'Inputs that moved',
    columns: [words('input'), words('unit'), BEFORE, words('after'), { head: 'spread left' }, { head: 'shift in sd' }, { head: 'bits' }],
    rows,
    lines: [
      rows.length === 0
        ? 'nothing: what was seen tells hardly anything of what stays'
        : 'before and after: of the next attempt, its fresh luck and all; spread left, shift and bits: of what stays alone',
      ...hardlyWords(learning, name),
    ],
  };
}

function ownPart({ own }: Learning, name: (key: string) => string): LearnedPart {
  return {
    heading: 'What the attempts themselves were like',
    label: 'Attempts',
    columns: [words('attempt'), words('input'), words('unit'), BEFORE, words('after'), { head: 'bits' }],
    rows: own.map(({ attempt, input, unit, before, after, bits }) => [
      attempt,
      name(input),
      shown(unit).unit,
      rangeWords(before, unit),
      rangeWords(after, unit),
      bits.toFixed(2),
    ]),
    lines: [],
  };
}

function pairPart({ pairs }: Learning, name: (key: string) => string): LearnedPart {
  return {
    heading: 'What now hangs together',
    label: 'Pairs',
    columns: [words('input'), words('with'), { head: 'correlation' }],
    rows: pairs.map(({ a, b, correlation }) => [name(a), name(b), correlation.toFixed(2)]),
    lines: [],
  };
}

function worthPart({ worthSeeing }: Learning): LearnedPart {
  return {
    heading: 'What to look at next time',
    label: 'What to look at',
    columns: [words('output'), { head: 'seen to' }, { head: 'bits expected' }],
    rows: worthSeeing.map(({ output, unit, error, bits, interval }) => {
      const { factor, unit: as } = shown(unit);
      return [output, `± ${plain(error * factor)} ${as}`, `${bits.toFixed(2)} (${interval[0].toFixed(2)} to ${interval[1].toFixed(2)})`];
    }),
    lines: ['bits about what stays with the vehicle, by a linear fit over flights of the next attempt; each output on its own'],
  };
}
