/**
 * A likelihood that is easy to draw from: each observation's residual as its linear fit, with what the fit leaves open
 * added to the error. Particles drawn under it stand near the posterior already, and tempering has only the difference
 * to make up. Fits nothing.
 */
import { cholesky } from '../../maths/cholesky.ts';

/** One observation: its residual is near intercept + coefficients . scores, give or take a normal of this variance. */
export interface LinearRow {
  readonly factor: number;
  readonly places: Int32Array;
  readonly coefficients: Float64Array;
  readonly intercept: number;
  /** Error and all that the fit leaves open, in squared standard errors: at least 1. */
  readonly variance: number;
}

export class LinearStart {
  readonly rows: readonly LinearRow[];
  /** log of the integral of prior and this likelihood. */
  readonly logEvidence: number;
  /** Lower factor of J J' + R. */
  readonly #factor: Float64Array;

  constructor(rows: readonly LinearRow[]) {
    this.rows = rows;
    const n = rows.length;
    const matrix = new Float64Array(n * n);
    for (let i = 0; i < n; i++) {
      for (let j = 0; j <= i; j++) matrix[i * n + j] = product(rows[i], rows[j]);
      matrix[i * n + i] += rows[i].variance;
    }
    const { factor } = cholesky(matrix, n, 0);
    if (factor === null) throw new Error('the linear fits of the observations are not finite');
    this.#factor = factor;
    const solved = this.#solve(Float64Array.from(rows, (row) => row.intercept));
    let log = 0;
    for (const [i, { intercept, variance }] of rows.entries()) {
      log -= 0.5 * intercept * solved[i] + Math.log(factor[i * n + i]) - 0.5 * Math.log(variance);
    }
    this.logEvidence = log;
  }

  /** Residual of one row. @param start of the particle's scores */
  residual({ places, coefficients, intercept }: LinearRow, scores: Float64Array, start: number): number {
    let sum = intercept;
    for (let k = 0; k < places.length; k++) sum += coefficients[k] * scores[start + places[k]];
    return sum;
  }

  /** log likelihood of every factor, but for constants. @param out one a factor */
  logs(scores: Float64Array, start: number, out: Float64Array): void {
    out.fill(0);
    for (const row of this.rows) out[row.factor] -= (0.5 * this.residual(row, scores, start) ** 2) / row.variance;
  }

  /**
   * Turns a draw of the prior, in place, into one of prior and this likelihood: both shift by what a draw of the errors
   * leaves between them (G. Matheron's substitution of residuals, in C. Lantuejoul, Geostatistical Simulation, 2002,
   * section 12.4).
   * @param normal standard normals
   */
  draw(scores: Float64Array, start: number, normal: () => number): void {
    const off = Float64Array.from(this.rows, (row) => this.residual(row, scores, start) + Math.sqrt(row.variance) * normal());
    const solved = this.#solve(off);
    for (const [i, { places, coefficients }] of this.rows.entries()) {
      for (let k = 0; k < places.length; k++) scores[start + places[k]] -= coefficients[k] * solved[i];
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

function product(a: LinearRow, b: LinearRow): number {
  const other = new Map<number, number>();
  for (const [k, place] of b.places.entries()) other.set(place, b.coefficients[k]);
  let sum = 0;
  for (const [k, place] of a.places.entries()) sum += a.coefficients[k] * (other.get(place) ?? 0);
  return sum;
}
