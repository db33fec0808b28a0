/**
 * A likelihood of one factor that is easy to draw from: each observation's residual as its linear fit, with what the fit
 * leaves open added to the error. Scores that the factor is the first to see are drawn under it; those seen before are
 * only weighed, by what is left once the new ones are integrated out. Fits nothing.
 */
import { cholesky } from '../../maths/cholesky.ts';
import { normalQuantile } from '../../maths/normal.ts';
import type { Stream } from '../../maths/streams.ts';

/** One observation: its residual is near intercept + coefficients . scores, give or take a normal of this variance. */
export interface LinearRow {
  readonly places: Int32Array;
  readonly coefficients: Float64Array;
  readonly intercept: number;
  /** Error and all that the fit leaves open, in squared standard errors: at least 1. */
  readonly variance: number;
}

interface SplitRow extends LinearRow {
  /** Coefficients on the new scores alone, by place. */
  readonly fresh: ReadonlyMap<number, number>;
}

export class LinearStart {
  readonly rows: readonly SplitRow[];
  readonly #fresh: readonly number[];
  /** Lower factor of J J' + R, J on the new scores. */
  readonly #factor: Float64Array;
  readonly #logScale: number;

  /** @param fresh places of the scores seen first by this factor */
  constructor(rows: readonly LinearRow[], fresh: readonly number[]) {
    const isFresh = new Set(fresh);
    this.#fresh = fresh;
    this.rows = rows.map((row) => ({
      ...row,
      fresh: new Map(Array.from(row.places, (place, k) => [place, row.coefficients[k]] as const).filter(([place]) => isFresh.has(place))),
    }));
    const n = rows.length;
    const matrix = new Float64Array(n * n);
    for (let i = 0; i < n; i++) {
      for (let j = 0; j <= i; j++) matrix[i * n + j] = product(this.rows[i], this.rows[j]);
      matrix[i * n + i] += rows[i].variance;
    }
    const { factor } = cholesky(matrix, n, 0);
    if (factor === null) throw new Error('the linear fits of the observations are not finite');
    this.#factor = factor;
    this.#logScale = rows.reduce((sum, { variance }, i) => sum + 0.5 * Math.log(variance) - Math.log(factor[i * n + i]), 0);
  }

  /** Residual of one row. @param start of the particle's scores */
  residual({ places, coefficients, intercept }: LinearRow, scores: Float64Array, start: number): number {
    let sum = intercept;
    for (let k = 0; k < places.length; k++) sum += coefficients[k] * scores[start + places[k]];
    return sum;
  }

  /** log of this likelihood, 0 where every residual is. */
  log(scores: Float64Array, start: number): number {
    let sum = 0;
    for (const row of this.rows) sum -= (0.5 * this.residual(row, scores, start) ** 2) / row.variance;
    return sum;
  }

  /** log of its integral over the new scores' prior, given the others. */
  logMarginal(scores: Float64Array, start: number): number {
    const off = Float64Array.from(this.rows, (row) => {
      let sum = this.residual(row, scores, start);
      for (const [place, coefficient] of row.fresh) sum -= coefficient * scores[start + place];
      return sum;
    });
    const solved = this.#solve(off);
    return off.reduce((sum, r, i) => sum - 0.5 * r * solved[i], this.#logScale);
  }

  /**
   * Draws the new scores from prior and this likelihood, given the others, in place: first the prior, which shifts by
   * what a draw of the errors leaves between them (G. Matheron's substitution of residuals, in C. Lantuejoul,
   * Geostatistical Simulation, 2002, section 12.4).
   */
  draw(scores: Float64Array, start: number, uniform: Stream): void {
    for (const place of this.#fresh) scores[start + place] = normalQuantile(uniform());
    const off = Float64Array.from(
      this.rows,
      (row) => this.residual(row, scores, start) + Math.sqrt(row.variance) * normalQuantile(uniform()),
    );
    const solved = this.#solve(off);
    for (const [i, { fresh }] of this.rows.entries()) {
      for (const [place, coefficient] of fresh) scores[start + place] -= coefficient * solved[i];
    }
  }

  #solve(b: Float64Array): Float64Array {
    const n = b.length;
    const f = this.#factor;
    const x = Float64Array.from(b);
    for (let i = 0; i < n; i++) {
      for (let k = 0; k < i; k++) x[i] -= f[i * n + k] * x[k];
      x[i] /= f[i * n + i];
    }
    for (let i = n - 1; i >= 0; i--) {
      for (let k = i + 1; k < n; k++) x[i] -= f[k * n + i] * x[k];
      x[i] /= f[i * n + i];
    }
    return x;
  }
}

function product(a: SplitRow, b: SplitRow): number {
  let sum = 0;
  for (const [place, coefficient] of a.fresh) sum += coefficient * (b.fresh.get(place) ?? 0);
  return sum;
}
