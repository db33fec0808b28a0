/** How many attempts until so many succeed, when each succeeds alike and by itself. Knows no cost and no learning. */

import { checkCounts } from '../samples/interval.ts';
import { atMost, moreThan } from './binomialTail.ts';

/**
 * Over the relative error of the tail and of 1 - assurance: an assurance met exactly must not ask for one attempt more.
 */
const SLACK = 1e-9;

/**
 * Chance that so many successes come within so many attempts.
 * @param p in (0, 1]   @param successes whole, >= 1   @param attempts whole, >= 0
 * @throws RangeError otherwise
 * Source: negative binomial distribution; W. Feller, An Introduction to Probability Theory and Its Applications I, 3rd
 * ed., Wiley 1968, VI.8.
 */
export function chanceWithin(p: number, successes: number, attempts: number): number {
  check(p, successes);
  checkCounts({ attempts });
  return moreThan(successes - 1, attempts, p);
}

/**
 * Fewest attempts that bring the successes with at least this assurance.
 * @param p in (0, 1]   @param successes whole, >= 1   @param assurance in (0, 1)
 * @throws RangeError otherwise
 */
export function attemptsFor(p: number, successes: number, assurance: number): number {
  check(p, successes);
  if (!(assurance > 0 && assurance < 1)) throw new RangeError(`an assurance lies between 0 and 1, not ${assurance}`);
  const risk = (1 - assurance) * (1 + SLACK);
  return leastWhole(successes, (n) => atMost(successes - 1, n, p) <= risk);
}

function check(p: number, successes: number): void {
  if (!(p > 0 && p <= 1)) throw new RangeError(`without a chance of success, or with more than certainty, nothing can be planned: ${p}`);
  checkCounts({ successes });
  if (successes < 1) throw new RangeError('no success is wanted');
}

/** The least whole number from `first` on that is enough; `enough` stays true once true. */
function leastWhole(first: number, enough: (n: number) => boolean): number {
  if (enough(first)) return first;
  let tooFew = first;
  let step = 1;
  while (!enough(tooFew + step)) {
    tooFew += step;
    step *= 2;
    if (!Number.isSafeInteger(tooFew + step)) throw new RangeError('no number that can be counted is enough');
  }
  let plenty = tooFew + step;
  while (plenty - tooFew > 1) {
    const middle = Math.floor((tooFew + plenty) / 2);
    if (enough(middle)) plenty = middle;
    else tooFew = middle;
  }
  return plenty;
}
