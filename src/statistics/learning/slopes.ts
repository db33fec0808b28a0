/**
 * How residuals of observations change with scores: running least squares over all that was worked out, older rounds
 * counting less. Moves nothing; what the slopes miss costs accepted moves, never correctness.
 */
import { cholesky, inverseFromFactor } from '../../maths/cholesky.ts';

/** What a round's rows count for in the next. */
const FORGET = 0.7;
/** Against scores that hardly vary any more: as if so many rows of unit variance had shown no slope. */
const RIDGE = 5;
/** Residuals beyond so many times the larger of 3 and their median say little of the slope where the data lie. */
const TAIL = 2;
/** Standard errors below which a slope counts as none: noise in many directions would add up. */
const LEAST = 2.5;

/** One observation of one factor, over the scores that it depends on. */
export class Slopes {
  readonly places: Int32Array;
  readonly #width: number;
  readonly #normal: Float64Array;
  readonly #right: Float64Array;
  #squares = 0;
  #rows = 0;

  /** @param places of those scores in a particle */
  constructor(places: Int32Array) {
    this.places = places;
    this.#width = places.length + 1;
    this.#normal = new Float64Array(this.#width * this.#width);
    this.#right = new Float64Array(this.#width);
  }

  /**
   * Takes a round in. @param scores count x dimensions   @param residuals of this observation, `stride` apart from
   * `offset` on; NaN where there is none
   */
  add(scores: Float64Array, dimensions: number, residuals: Float64Array, offset: number, stride: number): void {
    const count = scores.length / dimensions;
    const size: number[] = [];
    for (let i = 0; i < count; i++) {
      const r = residuals[offset + i * stride];
      if (!Number.isNaN(r)) size.push(Math.abs(r));
    }
    if (size.length === 0) return;
    const middle = size.sort((a, b) => a - b)[size.length >> 1];
    const scale = TAIL * Math.max(3, middle);
    const w = this.#width;
    for (let i = 0; i < this.#normal.length; i++) this.#normal[i] *= FORGET;
    for (let i = 0; i < w; i++) this.#right[i] *= FORGET;
    this.#squares *= FORGET;
    this.#rows *= FORGET;
    const x = new Float64Array(w);
    x[w - 1] = 1;
    for (let i = 0; i < count; i++) {
      const r = residuals[offset + i * stride];
      if (Number.isNaN(r)) continue;
      const weight = 1 / (1 + (r / scale) ** 2);
      for (let k = 0; k < w - 1; k++) x[k] = scores[i * dimensions + this.places[k]];
      for (let k = 0; k < w; k++) {
        const wx = weight * x[k];
        for (let l = 0; l <= k; l++) this.#normal[k * w + l] += wx * x[l];
        this.#right[k] += wx * r;
      }
      this.#squares += weight * r * r;
      this.#rows += weight;
    }
  }

  /** d(residual)/d(score) at each of the places; 0 where it is not told from none. */
  slopes(): Float64Array {
    const w = this.#width;
    const found = new Float64Array(w - 1);
    if (this.#rows <= w) return found;
    const matrix = Float64Array.from(this.#normal);
    for (let k = 0; k < w - 1; k++) matrix[k * w + k] += RIDGE;
    const { factor } = cholesky(matrix, w, 1e-9);
    if (factor === null) return found;
    const inverse = inverseFromFactor(factor, w);
    const beta = new Float64Array(w);
    for (let k = 0; k < w; k++) for (let l = 0; l < w; l++) beta[k] += inverse[k * w + l] * this.#right[l];
    let explained = 0;
    for (let k = 0; k < w; k++) explained += beta[k] * this.#right[k];
    const variance = Math.max(this.#squares - explained, 0) / (this.#rows - w);
    for (let k = 0; k < w - 1; k++) if (beta[k] ** 2 > LEAST * LEAST * variance * inverse[k * w + k]) found[k] = beta[k];
    return found;
  }
}
