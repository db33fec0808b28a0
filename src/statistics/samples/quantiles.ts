/**
 * Quantiles of a sample and their distribution-free intervals. Assumes nothing about the distribution, only independent
 * draws.
 */
import { quantileSorted } from 'd3-array';
import { atMost, moreThan } from '../proportions/binomialTail.ts';
import { checkLevel, type Interval } from './interval.ts';

declare const ordered: unique symbol;

/** Finite numbers in ascending order; made only by {@link sorted}. */
export type Sorted = Float64Array & { readonly [ordered]: true };

/**
 * A sorted copy.
 * @throws RangeError when a value is NaN or infinite: what did not happen is left out by the caller, who counts it.
 */
export function sorted(values: ArrayLike<number>): Sorted {
  return sortedInPlace(new Float64Array(values));
}

/** The same in the memory that is handed over: of a million flights a copy more is much. @throws as {@link sorted} */
export function sortedInPlace(values: Float64Array): Sorted {
  for (let i = 0; i < values.length; i++) {
    if (!Number.isFinite(values[i]))
      throw new RangeError(`value ${i} of ${values.length} is ${values[i]}; a sample holds finite numbers only`);
  }
  return values.sort() as Sorted;
}

/**
 * Sample quantile by linear interpolation between order statistics at 1 + (n - 1) p (definition 7 of the source).
 * @param p in [0, 1]
 * @throws RangeError for an empty sample or p outside [0, 1]
 * Source: R. J. Hyndman and Y. Fan, The American Statistician 50 (1996) 361-365.
 */
export function quantile(sample: Sorted, p: number): number {
  if (!(p >= 0 && p <= 1)) throw new RangeError(`a quantile's share lies in [0, 1], not ${p}`);
  // The library walks any indexed list; only its types ask for an array.
  const value = quantileSorted(sample as ArrayLike<number> as number[], p);
  if (value === undefined) throw new RangeError('an empty sample has no quantiles');
  return value;
}

/**
 * Distribution-free interval for the p-quantile of what was sampled, between two of the sample's values, chosen by rank
 * alone: the innermost pair for which each end errs with probability at most (1 - level)/2.
 * @param p in (0, 1)
 * @param level in (0, 1)
 * @returns null when the sample is too small to give both ends at that level (for 95 %: below 6 for the median, below
 * 72 for the
 *   5 and 95 % quantiles, below 368 for 1 and 99 %)
 * @throws RangeError otherwise
 * Source: G. J. Hahn and W. Q. Meeker, Statistical Intervals, Wiley 1991, section 5.2; the equal-tailed choice of
 * ranks.
 */
export function quantileInterval(sample: Sorted, p: number, level: number): Interval | null {
  checkShare(p);
  checkLevel(level);
  const n = sample.length;
  const tail = (1 - level) / 2;
  // The l-th value exceeds the quantile when fewer than l of n fall below it: with probability P(B <= l - 1).
  const l = leastWhere(n, (k) => atMost(k, n, p) > tail);
  // The u-th value is below the quantile when at least u of n fall below it: with probability P(B >= u).
  const u = leastWhere(n, (k) => moreThan(k - 1, n, p) <= tail);
  if (l < 1 || u > n) return null;
  const low = sample[l - 1];
  const high = sample[u - 1];
  return low === undefined || high === undefined ? null : [low, high];
}

/** Least k in 0..n for which a condition that stays true once true holds; n + 1 when none does. */
function leastWhere(n: number, holds: (k: number) => boolean): number {
  let low = 0;
  let high = n + 1;
  while (low < high) {
    const middle = Math.floor((low + high) / 2);
    if (holds(middle)) high = middle;
    else low = middle + 1;
  }
  return low;
}

function checkShare(p: number): void {
  if (!(p > 0 && p < 1)) throw new RangeError(`a quantile's share lies between 0 and 1, not ${p}`);
}
