/**
 * Successes of rows with and without some property: exact statements, for groups that may be very small. Pairs are
 * paired.ts.
 */
import { hypergeometricProbability } from '../../maths/binomial.ts';
import { checkSuccesses, type Interval } from '../samples/interval.ts';
import { clopperPearson } from './binomial.ts';
import type { Difference } from './paired.ts';
import { squareAndAdd } from './squareAndAdd.ts';

/** k of n successes in each of two groups. */
export interface TwoGroups {
  readonly k1: number;
  readonly n1: number;
  readonly k2: number;
  readonly n2: number;
}

/** Rounding of the distances: those equal to the one seen count as reached. */
const SLACK = 1e-9;

/**
 * Exact two-sided p of "both groups succeed alike", given how many succeeded in all: chance of shares at least so far
 * apart. Never too small too often, however few there are.
 * @throws RangeError for counts that do not fit
 * Source: R. A. Fisher, Statistical Methods for Research Workers (1934 and later), section 21.02, with the distance of
 * the shares for order.
 */
export function exactTwoGroups({ k1, n1, k2, n2 }: TwoGroups): number {
  checkSuccesses(k1, n1);
  checkSuccesses(k2, n2);
  return chanceApart(Math.abs(k1 * n2 - k2 * n1), k1 + k2, n1, n2);
}

/**
 * Chance that so many successes, dealt at random to groups of n1 and n2, come out at least so far apart: |k1 n2 - k2
 * n1| >= `reached`.
 * @param successes whole, 0..n1 + n2
 */
export function chanceApart(reached: number, successes: number, n1: number, n2: number): number {
  if (reached === 0) return 1;
  const beyond = (k: number): boolean => Math.abs(k * n2 - (successes - k) * n1) >= reached * (1 - SLACK);
  const chance = (k: number): number => hypergeometricProbability(k, successes, n1 + n2 - successes, n1);
  const most = Math.min(n1, successes);
  let sum = 0;
  // From either end inwards, for the tails are what is wanted and the middle may be long.
  let low = Math.max(0, successes - n2);
  while (low <= most && beyond(low)) sum += chance(low++);
  for (let k = most; k >= low && beyond(k); k--) sum += chance(k);
  return Math.min(1, sum);
}

/**
 * Difference of the two shares, first minus second, by square-and-add on exact limits: not under its level even for
 * groups of a few.
 * @param level in (0, 1)   @throws RangeError for unfit counts   Source: squareAndAdd.ts.
 */
export function differenceOfGroups({ k1, n1, k2, n2 }: TwoGroups, level: number): Difference {
  const part = (k: number, n: number): { estimate: number; interval: Interval } => ({
    estimate: k / n,
    interval: clopperPearson(k, n, level),
  });
  return { difference: k1 / n1 - k2 / n2, interval: squareAndAdd(part(k1, n1), part(k2, n2), 0) };
}
