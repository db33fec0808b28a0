/**
 * Comparing two ways on the same luck while the pairs still come in: statements that hold at every look, and so
 * whenever one stops. For one look at a number of pairs fixed in advance paired.ts is shorter.
 *
 * A pair scores D = +1 (first only), -1 (second only) or 0. Against the supposition that D has mean d one bets, each
 * pair anew, the share b of one's wealth on the first and 1 - b on the second; fair prices multiply the two stakes by
 * (1 + D)/(1 + d) and (1 - D)/(1 - d). If the supposition is true, wealth is a nonnegative martingale for every b, and
 * so is its average over b drawn from a fixed distribution, here Beta(A, A). By Ville's inequality it ever reaches
 * 1/alpha with probability at most alpha. The average depends on the four counts alone, not on the order of the pairs.
 * For d = 0 pairs that agree leave wealth unchanged, and it is the classical mixture test that differing pairs split
 * evenly.
 *
 * Sources: J. Ville, Etude critique de la notion de collectif, Gauthier-Villars 1939; H. Robbins, Annals of
 * Mathematical Statistics 41 (1970) 1397-1409 (mixtures); I. Waudby-Smith and A. Ramdas, Journal of the Royal
 * Statistical Society B 86 (2024) 1-27 (means of bounded variables by betting); F. Orabona and K.-S. Jun, IEEE
 * Transactions on Information Theory 70 (2024) 436-455 (averaging all b).
 */
import { logBeta } from '../../maths/incompleteBeta.ts';
import { checkCounts, checkLevel, type Interval } from '../samples/interval.ts';
import type { PairCounts } from './paired.ts';

/**
 * Any A > 0 is valid. A half-integer keeps the integrand below smooth in its angle; 5/2 puts more weight on cautious
 * bets than 1/2: a winner of 60 to 40 is seen after 254 differing pairs instead of 302, one that always wins after 10
 * instead of 7 (at 5 %).
 */
const A = 2.5;

/** Decided for one, decided that they differ by no more than the margin, or still open. */
export type SequentialVerdict = 'first' | 'second' | 'alike' | 'open';

/**
 * Anytime-valid p value of "both ways succeed equally often": at whatever look one stops, it is at or under alpha with
 * probability at most alpha if that is true. The least over all looks so far is valid too.
 * @param pairs whole, >= 0; none at all give 1
 * @throws RangeError otherwise
 */
export function anytimeP(pairs: PairCounts): number {
  checkPairs(pairs);
  return Math.min(1, Math.exp(-logEvenWealth(pairs.firstOnly, pairs.secondOnly)));
}

/**
 * Confidence sequence for the difference of the two success probabilities, first minus second: with probability `level`
 * it holds the true difference at every look. It excludes 0 exactly when {@link anytimeP} is at or under 1 - level.
 * @param pairs whole, >= 0; none at all give [-1, 1]   @param level in (0, 1)
 * @throws RangeError otherwise
 */
export function differenceSequence(pairs: PairCounts, level: number): Interval {
  checkPairs(pairs);
  checkLevel(level);
  const same = pairs.both + pairs.neither;
  const lower = (f: number, g: number): number => {
    if (f + same === 0) return -1;
    // Wealth against d is log-convex in d and at most 1 at the observed difference: beyond the first excluded d all
    // are.
    const excluded = (d: number) => logWealth(f, g, same, d) >= -Math.log(1 - level);
    return boundary(excluded, -1, (f - g) / (f + g + same));
  };
  const { firstOnly, secondOnly } = pairs;
  return [lower(firstOnly, secondOnly), -lower(secondOnly, firstOnly)];
}

/**
 * What may be said at this look, and stopped at; wrong at any look ever with probability at most 1 - level, since it is
 * read from one confidence sequence. For m comparisons at once give 1 - (1 - level)/m.
 * @param margin difference in success probability that does not matter, > 0; null: only a winner ends the comparison
 * @throws RangeError for unfit arguments
 */
export function verdict(pairs: PairCounts, level: number, margin: number | null): SequentialVerdict {
  if (margin !== null && !(margin > 0)) throw new RangeError(`a margin that does not matter is over 0, not ${margin}`);
  const [low, high] = differenceSequence(pairs, level);
  if (low > 0) return 'first';
  if (high < 0) return 'second';
  return margin !== null && low >= -margin && high <= margin ? 'alike' : 'open';
}

/** ln of the wealth against d = 0 after f and g differing pairs, in closed form. */
function logEvenWealth(f: number, g: number): number {
  return (f + g) * Math.LN2 + logBeta(A + f, A + g) - logBeta(A, A);
}

/**
 * How far below its peak, in ln, the integrand is left out, and the steps across what is kept (a normal curve: 0.15
 * deviations each).
 */
const DROP = 45;
const STEPS = 128;

/**
 * ln of the wealth against mean d, -1 < d < 1, after f, g and `same` pairs scoring +1, -1 and 0.
 * In b = sin^2(t) the integrand is smooth, even about both ends, and has one peak, so that the trapezoidal rule is as
 * good as exact.
 * @throws RangeError for d outside (-1, 1)
 */
export function logWealth(f: number, g: number, same: number, d: number): number {
  if (!(d > -1 && d < 1)) throw new RangeError(`a mean score lies between -1 and 1, not ${d}`);
  const up = 1 / (1 + d);
  const down = 1 / (1 - d);
  const integrand = (t: number): number => {
    const s = Math.sin(t) ** 2;
    const c = Math.cos(t) ** 2;
    return (f + A - 0.5) * Math.log(s) + (g + A - 0.5) * Math.log(c) + same * Math.log(s * up + c * down);
  };
  // The exponents' derivative in b falls throughout: its zero is the peak.
  const slope = (b: number) => (f + A - 0.5) / b - (g + A - 0.5) / (1 - b) + (same * (up - down)) / (b * up + (1 - b) * down);
  const peak = Math.asin(Math.sqrt(boundary((b) => slope(b) > 0, 0, 1)));
  const top = integrand(peak);
  const from = boundary((t) => integrand(t) < top - DROP, 0, peak);
  const to = boundary((t) => integrand(t) >= top - DROP, peak, Math.PI / 2);
  const step = (to - from) / STEPS;
  let sum = 0;
  // Both ends are below e^-45 of the peak: their half weights do not matter.
  for (let i = 1; i < STEPS; i++) sum += Math.exp(integrand(from + i * step) - top);
  return f * Math.log(2 * up) + g * Math.log(2 * down) + top + Math.log(2 * step * sum) - logBeta(A, A);
}

/** Where, between low and high, a condition true at first becomes false; the last point seen true, or low. */
function boundary(holds: (x: number) => boolean, low: number, high: number): number {
  let last = low;
  let next = high;
  for (let i = 0; i < 52; i++) {
    const middle = (last + next) / 2;
    if (holds(middle)) last = middle;
    else next = middle;
  }
  return last;
}

function checkPairs({ both, firstOnly, secondOnly, neither }: PairCounts): void {
  checkCounts({ both, firstOnly, secondOnly, neither });
}
