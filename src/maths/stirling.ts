/**
 * What Stirling's formula leaves out of the logarithm of a factorial: the part that saddle-point forms need by itself.
 */

import { log } from './elementary/logarithm.ts';

const HALF_LOG_TURN = 0.5 * log(2 * Math.PI);

/** log Gamma(x) - ((x - 1/2) log x - x + log(2 pi)/2), x >= 10; absolute accuracy 1e-16. Source: DLMF 5.11.1. */
export function stirlingRemainder(x: number): number {
  const s = 1 / (x * x);
  return (1 / 12 - s * (1 / 360 - s * (1 / 1260 - s * (1 / 1680 - s * (1 / 1188 - s * (691 / 360360 - s / 156)))))) / x;
}

/** log n! - ((n + 1/2) log n - n + log(2 pi)/2) for whole n >= 0 (0 at n = 0, whose factors the caller leaves out). */
export function factorialRemainder(n: number): number {
  return n < SMALL.length ? SMALL[n] : stirlingRemainder(n);
}

/** The same difference taken from the factorials themselves, whole numbers up to 15!. */
const SMALL = Float64Array.from({ length: 16 }, (_, n) => {
  if (n === 0) return 0;
  let factorial = 1;
  for (let k = 2; k <= n; k++) factorial *= k;
  return log(factorial) - (n + 0.5) * log(n) + n - HALF_LOG_TURN;
});
