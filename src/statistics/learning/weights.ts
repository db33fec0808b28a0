/** Weights of particles: how many they are worth, how far to temper, whom to keep. Moves no particle. */
import type { Stream } from '../../maths/streams.ts';

/**
 * (sum w)^2 / sum w^2: how many equal particles these are worth; 0 when all weigh nothing.
 * Source: A. Kong, J. S. Liu and W. H. Wong, J. American Statistical Association 89 (1994) 278-288.
 */
export function effectiveSize(logWeights: Float64Array): number {
  const most = greatest(logWeights);
  if (most === Number.NEGATIVE_INFINITY) return 0;
  let sum = 0;
  let squares = 0;
  for (const log of logWeights) {
    const w = Math.exp(log - most);
    sum += w;
    squares += w * w;
  }
  return (sum * sum) / squares;
}

/** log of the mean weight, also where the weights themselves would underflow. */
export function logMeanWeight(logWeights: Float64Array): number {
  const most = greatest(logWeights);
  if (most === Number.NEGATIVE_INFINITY) return most;
  let sum = 0;
  for (const log of logWeights) sum += Math.exp(log - most);
  return most + Math.log(sum / logWeights.length);
}

function greatest(values: Float64Array): number {
  return values.reduce((most, value) => Math.max(most, value), Number.NEGATIVE_INFINITY);
}

/** Steps of the bisection for an exponent: to the last bits. */
const HALVINGS = 60;

/**
 * The exponent up to which equal particles, weighed by likelihood^(exponent - before), keep an effective size of
 * `share` of their number; 1 where they keep more.
 * @param logLikelihood one a particle, finite   @param before in [0, 1)   @param share in (0, 1)
 * Source: P. Del Moral, A. Doucet and A. Jasra, Statistics and Computing 22 (2012) 1009-1020, section 3.
 */
export function nextExponent(logLikelihood: Float64Array, before: number, share: number): number {
  const enough = (exponent: number): boolean =>
    effectiveSize(logLikelihood.map((log) => (exponent - before) * log)) >= share * logLikelihood.length;
  if (enough(1)) return 1;
  let low = before;
  let high = 1;
  for (let i = 0; i < HALVINGS; i++) {
    const middle = 0.5 * (low + high);
    if (enough(middle)) low = middle;
    else high = middle;
  }
  return low > before ? low : high;
}

/**
 * Systematic resampling: places of the particles kept, ascending, each as often as its weight says, up to one more or
 * less.
 * Source: G. Kitagawa, J. Computational and Graphical Statistics 5 (1996) 1-25, appendix.
 */
export function systematicResample(logWeights: Float64Array, uniform: Stream): Int32Array {
  const n = logWeights.length;
  const most = greatest(logWeights);
  const weights = logWeights.map((log) => Math.exp(log - most));
  const total = weights.reduce((sum, w) => sum + w, 0);
  const start = uniform();
  const kept = new Int32Array(n);
  let place = 0;
  let upTo = weights[0];
  for (let i = 0; i < n; i++) {
    const point = ((i + start) / n) * total;
    while (upTo < point && place < n - 1) {
      place++;
      upTo += weights[place];
    }
    kept[i] = place;
  }
  return kept;
}
