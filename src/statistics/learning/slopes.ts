/**
 * How the residual of one observation changes with features of the scores: running least squares over all that was
 * worked out, older rounds counting less. Moves nothing; what the fit misses costs accepted moves, never correctness.
 */
import { cholesky, inverseFromFactor } from '../../maths/cholesky.ts';

/** What rows count for when as many again have been taken in as make a round. */
const FORGET = 0.7;
/** Share of a round that must be taken in before the fit is made anew: it hardly changes by fewer. */
const REFIT = 0.25;
/** Against features that hardly vary any more: as if so many rows of unit variance had shown no slope. */
const RIDGE = 5;
/** Residuals beyond so many times the larger of 3 and their median say little of the slope where the data lie. */
const TAIL = 2;
/** Standard errors below which a slope counts as none: noise in many directions would add up. */
const LEAST = 2.5;

/** A residual as a linear function of the features. */
export interface Fit {
  /** One a feature; 0 where it is not told from none. */
  readonly slopes: Float64Array;
  readonly intercept: number;
  /** Of what the features leave open. */
  readonly variance: number;
}

export class Slopes {
  readonly #width: number;
  readonly #round: number;
  readonly #normal: Float64Array;
  readonly #right: Float64Array;
  #squares = 0;
  #rows = 0;
  /** Rows taken in since the fit was made. */
  #since = Number.POSITIVE_INFINITY;
  #made: Fit | null = null;

  /** @param round rows, after which older ones count less */
  constructor(features: number, round: number) {
    this.#round = round;
    this.#width = features + 1;
    this.#normal = new Float64Array(this.#width * this.#width);
    this.#right = new Float64Array(this.#width);
  }

  /**
   * Takes a round in. @param features rows x features   @param residuals of this observation, one a row, `stride`
   * apart from `offset` on; NaN where there is none
   */
  add(features: Float64Array, residuals: Float64Array, offset: number, stride: number): void {
    const w = this.#width;
    const own = w - 1;
    const count = features.length / own;
    this.#since += count;
    const scale = TAIL * Math.max(3, medianSize(count, residuals, offset, stride));
    const left = FORGET ** (count / this.#round);
    for (let i = 0; i < this.#normal.length; i++) this.#normal[i] *= left;
    for (let i = 0; i < w; i++) this.#right[i] *= left;
    this.#squares *= left;
    this.#rows *= left;
    const x = new Float64Array(w);
    x[own] = 1;
    for (let i = 0; i < count; i++) {
      const r = residuals[offset + i * stride];
      if (Number.isNaN(r)) continue;
      const weight = 1 / (1 + (r / scale) ** 2);
      for (let k = 0; k < own; k++) x[k] = features[i * own + k];
      for (let k = 0; k < w; k++) {
        const wx = weight * x[k];
        for (let l = 0; l <= k; l++) this.#normal[k * w + l] += wx * x[l];
        this.#right[k] += wx * r;
      }
      this.#squares += weight * r * r;
      this.#rows += weight;
    }
  }

  /** @returns null where rows are too few for the features */
  fit(): Fit | null {
    if (this.#since >= REFIT * this.#round) {
      this.#made = this.#fitted();
      this.#since = 0;
    }
    return this.#made;
  }

  #fitted(): Fit | null {
    const w = this.#width;
    if (this.#rows <= 1.2 * w) return null;
    const matrix = Float64Array.from(this.#normal);
    for (let k = 0; k < w - 1; k++) matrix[k * w + k] += RIDGE;
    const { factor } = cholesky(matrix, w, 1e-9);
    if (factor === null) return null;
    const inverse = inverseFromFactor(factor, w);
    const beta = new Float64Array(w);
    for (let k = 0; k < w; k++) for (let l = 0; l < w; l++) beta[k] += inverse[k * w + l] * this.#right[l];
    let explained = 0;
    for (let k = 0; k < w; k++) explained += beta[k] * this.#right[k];
    const variance = Math.max(this.#squares - explained, 0) / (this.#rows - w);
    const slopes = new Float64Array(w - 1);
    let intercept = this.#right[w - 1];
    for (let k = 0; k < w - 1; k++) {
      if (beta[k] ** 2 <= LEAST * LEAST * variance * inverse[k * w + k]) continue;
      slopes[k] = beta[k];
      intercept -= beta[k] * this.#normal[(w - 1) * w + k];
    }
    return { slopes, intercept: intercept / this.#rows, variance };
  }
}

function medianSize(count: number, residuals: Float64Array, offset: number, stride: number): number {
  const sizes: number[] = [];
  for (let i = 0; i < count; i++) {
    const r = residuals[offset + i * stride];
    if (!Number.isNaN(r)) sizes.push(Math.abs(r));
  }
  return sizes.length === 0 ? 0 : sizes.sort((a, b) => a - b)[sizes.length >> 1];
}
