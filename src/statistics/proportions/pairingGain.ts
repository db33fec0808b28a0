/** What trying two ways on the same luck is worth, from the pairs themselves. The difference is paired.ts. */
import { normalQuantile } from '../../maths/normal.ts';
import { checkCounts, checkLevel, type Interval } from '../samples/interval.ts';
import type { PairCounts } from './paired.ts';

export interface PairingGain {
  /** Independent trials of each way that tell the difference as well as one pair does; under 1 when pairing hurts. */
  readonly ratio: number;
  /** For large numbers of pairs, on the logarithm. */
  readonly interval: Interval;
}

/**
 * Variance of the difference of two shares from n independent trials of each, p1 q1 + p2 q2 over n, against its
 * variance from n pairs, (p10 + p01 - (p10 - p01)^2) over n; both are read off the same pairs.
 * @param pairs whole, >= 0   @param level in (0, 1)
 * @returns null when no pair differs, or all do and in one direction: such pairs show no variance to compare with
 * @throws RangeError otherwise
 * Source of the interval: the delta method for multinomial counts, Y. M. M. Bishop, S. E. Fienberg and P. W. Holland,
 * Discrete Multivariate Analysis, MIT Press 1975, section 14.6.
 */
export function pairingGain(pairs: PairCounts, level: number): PairingGain | null {
  const { both, firstOnly, secondOnly, neither } = pairs;
  checkCounts({ both, firstOnly, secondOnly, neither });
  checkLevel(level);
  const n = both + firstOnly + secondOnly + neither;
  if (firstOnly + secondOnly === 0 || firstOnly === n || secondOnly === n) return null;
  const cells = [both / n, firstOnly / n, secondOnly / n, neither / n];
  const [e, f, g] = cells;
  const p1 = e + f;
  const p2 = e + g;
  const d = f - g;
  const apart = p1 * (1 - p1) + p2 * (1 - p2);
  const together = f + g - d * d;
  // Derivatives of ln(apart/together) by each cell's share.
  const slopes = [
    (2 - 2 * p1 - 2 * p2) / apart,
    (1 - 2 * p1) / apart - (1 - 2 * d) / together,
    (1 - 2 * p2) / apart - (1 + 2 * d) / together,
    0,
  ];
  const mean = cells.reduce((sum, share, i) => sum + share * slopes[i], 0);
  const variance = cells.reduce((sum, share, i) => sum + share * (slopes[i] - mean) ** 2, 0) / n;
  const factor = Math.exp(-normalQuantile((1 - level) / 2) * Math.sqrt(variance));
  const ratio = apart / together;
  return { ratio, interval: [ratio / factor, ratio * factor] };
}
