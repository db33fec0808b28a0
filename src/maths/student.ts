/**
 * Student's t distribution about 0 with scale 1: what a spread told from few values leaves open. Knows no inputs.
 * Source: Student (W. S. Gosset), Biometrika 6 (1908) 1-25; by way of the beta distribution, NIST Digital Library of
 * Mathematical Functions, 8.17.
 */
import { betaCdf, betaQuantile } from './beta.ts';

/** Both tails together from here on are the tail's own beta quantile, below it the middle's: each where it is exact. */
const TAIL = 0.01;

/** Probability of a value at or below t. @param freedom > 0 */
export function studentCdf(freedom: number): (t: number) => number {
  const tails = betaCdf(0.5 * freedom, 0.5);
  const middle = betaCdf(0.5, 0.5 * freedom);
  return (t) => {
    const square = t * t;
    if (square < freedom) {
      const half = 0.5 * middle(square / (freedom + square));
      return t < 0 ? 0.5 - half : 0.5 + half;
    }
    const tail = 0.5 * tails(freedom / (freedom + square));
    return t < 0 ? tail : 1 - tail;
  };
}

/** Its inverse, for u in (0, 1). @param freedom > 0 */
export function studentQuantile(freedom: number): (u: number) => number {
  const tails = betaQuantile(0.5 * freedom, 0.5);
  const middle = betaQuantile(0.5, 0.5 * freedom);
  return (u) => {
    const both = 2 * Math.min(u, 1 - u);
    const sign = u < 0.5 ? -1 : 1;
    if (both < TAIL) {
      const x = tails(both);
      return sign * Math.sqrt((freedom * (1 - x)) / x);
    }
    if (u === 0.5) return 0;
    const y = middle(Math.abs(1 - 2 * u));
    return sign * Math.sqrt((freedom * y) / (1 - y));
  };
}
