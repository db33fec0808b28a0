/**
 * How an input of two values goes with success: every measure of it follows from two shares of landings and from how
 * often the rarer value is drawn, so all are had from exact limits of those. The general measures take sums for normal,
 * which a value drawn a few dozen times is not.
 */
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import { differenceOfGroups, exactTwoGroups, type TwoGroups } from '../../statistics/proportions/twoGroups.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import { endOfTwoValues, type Ranked } from '../../statistics/samples/ranks.ts';
import { LEVEL } from '../fly/summary.ts';
import type { AtLeast, Measured, Tested } from './ranking.ts';

export interface YesNoMeasures {
  readonly rankCorrelation: Measured;
  readonly firstOrder: Tested;
  readonly delta: AtLeast;
}

/** Landings with the higher value first, then with the lower; null for an input of other than two values. */
export function groupsByValue(x: Ranked, success: Float64Array): TwoGroups | null {
  const lower = endOfTwoValues(x);
  if (lower === null) return null;
  const n = x.order.length;
  let [k1, k2] = [0, 0];
  for (let i = 0; i < n; i++) {
    if (i < lower) k2 += success[x.order[i]];
    else k1 += success[x.order[i]];
  }
  return { k1, n1: n - lower, k2, n2: lower };
}

/**
 * With d the difference of the two shares, q how often the higher value is drawn and v the variance of success:
 * correlation d sqrt(q (1 - q)/v), share of the variance its square, delta 2 q (1 - q) |d|. Their limits take d and q
 * each at its own worst, so they err to width.
 */
export function yesNoMeasures(groups: TwoGroups): YesNoMeasures {
  const { k1, n1, k2, n2 } = groups;
  const n = n1 + n2;
  const p = (k1 + k2) / n;
  const v = p * (1 - p);
  const pValue = exactTwoGroups(groups);
  const { difference, interval } = differenceOfGroups(groups, LEVEL);
  const spread = (q: number): number => q * (1 - q);
  const [rare, often] = [...clopperPearson(n1, n, LEVEL)].map(spread).sort((a, b) => a - b);
  const q = spread(n1 / n);
  const [nearest, farthest] = sizes(interval);
  const least = pValue <= 1 - LEVEL ? nearest : 0;
  const correlation = (d: number): number => d * Math.sqrt((d < 0 ? often : rare) / v);
  return {
    rankCorrelation: {
      estimate: difference * Math.sqrt(q / v),
      interval: [Math.max(-1, correlation(interval[0])), Math.min(1, -correlation(-interval[1]))],
    },
    firstOrder: {
      estimate: (difference ** 2 * q) / v,
      interval: [(least ** 2 * rare) / v, Math.min(1, (farthest ** 2 * often) / v)],
      pValue,
    },
    delta: { estimate: 2 * q * Math.abs(difference), atLeast: 2 * rare * least, pValue },
  };
}

/** Least and greatest size of what an interval holds. */
function sizes([low, high]: Interval): Interval {
  const [a, b] = [Math.abs(low), Math.abs(high)];
  return [low <= 0 && high >= 0 ? 0 : Math.min(a, b), Math.max(a, b)];
}
