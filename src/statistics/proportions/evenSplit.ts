/**
 * Whether two counts are an even split: each counted thing fell on either side with probability 1/2. One look, fixed in
 * advance.
 */

import { checkCounts } from '../samples/interval.ts';
import { atMost } from './binomialTail.ts';

export interface EvenSplit {
  /** Exact two-sided p: never too small too often. */
  readonly exact: number;
  /** Half the probability of what was seen left out: closer to its level on average, without the guarantee. */
  readonly mid: number;
}

/**
 * Exact test of an even split, given the total. For discordant pairs it is McNemar's test, for two cells of a
 * multinomial sample the conditional test that they are equally probable.
 * @param first,second whole, >= 0; no counts at all give 1
 * @throws RangeError otherwise
 * Source: Q. McNemar, Psychometrika 12 (1947) 153-157; mid-p: M. W. Fagerland, S. Lydersen and P. Laake,
 * BMC Medical Research Methodology 13 (2013) 91.
 */
export function evenSplit(first: number, second: number): EvenSplit {
  checkCounts({ first, second });
  const less = Math.min(first, second);
  const total = first + second;
  const upTo = atMost(less, total, 0.5);
  const under = atMost(less - 1, total, 0.5);
  // An even result is no evidence at all: both are exactly 1 then.
  if (first === second) return { exact: 1, mid: 1 };
  return { exact: Math.min(1, 2 * upTo), mid: upTo + under };
}
