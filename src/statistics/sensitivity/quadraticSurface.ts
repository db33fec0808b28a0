/**
 * A response surface of second order in up to three coordinates, fitted to noisy values or to shares, and where it is
 * greatest. Knows nothing of what responds.
 *
 * Source: G. E. P. Box and K. B. Wilson, On the experimental attainment of optimum conditions, J. Royal Statistical
 * Society B 13 (1951) 1-45.
 */
import { checkCounts } from '../samples/interval.ts';
import { leastSquares } from './leastSquares.ts';

/** Value of the surface; of shares it is the log odds. */
export type Surface = (x: readonly number[]) => number;

/** Dimensions a search on a grid can afford. */
export const MOST_DIMENSIONS = 3;

/** Coefficients of a full quadratic. @param d dimensions */
export function quadraticTerms(d: number): number {
  return ((d + 1) * (d + 2)) / 2;
}

function terms(x: readonly number[]): number[] {
  return [1, ...x, ...x.flatMap((value, i) => x.slice(i).map((other) => value * other))];
}

/**
 * The terms of each point, with a column for each block but the first: what is common to a block's values shifts its
 * level, not the shape.
 */
function rowsOf(points: readonly (readonly number[])[], blocks: readonly number[] | undefined): number[][] {
  if (blocks === undefined) return points.map(terms);
  const others = [...new Set(blocks)].filter((block) => block !== blocks[0]);
  return points.map((point, i) => [...terms(point), ...others.map((block) => (block === blocks[i] ? 1 : 0))]);
}

/** Of the first block, where there are several. */
function surfaceOf(coefficients: Float64Array): Surface {
  return (x) => terms(x).reduce((sum, term, i) => sum + term * coefficients[i], 0);
}

/**
 * Quadratic through values of unequal precision.
 * @param points coordinates, about -1..1; at least as many as coefficients   @param weights > 0, inverse to the
 * variances
 * @param blocks of each point, for values that share an error with others of their block; none when left out
 * @throws RangeError when the points do not settle a quadratic
 */
export function fitValues(
  points: readonly (readonly number[])[],
  values: readonly number[],
  weights: readonly number[],
  blocks?: readonly number[],
): Surface {
  return surfaceOf(leastSquares(rowsOf(points, blocks), values, weights).coefficients);
}

/** Newton steps at most; four to six are usual. */
const MOST_STEPS = 50;
const CONVERGED = 1e-10;
/** Of a point whose fitted share is 0 or 1 to rounding. */
const LEAST_WEIGHT = 1e-12;

/**
 * Logistic quadratic through shares: maximum likelihood by weighted least squares again and again, with half a success
 * and half a failure added everywhere, so that the estimate is finite whatever the counts.
 * @param points as of {@link fitValues}   @param successes whole, 0..trials   @param trials whole, >= 1   @param blocks
 * as there
 * @throws RangeError on unfit counts or points that do not settle a quadratic
 * Sources: J. A. Nelder and R. W. M. Wedderburn, J. Royal Statistical Society A 135 (1972) 370-384; the halves:
 * F. J. Anscombe, On estimating binomial response relations, Biometrika 43 (1956) 461-464.
 */
export function fitShares(
  points: readonly (readonly number[])[],
  successes: readonly number[],
  trials: readonly number[],
  blocks?: readonly number[],
): Surface {
  const rows = rowsOf(points, blocks);
  const n = trials.map((count, i) => {
    checkCounts({ successes: successes[i], trials: count });
    if (count < 1 || successes[i] > count) throw new RangeError(`${successes[i]} successes in ${count} trials`);
    return count + 1;
  });
  const k = successes.map((count) => count + 0.5);
  let eta = k.map((count, i) => Math.log(count / (n[i] - count)));
  let coefficients = new Float64Array(0);
  for (let step = 0; step < MOST_STEPS; step++) {
    const p = eta.map((value) => 1 / (1 + Math.exp(-value)));
    const weights = p.map((share, i) => Math.max(n[i] * share * (1 - share), LEAST_WEIGHT));
    const working = eta.map((value, i) => value + (k[i] - n[i] * p[i]) / weights[i]);
    const next = Float64Array.from(leastSquares(rows, working, weights).coefficients);
    const moved =
      coefficients.length === 0 ? Infinity : next.reduce((most, value, i) => Math.max(most, Math.abs(value - coefficients[i])), 0);
    coefficients = next;
    if (moved < CONVERGED) break;
    eta = rows.map((row) => row.reduce((sum, value, i) => sum + value * next[i], 0));
  }
  return surfaceOf(coefficients);
}

/** Points of the grid along each coordinate, by dimensions. */
const GRID = [0, 401, 81, 33];
/** The last step of the refinement. */
const FINEST = 1e-4;

/**
 * The place within the box -1..1 where a surface is greatest among those that are allowed: the best of a grid, then
 * steps along the coordinates, halved until they are fine.
 * @returns null when no place of the grid is allowed   @throws RangeError for more than {@link MOST_DIMENSIONS}
 */
export function greatestWithin(surface: Surface, dimensions: number, allowed: (x: readonly number[]) => boolean): number[] | null {
  if (!(dimensions >= 1 && dimensions <= MOST_DIMENSIONS)) throw new RangeError(`a surface of ${dimensions} dimensions`);
  const side = GRID[dimensions];
  const best: number[] = [];
  let value = Number.NEGATIVE_INFINITY;
  const consider = (x: readonly number[]): boolean => {
    if (!x.every((c) => Math.abs(c) <= 1)) return false;
    const there = surface(x);
    if (!(there > value) || !allowed(x)) return false;
    best.splice(0, best.length, ...x);
    value = there;
    return true;
  };
  for (let index = 0; index < side ** dimensions; index++) {
    consider(Array.from({ length: dimensions }, (_, d) => (2 * (Math.floor(index / side ** d) % side)) / (side - 1) - 1));
  }
  for (let step = 1 / (side - 1); step > FINEST; ) {
    let moved = false;
    for (let d = 0; d < dimensions; d++) {
      for (const sign of [-1, 1]) {
        if (best.length > 0 && consider(best.map((c, i) => (i === d ? c + sign * step : c)))) moved = true;
      }
    }
    if (!moved) step /= 2;
  }
  return best.length > 0 ? best : null;
}
