/**
 * How far a sample lies from a distribution, tails as heavily as middle. Fits nothing.
 *
 * Source: T. W. Anderson and D. A. Darling, J. Am. Stat. Assoc. 49 (1954) 765-769.
 */
import type { Sorted } from './quantiles.ts';

/** Nearest to 0 and 1 that a share may be taken: a value beyond what is possible counts as this unlikely. */
const EDGE = 1e-12;

/** A^2 of a sample against a distribution function that it was not necessarily drawn from. @param below at least one */
export function andersonDarling(sample: Sorted, below: (x: number) => number): number {
  const n = sample.length;
  if (n < 1) throw new RangeError('an empty sample lies nowhere');
  const shares = sample.map((x) => Math.min(1 - EDGE, Math.max(EDGE, below(x))));
  let sum = 0;
  for (let i = 0; i < n; i++) sum += (2 * i + 1) * (Math.log(shares[i]) + Math.log1p(-shares[n - 1 - i]));
  return -n - sum / n;
}
