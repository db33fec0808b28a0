/**
 * Columns brought to mean 0 and variance 1, their correlation matrix and its inverse: what every linear measure shares.
 */
import { cholesky, inverseFromFactor } from '../../maths/cholesky.ts';

/** Columns side by side, each with mean 0 and variance 1 (divisor n). */
export interface Standardised {
  readonly rows: number;
  readonly columns: number;
  /** rows x columns, row by row. */
  readonly scores: Float64Array;
  readonly means: Float64Array;
  /** Standard deviations, divisor n, > 0. */
  readonly deviations: Float64Array;
}

/**
 * Columns brought to mean 0 and variance 1.
 * @param columns at least one, all of the same length.   @param first number of the first of them, for what is said of
 * a fault
 * @throws RangeError on lengths that differ, values that are not finite, or a column that does not vary (its number is
 * named).
 */
export function standardise(columns: readonly Float64Array[], first = 0): Standardised {
  const d = columns.length;
  const n = columns[0]?.length ?? 0;
  const scores = new Float64Array(n * d);
  const means = new Float64Array(d);
  const deviations = new Float64Array(d);
  for (const [a, column] of columns.entries()) {
    if (column.length !== n) throw new RangeError(`column ${first + a} has ${column.length} rows, column ${first} has ${n}`);
    let sum = 0;
    let least = Infinity;
    let most = -Infinity;
    for (const value of column) {
      sum += value;
      if (value < least) least = value;
      if (value > most) most = value;
    }
    if (!Number.isFinite(sum)) throw new RangeError(`column ${first + a} holds a value that is not finite`);
    // rounding in the mean can make a constant column seem to vary
    if (!(most > least)) throw new RangeError(`column ${first + a} does not vary`);
    const mean = sum / n;
    let squares = 0;
    for (const value of column) squares += (value - mean) ** 2;
    const deviation = Math.sqrt(squares / n);
    for (let i = 0; i < n; i++) scores[i * d + a] = (column[i] - mean) / deviation;
    means[a] = mean;
    deviations[a] = deviation;
  }
  return { rows: n, columns: d, scores, means, deviations };
}

/** Pearson correlation matrix, d x d by rows. Source: K. Pearson, Proc. Roy. Soc. London 58 (1895) 240-242. */
export function correlationMatrix(z: Standardised): Float64Array {
  const { rows: n, columns: d, scores } = z;
  const matrix = new Float64Array(d * d);
  for (let i = 0; i < n; i++) {
    const row = i * d;
    for (let a = 0; a < d; a++) {
      const za = scores[row + a];
      const entry = a * d;
      for (let b = 0; b < a; b++) matrix[entry + b] += za * scores[row + b];
    }
  }
  for (let a = 0; a < d; a++) {
    matrix[a * d + a] = 1;
    for (let b = 0; b < a; b++) {
      const r = matrix[a * d + b] / n;
      matrix[a * d + b] = r;
      matrix[b * d + a] = r;
    }
  }
  return matrix;
}

/**
 * Share of a column's variance that must be left after the columns before it; below it the inverse has no trustworthy
 * digits.
 */
export const LEAST_OWN_VARIANCE = 1e-10;

/** The fault of column `a` with less than that. */
export function madeUp(a: number): string {
  return `column ${a} is a linear combination of the columns before it: its own part cannot be told apart`;
}

/**
 * Inverse of a correlation matrix by Cholesky's factor.
 * @param matrix d x d by rows, symmetric, unit diagonal.
 * @throws RangeError when a column is, to 1e-10 of its variance, a linear combination of those before it (its number is
 * named).
 */
export function invertCorrelation(matrix: Float64Array, d: number): Float64Array {
  const { factor, dependent } = cholesky(matrix, d, LEAST_OWN_VARIANCE);
  if (factor === null) throw new RangeError(madeUp(dependent));
  return inverseFromFactor(factor, d);
}

/**
 * Row-by-row product of the scores with the inverse correlation matrix: each column becomes its residual on all others,
 * over that residual's variance.
 */
export function residualScores({ rows: n, columns: d, scores }: Standardised, inverse: Float64Array): Float64Array {
  const product = new Float64Array(n * d);
  // four columns at once: a row's score is read once for all four (the inverse is symmetric, so its rows serve as
  // columns)
  const whole = d - (d % 4);
  for (let i = 0; i < n; i++) {
    const row = i * d;
    for (let b = 0; b < whole; b += 4) {
      const [at0, at1, at2, at3] = [b * d, (b + 1) * d, (b + 2) * d, (b + 3) * d];
      let s0 = 0;
      let s1 = 0;
      let s2 = 0;
      let s3 = 0;
      for (let a = 0; a < d; a++) {
        const z = scores[row + a];
        s0 += z * inverse[at0 + a];
        s1 += z * inverse[at1 + a];
        s2 += z * inverse[at2 + a];
        s3 += z * inverse[at3 + a];
      }
      product[row + b] = s0;
      product[row + b + 1] = s1;
      product[row + b + 2] = s2;
      product[row + b + 3] = s3;
    }
    for (let b = whole; b < d; b++) {
      let sum = 0;
      for (let a = 0; a < d; a++) sum += scores[row + a] * inverse[b * d + a];
      product[row + b] = sum;
    }
  }
  return product;
}
