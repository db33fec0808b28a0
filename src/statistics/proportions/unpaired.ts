/** Difference of two success probabilities from two separate sets of trials, as of real attempts. Same luck: use paired.ts. */

import type { Interval } from '../samples/interval.ts';
import { wilson } from './binomial.ts';
import type { Difference } from './paired.ts';

/**
 * k1/n1 minus k2/n2 with the square-and-add interval on Wilson's limits.
 * @param k1,k2 whole, 0..n   @param n1,n2 whole, >= 1   @param level in (0, 1)
 * @throws RangeError otherwise
 * Source: R. G. Newcombe, Statistics in Medicine 17 (1998) 873-890, method 10.
 */
export function newcombeUnpaired(k1: number, n1: number, k2: number, n2: number, level: number): Difference {
  const [l1, u1] = wilson(k1, n1, level);
  const [l2, u2] = wilson(k2, n2, level);
  const p1 = k1 / n1;
  const p2 = k2 / n2;
  const difference = p1 - p2;
  const interval: Interval = [difference - Math.hypot(p1 - l1, u2 - p2), difference + Math.hypot(u1 - p1, p2 - l2)];
  return { difference, interval };
}
