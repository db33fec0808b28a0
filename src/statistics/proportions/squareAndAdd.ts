/** An interval for a difference from the intervals of its two parts. Knows nothing of what the parts are. */
import type { Interval } from '../samples/interval.ts';

/** One part of a difference. */
export interface PartEstimate {
  readonly estimate: number;
  readonly interval: Interval;
}

/**
 * Interval of first minus second: the distances of each part to its own limits, squared and added, less what the two
 * have in common. It keeps the level as well as its parts do, and need not be symmetric.
 * @param correlation of the two estimates, in [-1, 1]
 * Source: R. G. Newcombe, Statistics in Medicine 17 (1998) 2635-2650 (method 10); G. Y. Zou and A. Donner, Statistics
 * in Medicine 27 (2008) 1693-1702, for any two parts.
 */
export function squareAndAdd(first: PartEstimate, second: PartEstimate, correlation: number): Interval {
  const difference = first.estimate - second.estimate;
  const [l1, u1] = first.interval;
  const [l2, u2] = second.interval;
  return [
    difference - reach(first.estimate - l1, u2 - second.estimate, correlation),
    difference + reach(u1 - first.estimate, second.estimate - l2, correlation),
  ];
}

function reach(a: number, b: number, correlation: number): number {
  // At a correlation of 1 the exact value is (a - b)^2, which rounding may turn into a negative hair.
  return Math.sqrt(Math.max(0, a * a - 2 * correlation * a * b + b * b));
}
