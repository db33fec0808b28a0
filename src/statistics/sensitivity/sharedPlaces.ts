/**
 * Places in a ranking of estimates, shared where the data do not tell two apart. Used for every ranking that is
 * printed.
 */
import { normalCdf } from '../../maths/normal.ts';
import { holm } from '../samples/holm.ts';
import { checkLevel } from '../samples/interval.ts';

/** Places count from 1; one an estimate, in the order given. */
export interface Place {
  /**
   * 1 + the number of estimates shown to be larger: the place to print; those not told apart from the leader of a group
   * share it.
   */
  readonly best: number;
  /** The number of estimates less those shown to be smaller. */
  readonly worst: number;
}

/**
 * Best and worst place of each estimate, true all at once with probability `level`: no two are put in order unless
 * their difference, with its own paired standard error, is beyond chance after Holm's adjustment over all ordered
 * pairs. (Comparing two separate intervals by eye would do neither: it overlooks what the estimates share, and how many
 * pairs are looked at.)
 * @param estimates d values, larger is more important   @param covariance d x d by rows, from influence.ts or
 * bootstrap.ts
 * @param level in (0, 1)
 * @throws RangeError on a size that does not fit or an entry that is not finite.
 * Source: M. Mogstad, J. P. Romano, A. M. Shaikh and D. Wilhelm, Inference for ranks with applications to mobility
 * across neighbourhoods and academic achievement across countries, Rev. Econ. Stud. 91 (2024) 476-518; here with normal
 * tails.
 */
export function sharedPlaces(estimates: readonly number[], covariance: Float64Array, level: number): Place[] {
  checkLevel(level);
  const d = estimates.length;
  if (covariance.length !== d * d) throw new RangeError(`${d} estimates need a covariance of ${d * d} entries, not ${covariance.length}`);
  const pValues: number[] = [];
  const pairs: [larger: number, smaller: number][] = [];
  for (const [i, a] of estimates.entries()) {
    for (const [j, b] of estimates.entries()) {
      if (i === j) continue;
      pairs.push([i, j]);
      pValues.push(chanceOfAtLeast(a - b, differenceVariance(covariance, d, i, j)));
    }
  }
  const larger = new Array<number>(d).fill(0);
  const smaller = new Array<number>(d).fill(0);
  for (const [k, adjusted] of holm(pValues).entries()) {
    const pair = pairs[k];
    if (pair === undefined || adjusted > 1 - level) continue;
    const [i, j] = pair;
    larger[j] += 1;
    smaller[i] += 1;
  }
  return estimates.map((_, i) => ({ best: 1 + larger[i], worst: d - smaller[i] }));
}

function differenceVariance(covariance: Float64Array, d: number, i: number, j: number): number {
  return covariance[i * d + i] + covariance[j * d + j] - 2 * covariance[i * d + j];
}

function chanceOfAtLeast(difference: number, variance: number): number {
  if (!Number.isFinite(difference) || !Number.isFinite(variance))
    throw new RangeError(`a difference of ${difference} with variance ${variance}`);
  // Two columns that are one, or nothing seen to vary (rounding may leave a trace of either sign): no spread seen is no
  // certainty.
  if (variance <= 0) return 1;
  return normalCdf(-difference / Math.sqrt(variance));
}
