/** Two ways tried on the same luck: success differences from pairs, looked at once. For looking again and again see sequential.ts. */

import { checkCounts, checkLevel, type Interval } from '../samples/interval.ts';
import { wilson } from './binomial.ts';
import { type EvenSplit, evenSplit } from './evenSplit.ts';

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
 * Difference of two success probabilities from pairs, with the square-and-add interval on Wilson's limits and the observed
 * correlation (continuity-corrected when positive).
 * @param pairs whole, >= 0, at least one pair
 * @param level in (0, 1)
 * @throws RangeError otherwise
 * Source: R. G. Newcombe, Statistics in Medicine 17 (1998) 2635-2650, method 10.
 */
export function newcombePaired(pairs: PairCounts, level: number): Difference {
  const { both: e, firstOnly: f, secondOnly: g, neither: h } = pairs;
  checkCounts({ both: e, firstOnly: f, secondOnly: g, neither: h });
  checkLevel(level);
  const n = e + f + g + h;
  if (n < 1) throw new RangeError('a paired difference needs at least one pair, got none');
  const p1 = (e + f) / n;
  const p2 = (e + g) / n;
  const [l1, u1] = wilson(e + f, n, level);
  const [l2, u2] = wilson(e + g, n, level);
  const phi = correlation(e, f, g, h);
  const difference = (f - g) / n;
  return {
    difference,
    interval: [difference - root(p1 - l1, u2 - p2, phi), difference + root(p2 - l2, u1 - p1, phi)],
  };
}

/** McNemar's test that both ways succeed equally often: only the pairs that differ speak. @throws RangeError for unfit counts. */
export function mcnemar(pairs: PairCounts): EvenSplit {
  return evenSplit(pairs.firstOnly, pairs.secondOnly);
}

function correlation(e: number, f: number, g: number, h: number): number {
  // Root by root: the product of four margins of a million pairs leaves the whole numbers.
  const product = Math.sqrt(e + f) * Math.sqrt(g + h) * Math.sqrt(e + g) * Math.sqrt(f + h);
  if (product === 0) return 0;
  const cross = e * h - f * g;
  const c = cross > 0 ? Math.max(cross - (e + f + g + h) / 2, 0) : cross;
  return c / product;
}

function root(a: number, b: number, phi: number): number {
  // At phi = 1 the exact value is (a - b)^2, which rounding may turn into a negative hair.
  return Math.sqrt(Math.max(0, a * a - 2 * phi * a * b + b * b));
}
