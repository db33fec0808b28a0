/**
 * Columns brought to mean 0 and variance 1, their correlation matrix and its inverse: what every linear measure shares.
 */
import { cholesky, inverseFromFactor } from '../../maths/cholesky.ts';

/** Rows that stay in the cache while every column walks them. */
export const BLOCK = 256;

/**
 * Columns brought to mean 0 and variance 1 (divisor n), made some rows at a time whenever they are walked: of a million
 * rows all scores at once would be hundreds of megabytes.
 */
export class StandardScores {
  readonly rows: number;
  readonly columns: number;
  readonly means: Float64Array;
  /** Standard deviations, divisor n, > 0. */
  readonly deviations: Float64Array;
  readonly #values: readonly ArrayLike<number>[];

  /**
   * @param columns at least one, all of the same length; not copied   @param first number of the first of them, for what
   * is said of a fault
   * @throws RangeError on lengths that differ, values that are not finite, or a column that does not vary (its number is
   * named).
   */
  constructor(columns: readonly (Float64Array | Uint32Array)[], first = 0) {
    const n = columns[0]?.length ?? 0;
    this.rows = n;
    this.columns = columns.length;
    this.means = new Float64Array(columns.length);
    this.deviations = new Float64Array(columns.length);
    this.#values = columns;
    for (const [a, column] of columns.entries()) {
      if (column.length !== n) throw new RangeError(`column ${first + a} has ${column.length} rows, column ${first} has ${n}`);
      let sum = 0;
      let least = Infinity;
      let most = -Infinity;
      for (let i = 0; i < n; i++) {
        const value = column[i];
        sum += value;
        if (value < least) least = value;
        if (value > most) most = value;
      }
      if (!Number.isFinite(sum)) throw new RangeError(`column ${first + a} holds a value that is not finite`);
      // rounding in the mean can make a constant column seem to vary
      if (!(most > least)) throw new RangeError(`column ${first + a} does not vary`);
      const mean = sum / n;
      let squares = 0;
      for (let i = 0; i < n; i++) squares += (column[i] - mean) ** 2;
      this.means[a] = mean;
      this.deviations[a] = Math.sqrt(squares / n);
    }
  }

  /** @param walk the scores of `count` rows from `start` on, row by row; they are good until the next */
  eachBlock(walk: (scores: Float64Array, start: number, count: number) => void): void {
    const { rows, columns: d, means, deviations } = this;
    const scores = new Float64Array(BLOCK * d);
    for (let start = 0; start < rows; start += BLOCK) {
      const count = Math.min(BLOCK, rows - start);
      for (let a = 0; a < d; a++) {
        const column = this.#values[a];
        const mean = means[a];
        const deviation = deviations[a];
        for (let i = 0; i < count; i++) scores[i * d + a] = (column[start + i] - mean) / deviation;
      }
      walk(scores, start, count);
    }
  }
}

/** Pearson correlation matrix, d x d by rows. Source: K. Pearson, Proc. Roy. Soc. London 58 (1895) 240-242. */
export function correlationMatrix(z: StandardScores): Float64Array {
  const { rows: n, columns: d } = z;
  const matrix = new Float64Array(d * d);
  z.eachBlock((scores, _, count) => {
    for (let i = 0; i < count; i++) {
      const row = i * d;
      for (let a = 0; a < d; a++) {
        const za = scores[row + a];
        const entry = a * d;
        for (let b = 0; b < a; b++) matrix[entry + b] += za * scores[row + b];
      }
    }
  });
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
 * Row-by-row product of scores with the inverse correlation matrix: each column becomes its residual on all others, over
 * that residual's variance.
 * @param product is filled: `rows` x d, as the scores
 */
export function residualScores(product: Float64Array, scores: Float64Array, rows: number, inverse: Float64Array, d: number): void {
  // four columns at once: a row's score is read once for all four (the inverse is symmetric, so its rows serve as
  // columns)
  const whole = d - (d % 4);
  for (let i = 0; i < rows; i++) {
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
}
