/**
 * Probabilities of counts: binomial and hypergeometric, without the loss of digits that factorials of large numbers
 * bring.
 */
import { factorialRemainder } from './stirling.ts';

/**
 * P(B = k), B binomial of n and p. Relative accuracy about 1e-13, at n = 1e7 still 1e-12 near the middle.
 * @param k whole, 0..n   @param n whole   @param p in [0, 1]   @throws RangeError otherwise
 * Source: C. Loader, Fast and accurate computation of binomial probabilities (2000): Stirling's remainders and the
 * deviance, no large terms.
 */
export function binomialProbability(k: number, n: number, p: number): number {
  if (!(Number.isSafeInteger(n) && Number.isSafeInteger(k) && k >= 0 && k <= n && p >= 0 && p <= 1)) {
    throw new RangeError(`no binomial probability of ${k} in ${n} at ${p}`);
  }
  const q = 1 - p;
  if (p === 0) return k === 0 ? 1 : 0;
  if (q === 0) return k === n ? 1 : 0;
  if (k === 0) return Math.exp(p < 0.1 ? -deviance(n, n * q) - n * p : n * Math.log(q));
  if (k === n) return Math.exp(q < 0.1 ? -deviance(n, n * p) - n * q : n * Math.log(p));
  const remainders = factorialRemainder(n) - factorialRemainder(k) - factorialRemainder(n - k);
  const exponent = remainders - deviance(k, n * p) - deviance(n - k, n * q);
  return Math.exp(exponent) * Math.sqrt(n / (2 * Math.PI * k * (n - k)));
}

/**
 * P(H = k): so many marked ones among `drawn` taken without putting back from `marked` marked and `plain` plain ones.
 * @param k whole, max(0, drawn - plain)..min(marked, drawn); outside it is 0
 * Source: as above, for the hypergeometric distribution is three binomial ones of one and the same p.
 */
export function hypergeometricProbability(k: number, marked: number, plain: number, drawn: number): number {
  if (k < Math.max(0, drawn - plain) || k > Math.min(marked, drawn)) return 0;
  if (drawn === 0) return 1;
  const p = drawn / (marked + plain);
  const all = binomialProbability(drawn, marked + plain, p);
  return (binomialProbability(k, marked, p) * binomialProbability(drawn - k, plain, p)) / all;
}

/** x log(x/m) + m - x, x and m > 0: by a series where they are near, for there the terms cancel. */
function deviance(x: number, m: number): number {
  const d = x - m;
  if (Math.abs(d) >= 0.1 * (x + m)) return x * Math.log(x / m) + m - x;
  const v = d / (x + m);
  let sum = d * v;
  let power = 2 * x * v;
  for (let j = 1; ; j++) {
    power *= v * v;
    const next = sum + power / (2 * j + 1);
    if (next === sum) return sum;
    sum = next;
  }
}
