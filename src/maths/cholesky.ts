/** Cholesky's factor of a symmetric positive definite matrix. Knows no statistics; what a failure means is the caller's to say. */

/** A factor, or the first row whose own part is not above the least allowed. */
export type Cholesky =
  | { readonly factor: Float64Array; readonly failedRow?: never }
  | { readonly factor?: never; readonly failedRow: number };

/**
 * Lower factor L with L L^T = matrix, row by row; the upper triangle of the result is 0.
 * @param matrix n x n by rows, symmetric; only the lower triangle is read
 * @param least what a pivot (the row's own part, before its root) must exceed; relative to a unit diagonal
 * Source: G. H. Golub and C. F. Van Loan, Matrix Computations, section "Cholesky factorization" (from memory).
 */
export function cholesky(matrix: Float64Array, n: number, least: number): Cholesky {
  const factor = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i * n + j];
      for (let k = 0; k < j; k++) sum -= factor[i * n + k] * factor[j * n + k];
      if (j < i) factor[i * n + j] = sum / factor[j * n + j];
      else if (sum > least) factor[i * n + i] = Math.sqrt(sum);
      else return { failedRow: i };
    }
  }
  return { factor };
}
