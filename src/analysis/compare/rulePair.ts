/**
 * Two rules on the same luck: what may be said of their difference from how their flights paired off. Flies nothing.
 */
import { OUTCOMES } from '../../flight/outputs.ts';
import { normalCdf, normalQuantile } from '../../maths/normal.ts';
import { boundAt, constantOf, criticalConstant, crossing, type Looks, looksEvery } from '../../statistics/proportions/groupSequential.ts';
import { mcnemar, type PairCounts, pairedDifference } from '../../statistics/proportions/paired.ts';
import { trialsPerGroup } from '../../statistics/proportions/sampleSize.ts';
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
   * test. `groupSequential`: the same, looked at a number of times fixed in advance; interval and p are as much stricter
   * at each look as holds all looks together (groupSequential.ts).
   */
  readonly procedure: 'fixed' | 'groupSequential';
  /** Flights by each rule after which it was read. */
  readonly flights: number;
  /** How those flights paired off. */
  readonly counts: PairCounts;
  /** null without a flight that has a result by both; p is 1 then. */
  readonly difference: number | null;
  readonly interval: Interval | null;
  /** Of `interval`. Repeated ones share 95 % between the pairs (Bonferroni); fixed ones hold 95 % each. */
  readonly level: number;
  readonly p: number;
  /** For all pairs together: Holm's when fixed, Bonferroni's when repeated. */
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

/** When several pairs are looked at, and how strict the looks are. */
export interface LookPlan {
  /** Flights by each rule at most, and between two looks. */
  readonly most: number;
  readonly every: number;
  readonly comparisons: number;
  readonly looks: Looks;
  /** Of the bound (groupSequential.ts) that a pair's difference must cross. */
  readonly constant: number;
}

/** The comparisons share the error between them (Bonferroni), so that each pair may stop at its own look. */
export function lookPlan(most: number, every: number, comparisons: number): LookPlan {
  checkCounts({ comparisons });
  const looks = looksEvery(most, every);
  return { most, every, comparisons, looks, constant: criticalConstant((1 - LEVEL) / comparisons, looks) };
}

/**
 * The statement about one pair at a look: all statements of all looks of the plan hold together at LEVEL, as far as
 * the normal approximation does (tests measure it). After an interruption it is read between two looks, by the bound
 * that a look there would have had.
 * @param flights by each rule so far   @param margin difference that does not matter, > 0, or null
 */
export function repeatedStatement(counts: PairCounts, flights: number, plan: LookPlan, margin: number | null): Statement {
  const { most, comparisons, looks, constant } = plan;
  const level = 1 - (1 - LEVEL) / comparisons;
  const n = pairsIn(counts);
  if (n === 0) {
    return { procedure: 'groupSequential', flights, counts, difference: null, interval: null, level, p: 1, adjustedP: 1, verdict: 'open' };
  }
  const share = flights / most;
  const { difference, interval } = pairedDifference(counts, 1 - 2 * normalCdf(-boundAt(constant, share)));
  const p = crossing(constantOf(-normalQuantile(mcnemar(counts).exact / 2), share), looks);
  const adjustedP = Math.min(1, comparisons * p);
  return {
    procedure: 'groupSequential',
    flights,
    counts,
    difference,
    interval,
    level,
    p,
    adjustedP,
    verdict: repeatedVerdict(interval, adjustedP, margin),
  };
}

function repeatedVerdict([low, high]: Interval, adjustedP: number, margin: number | null): PairVerdict {
  if ((low > 0 || high < 0) && adjustedP <= 1 - LEVEL) return low > 0 ? 'first' : 'second';
  return margin !== null && low >= -margin && high <= margin ? 'alike' : 'open';
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
