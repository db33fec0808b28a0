/**
 * A preconditioned Crank-Nicolson step of one block of scores: about the normal distribution that slopes of the
 * observations make of prior and data where a particle stands. Without slopes that is the prior itself, the plain move.
 *
 * Plain moves keep the prior and so creep where the data narrowed it; about this reference they stride there too. What
 * it misses is put right when the move is accepted or not: the ratio is that of Metropolis and Hastings, both ways.
 * Sources: S. L. Cotter, G. O. Roberts, A. M. Stuart and D. White, Statistical Science 28 (2013) 424-446 (the move);
 * D. Rudolf and B. Sprungk, Foundations of Computational Mathematics 18 (2018) 309-343 (about a fitted normal).
 */
import { cholesky } from '../../maths/cholesky.ts';

/** Residuals are read as at most so many standard deviations at their weight: farther the slopes say nothing. */
const FARTHEST = 8;

/** One observation as the step sees it. */
export interface StepRow {
  /** d(residual)/d(score), one a score of the block. */
  readonly slopes: Float64Array;
  /** What a squared residual counts for, in twice the log likelihood: the exponent, over its variance. */
  readonly weight: number;
}

export class CrankNicolson {
  readonly #size: number;
  readonly #rows: readonly StepRow[];
  /** Lower factor of the precision I + J' W J. */
  readonly #factor: Float64Array;
  readonly #mean: Float64Array;
  readonly #off: Float64Array;

  /** @param rows of the observations of the block's factors; none: about the prior */
  constructor(size: number, rows: readonly StepRow[]) {
    this.#size = size;
    this.#rows = rows;
    const precision = new Float64Array(size * size);
    for (let k = 0; k < size; k++) precision[k * size + k] = 1;
    for (const { slopes, weight } of rows) {
      for (let k = 0; k < size; k++) for (let l = 0; l <= k; l++) precision[k * size + l] += weight * slopes[k] * slopes[l];
    }
    const { factor } = cholesky(precision, size, 0);
    if (factor === null) throw new Error('the slopes of the observations are not finite');
    this.#factor = factor;
    this.#mean = new Float64Array(size);
    this.#off = new Float64Array(size);
  }

  /**
   * Where the step from z is centred: m + sqrt(1 - step^2) (z - m), m of the reference as seen from z.
   * @param residuals of the observations at z, in the order of the rows; NaN where there is none
   */
  #centre(z: Float64Array, residuals: Float64Array, step: number): Float64Array {
    const n = this.#size;
    const mean = this.#mean.fill(0);
    this.#rows.forEach(({ slopes, weight }, j) => {
      if (weight === 0) return;
      const bound = FARTHEST / Math.sqrt(weight);
      const read = Number.isNaN(residuals[j]) ? 0 : Math.min(Math.max(residuals[j], -bound), bound);
      let along = 0;
      for (let k = 0; k < n; k++) along += slopes[k] * z[k];
      // residual(z') is near read + slopes (z' - z)
      const pull = weight * (along - read);
      for (let k = 0; k < n; k++) mean[k] += pull * slopes[k];
    });
    const f = this.#factor;
    for (let i = 0; i < n; i++) {
      let sum = mean[i];
      for (let k = 0; k < i; k++) sum -= f[i * n + k] * mean[k];
      mean[i] = sum / f[i * n + i];
    }
    this.#backward(mean);
    const keep = Math.sqrt(1 - step * step);
    for (let k = 0; k < n; k++) mean[k] += keep * (z[k] - mean[k]);
    return mean;
  }

  /** Solves L' x = b in place. */
  #backward(b: Float64Array): void {
    const n = this.#size;
    const f = this.#factor;
    for (let i = n - 1; i >= 0; i--) {
      let sum = b[i];
      for (let k = i + 1; k < n; k++) sum -= f[k * n + i] * b[k];
      b[i] = sum / f[i * n + i];
    }
  }

  /** @param noise standard normals, as many as scores; used up   @param out where the step ends; may not be z */
  propose(z: Float64Array, residuals: Float64Array, step: number, noise: Float64Array, out: Float64Array): void {
    const centre = this.#centre(z, residuals, step);
    this.#backward(noise);
    for (let k = 0; k < this.#size; k++) out[k] = centre[k] + step * noise[k];
  }

  /** log density of a step from z to `to`, but for what is the same both ways. */
  logDensity(z: Float64Array, residuals: Float64Array, step: number, to: Float64Array): number {
    const n = this.#size;
    const centre = this.#centre(z, residuals, step);
    for (let k = 0; k < n; k++) this.#off[k] = (to[k] - centre[k]) / step;
    let sum = 0;
    for (let i = 0; i < n; i++) {
      let along = 0;
      for (let k = i; k < n; k++) along += this.#factor[k * n + i] * this.#off[k];
      sum += along * along;
    }
    return -0.5 * sum;
  }
}
