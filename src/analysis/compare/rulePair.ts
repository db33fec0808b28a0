/**
 * Two rules on the same luck: what may be said of their difference from how their flights paired off. Flies nothing.
 */
import { OUTCOMES } from '../../flight/outputs.ts';
import { mcnemar, type PairCounts, pairedDifference } from '../../statistics/proportions/paired.ts';
import { trialsPerGroup } from '../../statistics/proportions/sampleSize.ts';
import { anytimeP, differenceSequence, verdict as sequentialVerdict } from '../../statistics/proportions/sequential.ts';
import { holm } from '../../statistics/samples/holm.ts';
import { checkCounts, type Interval } from '../../statistics/samples/interval.ts';
import { outcomeIndex } from '../flights/flightColumns.ts';
import { LEVEL } from '../fly/summary.ts';

/** Flights of two rules by number, as far as both flew. */
export interface Paired {
  readonly counts: PairCounts;
  /** Flights without a result by either rule: in no count above. */
  readonly noResult: number;
  /** Numbers of the flights that only the first, and only the second, landed; ascending. */
  readonly firstOnlyFlights: readonly number[];
  readonly secondOnlyFlights: readonly number[];
}

/**
 * What may be said. `hint`: the interval excludes no difference, but among so many comparisons that may be luck.
 * `alike`: the difference is within the margin that does not matter.
 */
export type PairVerdict = 'first' | 'second' | 'hint' | 'alike' | 'open';

/** The statement about a pair, and which procedure makes it. Differences are shares, first minus second. */
export interface Statement {
  /**
   * `fixed`: one look at a number of flights fixed in advance: the paired interval (paired.ts) and McNemar's exact
   * test. `alwaysValid`: looked at again and again; interval and p hold at every look (confidence sequence, betting).
   */
  readonly procedure: 'fixed' | 'alwaysValid';
  /** Flights by each rule after which it was read. */
  readonly flights: number;
  /** How those flights paired off. */
  readonly counts: PairCounts;
  /** null without a flight that has a result by both; p is 1 then. */
  readonly difference: number | null;
  readonly interval: Interval | null;
  /** Of `interval`. Always valid ones share 95 % between the pairs (Bonferroni); fixed ones hold 95 % each. */
  readonly level: number;
  readonly p: number;
  /** For all pairs together: Holm's when fixed, Bonferroni's when always valid. */
  readonly adjustedP: number;
  readonly verdict: PairVerdict;
}

/** Chance of seeing the difference, and of seeing one that is not there, in the plan for real attempts. */
export const REAL_TEST = { alpha: 0.05, power: 0.8 } as const;

/** Real attempts of each rule, each with its own luck, to see the difference by an exact test; whole numbers. */
export interface RealAttempts {
  /** For the difference as estimated; null when that is exactly 0. */
  readonly estimated: number | null;
  /**
   * For the larger end of the interval, and for the smaller: null when the interval holds 0, since no number is then
   * enough for sure.
   */
  readonly least: number;
  readonly most: number | null;
}

/**
 * Pairs off the first `flights` flights, numbered from `firstFlight`.
 * @throws Error when a rule flew fewer (our fault).
 */
export function pairOff(first: Uint8Array, second: Uint8Array, flights: number, firstFlight = 1): Paired {
  if (first.length < flights || second.length < flights) throw new Error(`fewer than ${flights} flights to pair off`);
  const landed = outcomeIndex('landed');
  const none = outcomeIndex('no result');
  let both = 0;
  let neither = 0;
  let noResult = 0;
  const firstOnlyFlights: number[] = [];
  const secondOnlyFlights: number[] = [];
  for (let i = 0; i < flights; i++) {
    if (first[i] >= OUTCOMES.length || second[i] >= OUTCOMES.length) throw new Error(`flight ${firstFlight + i} has no outcome of ours`);
    const one = first[i] === landed;
    const other = second[i] === landed;
    if (first[i] === none || second[i] === none) noResult++;
    else if (one && other) both++;
    else if (one) firstOnlyFlights.push(firstFlight + i);
    else if (other) secondOnlyFlights.push(firstFlight + i);
    else neither++;
  }
  const counts = { both, firstOnly: firstOnlyFlights.length, secondOnly: secondOnlyFlights.length, neither };
  return { counts, noResult, firstOnlyFlights, secondOnlyFlights };
}

/** Pairs with a result by both. */
export function pairsIn({ both, firstOnly, secondOnly, neither }: PairCounts): number {
  return both + firstOnly + secondOnly + neither;
}

/**
 * The statements about all pairs of one comparison, looked at once.
 * @param flights flown by each rule, fixed in advance
 */
export function fixedStatements(pairs: readonly PairCounts[], flights: number): Statement[] {
  const p = pairs.map((counts) => mcnemar(counts).exact);
  const adjusted = holm(p);
  return pairs.map((counts, i): Statement => {
    const found = pairsIn(counts) === 0 ? null : pairedDifference(counts, LEVEL);
    return {
      procedure: 'fixed',
      flights,
      counts,
      difference: found?.difference ?? null,
      interval: found?.interval ?? null,
      level: LEVEL,
      p: p[i],
      adjustedP: adjusted[i],
      verdict: found === null ? 'open' : fixedVerdict(found.interval, adjusted[i]),
    };
  });
}

function fixedVerdict([low, high]: Interval, adjustedP: number): PairVerdict {
  if (low <= 0 && high >= 0) return 'open';
  if (adjustedP > 1 - LEVEL) return 'hint';
  return low > 0 ? 'first' : 'second';
}

/**
 * The statement about one pair at one of many looks. With the same number of comparisons at each look, all statements
 * of all looks hold together at LEVEL, so that each pair may stop at its own look.
 * @param comparisons pairs compared at once   @param margin difference that does not matter, > 0, or null
 */
export function alwaysValidStatement(counts: PairCounts, flights: number, comparisons: number, margin: number | null): Statement {
  checkCounts({ comparisons });
  const level = 1 - (1 - LEVEL) / comparisons;
  const n = pairsIn(counts);
  const p = anytimeP(counts);
  return {
    procedure: 'alwaysValid',
    flights,
    counts,
    difference: n === 0 ? null : (counts.firstOnly - counts.secondOnly) / n,
    interval: n === 0 ? null : differenceSequence(counts, level),
    level,
    p,
    adjustedP: Math.min(1, comparisons * p),
    verdict: n === 0 ? 'open' : sequentialVerdict(counts, level, margin),
  };
}

/**
 * How many real attempts would show what the simulation shows.
 * @returns null when there is no pair to go by, or the interval has come down to 0 alone
 */
export function realAttempts({ counts, interval }: Pick<Statement, 'counts' | 'interval'>): RealAttempts | null {
  if (interval === null) return null;
  const n = pairsIn(counts);
  const mean = (2 * counts.both + counts.firstOnly + counts.secondOnly) / (2 * n);
  const attempts = (difference: number): number => {
    // About the same mean success, moved only where a share would leave 0..1.
    const size = Math.abs(difference);
    const lower = Math.min(Math.max(mean - size / 2, 0), 1 - size);
    return Math.ceil(trialsPerGroup(lower, lower + size, REAL_TEST, true));
  };
  const [near, far] = interval.map(Math.abs).sort((a, b) => a - b);
  if (far === 0) return null;
  const difference = (counts.firstOnly - counts.secondOnly) / n;
  return {
    estimated: difference === 0 ? null : attempts(difference),
    least: attempts(far),
    most: interval[0] <= 0 && interval[1] >= 0 ? null : attempts(near),
  };
}
