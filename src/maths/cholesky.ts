/**
 * Cholesky's factor of a symmetric matrix, and the inverse by it. Says which row fails; what that means to a person is
 * the caller's.
 */

/** Either the lower factor, or the first row that is, but for less than was asked, made up of the rows before it. */
export type Cholesky = { readonly factor: Float64Array; readonly dependent: null } | { readonly factor: null; readonly dependent: number };

/**
 * Lower triangular L with L L' = matrix.
 * @param matrix size x size by rows, symmetric (only the lower half is read)
 * @param leastPivot what must be left of a row's own diagonal entry after the rows before it, > 0, in the matrix's unit
 * @returns L, size x size by rows, zeros above the diagonal; or the row that fails
 * Source: G. H. Golub and C. F. Van Loan, Matrix Computations, 4th ed. (2013), section 4.2.
 */
export function cholesky(matrix: Float64Array, size: number, leastPivot: number): Cholesky {
  const factor = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i * size + j];
      for (let k = 0; k < j; k++) sum -= factor[i * size + k] * factor[j * size + k];
      if (j < i) factor[i * size + j] = sum / factor[j * size + j];
      else if (sum > leastPivot) factor[i * size + i] = Math.sqrt(sum);
      else return { factor: null, dependent: i };
    }
  }
  return { factor, dependent: null };
}

/**
 * Inverse of the matrix whose lower factor this is, size x size by rows: a forward and a backward substitution for each
 * column.
 */
export function inverseFromFactor(factor: Float64Array, size: number): Float64Array {
  const inverse = new Float64Array(size * size);
  const solved = new Float64Array(size);
  for (let column = 0; column < size; column++) {
    for (let i = 0; i < size; i++) {
      let sum = i === column ? 1 : 0;
      for (let k = 0; k < i; k++) sum -= factor[i * size + k] * solved[k];
      solved[i] = sum / factor[i * size + i];
    }
    for (let i = size - 1; i >= 0; i--) {
      let sum = solved[i];
      for (let k = i + 1; k < size; k++) sum -= factor[k * size + i] * inverse[k * size + column];
      inverse[i * size + column] = sum / factor[i * size + i];
    }
  }
  return inverse;
}
