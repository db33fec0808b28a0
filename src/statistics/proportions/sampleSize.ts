/** How many trials it takes to see a difference between two success probabilities. Plans only: it judges no data. */
import { pnorm } from 'lib-r-math.js';
import { normalQuantile } from '../../maths/normal.ts';

export interface Test {
  /** Two-sided error probability, in (0, 1), e.g. 0.05. */
  readonly alpha: number;
  /** Chance of seeing the difference when it is there, in (0, 1), e.g. 0.8. */
  readonly power: number;
}

/**
 * Trials in each of two independent groups of equal size, not rounded.
 * @param p1,p2 in [0, 1], different
 * @param correction continuity correction, for a test that is exact or corrected
 * @throws RangeError otherwise
 * Source: J. L. Fleiss, B. Levin and M. C. Paik, Statistical Methods for Rates and Proportions, 3rd ed., Wiley 2003, chapter 4;
 * correction: J. L. Fleiss, A. Tytun and H. K. Ury, Biometrics 36 (1980) 343-346.
 */
export function trialsPerGroup(p1: number, p2: number, test: Test, correction: boolean): number {
  const d = checkedDifference(p1, p2);
  const { za, zb } = deviates(test);
  const mean = (p1 + p2) / 2;
  const n = ((za * Math.sqrt(2 * mean * (1 - mean)) + zb * Math.sqrt(p1 * (1 - p1) + p2 * (1 - p2))) / d) ** 2;
  return correction ? (n / 4) * (1 + Math.sqrt(1 + 4 / (n * d))) ** 2 : n;
}

/**
 * Chance that n trials in each of two independent groups show the difference, by the same approximation (no correction).
 * @param n > 0   @param p1,p2 in [0, 1], different, not 0 and 1   @param alpha in (0, 1), two-sided
 * @throws RangeError otherwise
 */
export function powerOfTrials(n: number, p1: number, p2: number, alpha: number): number {
  const d = checkedDifference(p1, p2);
  if (!(n > 0)) throw new RangeError(`power needs some trials, not ${n}`);
  checkProbability(alpha, 'alpha');
  const mean = (p1 + p2) / 2;
  const spread = Math.sqrt(p1 * (1 - p1) + p2 * (1 - p2));
  if (spread === 0) throw new RangeError('between certain failure and certain success there is no chance to speak of');
  return pnorm((Math.sqrt(n) * d + normalQuantile(alpha / 2) * Math.sqrt(2 * mean * (1 - mean))) / spread);
}

/**
 * Pairs needed for McNemar's test, not rounded.
 * @param difference of the two success probabilities, not 0   @param discordant share of pairs that differ, |difference|..1
 * @throws RangeError otherwise
 * Source: R. J. Connor, Biometrics 43 (1987) 207-211.
 */
export function pairsNeeded(difference: number, discordant: number, test: Test): number {
  const d = Math.abs(difference);
  if (!(d > 0 && d <= discordant && discordant <= 1)) {
    throw new RangeError(`a difference of ${difference} cannot come from a share of ${discordant} differing pairs`);
  }
  const { za, zb } = deviates(test);
  return ((za * Math.sqrt(discordant) + zb * Math.sqrt(discordant - d * d)) / d) ** 2;
}

function deviates(test: Test): { readonly za: number; readonly zb: number } {
  checkProbability(test.alpha, 'alpha');
  checkProbability(test.power, 'power');
  return { za: -normalQuantile(test.alpha / 2), zb: normalQuantile(test.power) };
}

function checkedDifference(p1: number, p2: number): number {
  if (!(p1 >= 0 && p1 <= 1 && p2 >= 0 && p2 <= 1)) throw new RangeError(`probabilities lie in [0, 1], not ${p1} and ${p2}`);
  if (p1 === p2) throw new RangeError(`no number of trials shows a difference between ${p1} and ${p2}`);
  return Math.abs(p1 - p2);
}

function checkProbability(value: number, name: string): void {
  if (!(value > 0 && value < 1)) throw new RangeError(`${name} lies between 0 and 1, not ${value}`);
}
