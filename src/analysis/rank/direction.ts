/** Which way an input works on success: more of it helps, more of it hurts, or being off its middle hurts. Flies nothing. */
import { normalCdf } from '../../maths/normal.ts';
import { spearman } from '../../statistics/samples/rankCorrelation.ts';
import { type Ranked, ranked } from '../../statistics/samples/ranks.ts';
import type { Estimate } from '../../statistics/sensitivity/influence.ts';
import { LEVEL } from '../fly/summary.ts';

/** `unclear`: neither shows beyond chance. */
export type Direction = 'more helps' | 'more hurts' | 'off-centre hurts' | 'off-centre helps' | 'unclear';

/**
 * By rank correlation of success with the input and with its distance, in rank, from the middle; the stronger of the two where it shows.
 * @param success 0/1, varying   @param comparisons inputs asked about at once: the chance of a word too many is shared between them
 * @param known the rank correlation of the two, where the caller has it
 */
export function direction(x: Ranked, success: Ranked, comparisons: number, known?: Estimate): Direction {
  const along = zOf(known ?? spearman(x, success));
  const across = twoValued(x) ? 0 : acrossOf(x, success);
  const z = Math.abs(along) >= Math.abs(across) ? along : across;
  if (2 * normalCdf(-Math.abs(z)) > (1 - LEVEL) / (2 * comparisons)) return 'unclear';
  if (z === along) return z > 0 ? 'more helps' : 'more hurts';
  return z > 0 ? 'off-centre helps' : 'off-centre hurts';
}

function zOf({ estimate, standardError }: Estimate): number {
  return standardError > 0 ? estimate / standardError : Math.sign(estimate) * Number.MAX_VALUE;
}

function acrossOf(x: Ranked, success: Ranked): number {
  const n = x.ranks.length;
  const distances = new Float64Array(n);
  for (let i = 0; i < n; i++) distances[i] = Math.abs(x.ranks[i] - (n + 1) / 2);
  return zOf(spearman(ranked(distances), success));
}

/** An input of two values has no middle to be off. */
function twoValued({ values, order }: Ranked): boolean {
  const least = values[order[0]];
  const most = values[order[order.length - 1]];
  for (const value of values) if (value !== least && value !== most) return false;
  return true;
}
