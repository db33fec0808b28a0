/**
 * How many trials demonstrate a reliability, with so many failures allowed. The plan before the trials; afterwards see
 * binomial.ts.
 */

import { checkCounts } from '../samples/interval.ts';
import { attemptsFor } from './attempts.ts';

/**
 * Smallest number of trials after which at most `failures` failures show the reliability: were it any lower, so few
 * would be seen with probability at most 1 - confidence. Without failures it is the success run ln(1 -
 * confidence)/ln(reliability).
 * @param reliability in (0, 1)   @param confidence in (0, 1)   @param failures whole, >= 0
 * @throws RangeError otherwise
 * Source: S. S. Wilks, Annals of Mathematical Statistics 12 (1941) 91-96; as sample-size tables in J. M. Hanson and B.
 * B. Beard, Applying Monte Carlo Simulation to Launch Vehicle Design and Requirements Analysis, NASA/TP-2010-216447.
 */
export function trialsToDemonstrate(reliability: number, confidence: number, failures: number): number {
  for (const share of [reliability, confidence]) {
    if (!(share > 0 && share < 1)) throw new RangeError(`reliability and confidence lie between 0 and 1, not ${share}`);
  }
  checkCounts({ failures });
  // Were the reliability just this, so many trials would bring one failure more than allowed with this assurance.
  return attemptsFor(1 - reliability, failures + 1, confidence);
}
