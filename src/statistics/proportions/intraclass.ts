/**
 * How much of the variance of successes lies between groups of trials, without a distribution of the groups' own
 * probabilities: intraclass correlation of yes-or-no data. For groups whose size does not depend on what they showed;
 * groups that end at their first success are betaMixture.ts.
 */
import { checkCounts } from '../samples/interval.ts';
import type { Group } from './betaMixture.ts';

export interface BetweenGroups {
  /** Share of successes in all trials. */
  readonly mean: number;
  /** By the analysis of variance; negative where groups differ less than chance would have them. */
  readonly correlation: number;
  /** Variance of the groups' own probabilities, the trials' own scatter taken off; may be negative. */
  readonly variance: number;
}

/**
 * @param times how often each group counts; once when left out
 * @returns null unless there are two groups, one of them of two trials, and both successes and failures
 * Source: J. L. Fleiss and J. Cuzick, Applied Psychological Measurement 3 (1979) 537-542, compare both estimators (not
 * opened); the analysis of variance in one way is R. A. Fisher's.
 */
export function betweenGroups(groups: readonly Group[], times?: ArrayLike<number>): BetweenGroups | null {
  let k = 0;
  let n = 0;
  let squares = 0;
  let y = 0;
  let ownShares = 0;
  for (const [i, { trials, successes }] of groups.entries()) {
    checkCounts({ trials, successes });
    const weight = times === undefined ? 1 : times[i];
    if (trials === 0 || weight === 0) continue;
    k += weight;
    n += weight * trials;
    squares += weight * trials * trials;
    y += weight * successes;
    ownShares += (weight * successes * successes) / trials;
  }
  if (k < 2 || n <= k || y === 0 || y === n) return null;
  const size = (n - squares / n) / (k - 1);
  const between = (ownShares - (y * y) / n) / (k - 1);
  const within = (y - ownShares) / (n - k);
  const variance = (between - within) / size;
  return { mean: y / n, correlation: (between - within) / (between + (size - 1) * within), variance };
}
