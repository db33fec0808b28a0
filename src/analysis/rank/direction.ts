/**
 * Which way an input works on success: more of it helps, more of it hurts, or being off its middle hurts. Flies
 * nothing.
 */
import { normalCdf } from '../../maths/normal.ts';
import { exactTwoGroups } from '../../statistics/proportions/twoGroups.ts';
import { type KeptRanks, keptRanks, ranksFromMiddle } from '../../statistics/samples/keptRanks.ts';
import { spearman } from '../../statistics/samples/rankCorrelation.ts';
import { endOfTwoValues, type Ranked } from '../../statistics/samples/ranks.ts';
import type { Stated } from '../../statistics/sensitivity/influence.ts';
import { LEVEL } from '../fly/summary.ts';

/** `unclear`: neither shows beyond chance. */
export type Direction = 'more helps' | 'more hurts' | 'off-centre hurts' | 'off-centre helps' | 'unclear';

/** Success of flights as 0/1, varying, with its ranks made once for all inputs. */
export interface RankedSuccess {
  readonly values: Float64Array;
  readonly kept: KeptRanks;
}

export function rankedSuccess(success: Ranked): RankedSuccess {
  return { values: success.values, kept: keptRanks(success) };
}

/**
 * By rank correlation of success with the input and with its distance, in rank, from the middle; the stronger of the
 * two where it shows.
 * @param comparisons inputs asked about at once: the chance of a word too many is shared between them
 * @param known the rank correlation of the two, where the caller has it
 */
export function direction(x: Ranked, success: RankedSuccess, comparisons: number, known?: Stated): Direction {
  const lower = endOfTwoValues(x);
  if (lower !== null) return ofTwoValues(x, lower, success.values, comparisons);
  const along = zOf(known ?? spearman(keptRanks(x), success.kept));
  const across = zOf(spearman(ranksFromMiddle(x), success.kept));
  const z = Math.abs(along) >= Math.abs(across) ? along : across;
  if (2 * normalCdf(-Math.abs(z)) > (1 - LEVEL) / (2 * comparisons)) return 'unclear';
  if (z === along) return z > 0 ? 'more helps' : 'more hurts';
  return z > 0 ? 'off-centre helps' : 'off-centre hurts';
}

function zOf({ estimate, standardError }: Stated): number {
  return standardError > 0 ? estimate / standardError : Math.sign(estimate) * Number.MAX_VALUE;
}

/**
 * An input of two values has no middle to be off, and the rarer of them may be too rare for anything but an exact test.
 */
function ofTwoValues({ order }: Ranked, lower: number, success: Float64Array, comparisons: number): Direction {
  let [k1, k2] = [0, 0];
  for (let i = 0; i < order.length; i++) {
    if (i < lower) k1 += success[order[i]];
    else k2 += success[order[i]];
  }
  const [n1, n2] = [lower, order.length - lower];
  if (exactTwoGroups({ k1, n1, k2, n2 }) > (1 - LEVEL) / (2 * comparisons)) return 'unclear';
  return k2 / n2 > k1 / n1 ? 'more helps' : 'more hurts';
}
