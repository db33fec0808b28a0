/**
 * Weighted least squares with any columns, by orthogonal factors. For small problems; how inputs move an output is
 * regression.ts.
 */

export interface LeastSquares {
  /** One a column. */
  readonly coefficients: Float64Array;
  /** Observed minus fitted, one a row, without its weight. */
  readonly residuals: Float64Array;
  /** 1 - weighted sum of squared residuals over that about the weighted mean; NaN when the observations do not vary. */
  readonly rSquared: number;
}

/** A column's part that the columns before it do not explain is noise below this share of it. */
const DEPENDENT = 1e-10;

/**
 * @param rows one array of column values a row, at least as many rows as columns   @param y the observations
 * @param weights > 0, inverse to the variances; equal when left out
 * @throws RangeError on lengths that differ, values that are not finite, too few rows, or columns that depend on each
 * other
 * Source: Householder's orthogonal triangularisation; G. H. Golub, Numerical methods for solving linear least squares
 * problems, Numerische Mathematik 7 (1965) 206-216.
 */
export function leastSquares(rows: readonly (readonly number[])[], y: readonly number[], weights?: readonly number[]): LeastSquares {
  const n = rows.length;
  const d = rows[0]?.length ?? 0;
  if (d === 0 || n < d) throw new RangeError(`${n} rows cannot fit ${d} columns`);
  if (y.length !== n || (weights !== undefined && weights.length !== n) || rows.some((row) => row.length !== d)) {
    throw new RangeError('rows, observations and weights differ in length');
  }
  // The system root(w) (X | y), row by row; the last column becomes Q'y.
  const a = rows.map((row, i) => {
    const root = Math.sqrt(weights?.[i] ?? 1);
    const scaled = [...row, y[i]].map((value) => root * value);
    if (!(root > 0) || scaled.some((value) => !Number.isFinite(value))) throw new RangeError(`row ${i} is not finite or has no weight`);
    return scaled;
  });
  for (let k = 0; k < d; k++) {
    let whole = 0;
    let below = 0;
    for (let i = 0; i < n; i++) {
      const square = a[i][k] ** 2;
      whole += square;
      if (i >= k) below += square;
    }
    if (!(below > DEPENDENT ** 2 * whole)) throw new RangeError(`column ${k} depends on the columns before it`);
    const norm = a[k][k] > 0 ? -Math.sqrt(below) : Math.sqrt(below);
    const v = a.map((row, i) => (i < k ? 0 : i === k ? row[k] - norm : row[k]));
    const half = v.reduce((sum, value) => sum + value * value, 0) / 2;
    for (let j = k; j <= d; j++) {
      let dot = 0;
      for (let i = k; i < n; i++) dot += v[i] * a[i][j];
      for (let i = k; i < n; i++) a[i][j] -= (dot / half) * v[i];
    }
  }
  const coefficients = new Float64Array(d);
  for (let k = d - 1; k >= 0; k--) {
    let rest = a[k][d];
    for (let j = k + 1; j < d; j++) rest -= a[k][j] * coefficients[j];
    coefficients[k] = rest / a[k][k];
  }
  const residuals = Float64Array.from(rows, (row, i) => row.reduce((left, value, k) => left - value * coefficients[k], y[i]));
  return { coefficients, residuals, rSquared: explained(y, residuals, weights) };
}

function explained(y: readonly number[], residuals: Float64Array, weights: readonly number[] | undefined): number {
  const w = (i: number): number => weights?.[i] ?? 1;
  let sum = 0;
  let total = 0;
  for (const [i, value] of y.entries()) {
    sum += w(i);
    total += w(i) * value;
  }
  const mean = total / sum;
  let left = 0;
  let about = 0;
  for (const [i, value] of y.entries()) {
    left += w(i) * residuals[i] ** 2;
    about += w(i) * (value - mean) ** 2;
  }
  return about > 0 ? 1 - left / about : Number.NaN;
}
