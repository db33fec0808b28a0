/**
 * Intervals for a success probability from k successes in n independent trials. Differences of two are in paired.ts,
 * unpaired.ts.
 */
import { normalQuantile } from '../../maths/normal.ts';
import { checkLevel, checkSuccesses, type Interval } from '../samples/interval.ts';
import { atMost, moreThan } from './binomialTail.ts';

/**
 * Exact two-sided interval: covers the true probability in at least `level` of all samples, whatever that probability
 * is.
 * @param k whole, 0..n
 * @param n whole, >= 1
 * @param level in (0, 1), e.g. 0.95; each side errs with at most half of the rest
 * @returns [low, high] in [0, 1]; low is 0 exactly when k = 0, high is 1 exactly when k = n. Relative accuracy 1e-12,
 * at n = 1e7 still 1e-9.
 * @throws RangeError otherwise
 * Source: C. J. Clopper and E. S. Pearson, Biometrika 26 (1934) 404-413.
 */
export function clopperPearson(k: number, n: number, level: number): Interval {
  checkSuccesses(k, n);
  checkLevel(level);
  const tail = (1 - level) / 2;
  const low = k === 0 ? 0 : solve((p) => moreThan(k - 1, n, p) < tail);
  const high = k === n ? 1 : solve((p) => atMost(k, n, p) > tail);
  return [low, high];
}

/** The probability at which a condition that holds from 0 on ceases to hold, to the last bit. */
function solve(holds: (p: number) => boolean): number {
  let low = 0;
  let high = 1;
  for (;;) {
    const middle = (low + high) / 2;
    if (middle === low || middle === high) return middle;
    if (holds(middle)) low = middle;
    else high = middle;
  }
}

/**
 * Score interval without continuity correction: shorter than the exact one, covers `level` on average over
 * probabilities, not always.
 * @param k whole, 0..n
 * @param n whole, >= 1
 * @param level in (0, 1)
 * @returns [low, high] in [0, 1]; low is 0 exactly when k = 0, high is 1 exactly when k = n
 * @throws RangeError otherwise
 * Source: E. B. Wilson, Journal of the American Statistical Association 22 (1927) 209-212.
 */
export function wilson(k: number, n: number, level: number): Interval {
  checkSuccesses(k, n);
  checkLevel(level);
  const z = -normalQuantile((1 - level) / 2);
  const q = n - k;
  const middle = k + (z * z) / 2;
  const half = z * Math.sqrt((k * q) / n + (z * z) / 4);
  const whole = n + z * z;
  return [k === 0 ? 0 : (middle - half) / whole, k === n ? 1 : (middle + half) / whole];
}
