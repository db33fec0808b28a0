/** Which way an input works on success: more of it helps, more of it hurts, or being off its middle hurts. Flies nothing. */
import { normalCdf } from '../maths/normal.ts';
import { spearman } from '../statistics/rankCorrelation.ts';
import { type Ranked, ranked } from '../statistics/ranks.ts';
import { LEVEL } from './summary.ts';

/** `unclear`: neither shows beyond chance. */
export type Direction = 'more helps' | 'more hurts' | 'off-centre hurts' | 'off-centre helps' | 'unclear';

/**
 * By rank correlation of success with the input and with its distance, in rank, from the middle; the stronger of the two where it shows.
 * @param success 0/1, varying   @param comparisons inputs asked about at once: the chance of a word too many is shared between them
 */
export function direction(x: Ranked, success: Ranked, comparisons: number): Direction {
  const n = x.values.length;
  const along = zOf(x, success);
  // An input of two values has no middle to be off.
  const distances = Float64Array.from(x.ranks, (rank) => Math.abs(rank - (n + 1) / 2));
  const across = distances.every((value) => value === distances[0]) || twoValued(x) ? 0 : zOf(ranked(distances), success);
  const z = Math.abs(along) >= Math.abs(across) ? along : across;
  if (2 * normalCdf(-Math.abs(z)) > (1 - LEVEL) / (2 * comparisons)) return 'unclear';
  if (z === along) return z > 0 ? 'more helps' : 'more hurts';
  return z > 0 ? 'off-centre helps' : 'off-centre hurts';
}

function zOf(x: Ranked, success: Ranked): number {
  const { estimate, standardError } = spearman(x, success);
  return standardError > 0 ? estimate / standardError : Math.sign(estimate) * Number.MAX_VALUE;
}

function twoValued({ values, order }: Ranked): boolean {
  const least = values[order[0]];
  const most = values[order[order.length - 1]];
  return values.every((value) => value === least || value === most);
}
