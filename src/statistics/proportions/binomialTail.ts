/** Tails of the binomial distribution: sums of what maths/binomial.ts gives one by one. */
import { binomialProbability } from '../../maths/binomial.ts';
import { betaFraction } from '../../maths/incompleteBeta.ts';
import { checkCounts } from '../samples/interval.ts';

/**
 * P(B <= k), B binomial of n and p. Relative accuracy 1e-12 up to n = 1e7, in either tail.
 * @param k whole, -1 or more (-1 and n and over are certain to fail and to hold)   @param n whole, >= 0   @param p in
 * [0, 1]
 * @throws RangeError otherwise
 * Source: NIST Digital Library of Mathematical Functions, 8.17.5 (binomial sum) and 8.17.22 (continued fraction).
 */
export function atMost(k: number, n: number, p: number): number {
  check(k, n, p);
  if (k < 0) return 0;
  if (k >= n || p === 0) return 1;
  if (p === 1) return 0;
  return p < turn(k, n) ? 1 - upper(k, n, p) : lower(k, n, p);
}

/** P(B > k), as accurate in its own right. Arguments and source as for {@link atMost}. @throws RangeError otherwise */
export function moreThan(k: number, n: number, p: number): number {
  check(k, n, p);
  if (k < 0) return 1;
  if (k >= n || p === 0) return 0;
  if (p === 1) return 1;
  return p < turn(k, n) ? upper(k, n, p) : 1 - lower(k, n, p);
}

/**
 * Below this p the fraction for the upper tail converges fast and that tail is not near 1; above it the other one's.
 */
function turn(k: number, n: number): number {
  return (k + 2) / (n + 3);
}

/**
 * P(B >= k + 1) = I_p(k + 1, n - k). The factor x^a (1 - x)^b/(a B(a, b)) is b/(a + b) times a binomial probability.
 */
function upper(k: number, n: number, p: number): number {
  return (((n - k) / (n + 1)) * binomialProbability(k + 1, n + 1, p)) / betaFraction(k + 1, n - k, p);
}

/** P(B <= k) = I_{1 - p}(n - k, k + 1). */
function lower(k: number, n: number, p: number): number {
  return (((k + 1) / (n + 1)) * binomialProbability(k + 1, n + 1, p)) / betaFraction(n - k, k + 1, 1 - p);
}

function check(k: number, n: number, p: number): void {
  checkCounts({ n });
  if (!Number.isSafeInteger(k) || k < -1) throw new RangeError(`${k} is no number of successes`);
  if (!(p >= 0 && p <= 1)) throw new RangeError(`a probability lies in [0, 1], not ${p}`);
}
