/** How wide the interval of a success share will be, before anything has flown: at even odds, where it is widest. */
import { Bracket } from '../../maths/bracket.ts';
import { clopperPearson } from './binomial.ts';

/** Half of Clopper and Pearson's interval when half of the trials succeed. @param level in (0, 1)   @param trials >= 1 */
export function widestHalfWidth(trials: number, level: number): number {
  const [low, high] = clopperPearson(Math.floor(trials / 2), trials, level);
  return (high - low) / 2;
}

/** Fewest trials whose interval is within plus or minus `halfWidth` whatever comes out. @param halfWidth in (0, 0.5) */
export function trialsForHalfWidth(halfWidth: number, level: number): number {
  if (!(halfWidth > 0 && halfWidth < 0.5)) throw new RangeError(`a half-width lies between 0 and 0.5, not ${halfWidth}`);
  const between = new Bracket();
  // Chebyshev: far more than enough.
  between.start(0, Math.ceil(1 / (4 * (1 - level) * halfWidth * halfWidth)) + 100);
  while (between.width() > 0.5) between.narrow(widestHalfWidth(Math.max(1, Math.floor(between.middle())), level) <= halfWidth);
  return Math.floor(between.high);
}
