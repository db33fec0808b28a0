/**
 * How many independent trials it takes to see a difference between two success probabilities. Plans only: it judges no
 * data.
 */
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
 * Source: J. L. Fleiss, B. Levin and M. C. Paik, Statistical Methods for Rates and Proportions, 3rd ed., Wiley 2003,
 * chapter 4; correction: J. L. Fleiss, A. Tytun and H. K. Ury, Biometrics 36 (1980) 343-346.
 */
export function trialsPerGroup(p1: number, p2: number, test: Test, correction: boolean): number {
  const d = checkedDifference(p1, p2);
  const { za, zb } = deviates(test);
  const mean = (p1 + p2) / 2;
  const n = ((za * Math.sqrt(2 * mean * (1 - mean)) + zb * Math.sqrt(p1 * (1 - p1) + p2 * (1 - p2))) / d) ** 2;
  return correction ? (n / 4) * (1 + Math.sqrt(1 + 4 / (n * d))) ** 2 : n;
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
