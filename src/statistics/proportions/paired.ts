/**
 * Two ways tried on the same luck: success differences from pairs, looked at once. For looking again and again see
 * groupSequential.ts.
 */

import { checkCounts, checkLevel, type Interval } from '../samples/interval.ts';
import { clopperPearson } from './binomial.ts';
import { type EvenSplit, evenSplit } from './evenSplit.ts';
import { squareAndAdd } from './squareAndAdd.ts';

/** How many pairs ended which way. */
export interface PairCounts {
  readonly both: number;
  readonly firstOnly: number;
  readonly secondOnly: number;
  readonly neither: number;
}

export interface Difference {
  /** Share of the first minus share of the second. */
  readonly difference: number;
  readonly interval: Interval;
}

/**
 * Difference of two success probabilities from pairs: the share of pairs that only the first succeeded in, minus the
 * share that only the second did, by square-and-add on the exact limits of both. Newcombe's paired interval and the
 * score interval, on the successes themselves, are up to a tenth shorter, and cover 0.92 to 0.93 where nearly all
 * differing pairs go one way; this one covered at least its level wherever it was computed exactly (tests).
 * @param pairs whole, >= 0, at least one pair   @param level in (0, 1)
 * @throws RangeError otherwise
 * Sources: squareAndAdd.ts; C. J. Clopper and E. S. Pearson, Biometrika 26 (1934) 404-413.
 */
export function pairedDifference(pairs: PairCounts, level: number): Difference {
  const n = checkedPairs(pairs, level);
  const { firstOnly: f, secondOnly: g } = pairs;
  const part = (k: number) => ({ estimate: k / n, interval: clopperPearson(k, n, level) });
  // of two cells of a multinomial sample; none where all pairs are in one cell
  const rest = (n - f) * (n - g);
  const [low, high] = squareAndAdd(part(f), part(g), rest > 0 ? -Math.sqrt((f / (n - f)) * (g / (n - g))) : 0);
  return { difference: (f - g) / n, interval: [Math.max(-1, low), Math.min(1, high)] };
}

/**
 * Attempts up to the first success, 1/share: of the second minus of the first, by square-and-add on the reciprocals of
 * the exact limits.
 * @param pairs whole, >= 0, at least one success of each   @param level in (0, 1)
 * @throws RangeError otherwise   Sources as of {@link pairedDifference}.
 */
export function attemptsSaved(pairs: PairCounts, level: number): Difference {
  const n = checkedPairs(pairs, level);
  const { both: e, firstOnly: f, secondOnly: g, neither: h } = pairs;
  if (e + f === 0 || e + g === 0) throw new RangeError('without a success on either side there is no number of attempts');
  const attempts = (k: number) => {
    const [low, high] = clopperPearson(k, n, level);
    return { estimate: n / k, interval: [1 / high, 1 / low] as const };
  };
  const [second, first] = [attempts(e + g), attempts(e + f)];
  return { difference: second.estimate - first.estimate, interval: squareAndAdd(second, first, correlation(e, f, g, h)) };
}

/**
 * McNemar's test that both ways succeed equally often: only the pairs that differ speak.
 * @throws RangeError for unfit counts.
 */
export function mcnemar(pairs: PairCounts): EvenSplit {
  return evenSplit(pairs.firstOnly, pairs.secondOnly);
}

function checkedPairs({ both, firstOnly, secondOnly, neither }: PairCounts, level: number): number {
  checkCounts({ both, firstOnly, secondOnly, neither });
  checkLevel(level);
  const n = both + firstOnly + secondOnly + neither;
  if (n < 1) throw new RangeError('a paired difference needs at least one pair, got none');
  return n;
}

/** Of the two successes, pair by pair; 0 where one of them never varies. */
function correlation(e: number, f: number, g: number, h: number): number {
  // Root by root: the product of four margins of a million pairs leaves the whole numbers.
  const product = Math.sqrt(e + f) * Math.sqrt(g + h) * Math.sqrt(e + g) * Math.sqrt(f + h);
  return product === 0 ? 0 : (e * h - f * g) / product;
}
