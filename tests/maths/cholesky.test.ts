import fc from 'fast-check';
import { inverse as generalInverse, Matrix } from 'ml-matrix';
import { expect, it } from 'vitest';
import { cholesky, inverseFromFactor } from '../../src/maths/cholesky.ts';

/** L0 L0' + I, so that it is positive definite. */
function positive(size: number, entries: readonly number[]): Float64Array {
  const matrix = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j < size; j++) {
      for (let k = 0; k < size; k++) matrix[i * size + j] += entries[i * size + k] * entries[j * size + k];
      if (i === j) matrix[i * size + j] += 1;
    }
  }
  return matrix;
}

const matrices = fc
  .integer({ min: 1, max: 6 })
  .chain((size) =>
    fc.tuple(fc.constant(size), fc.array(fc.double({ min: -2, max: 2, noNaN: true }), { minLength: size * size, maxLength: size * size })),
  );

it('gives the factor whose square the matrix is, and the inverse a general library gives', () => {
  fc.assert(
    fc.property(matrices, ([size, entries]) => {
      const matrix = positive(size, entries);
      const { factor } = cholesky(matrix, size, 1e-12);
      expect(factor).not.toBeNull();
      if (factor === null) return;
      const other = generalInverse(Matrix.from1DArray(size, size, [...matrix])).to1DArray();
      const own = inverseFromFactor(factor, size);
      for (let i = 0; i < size; i++) {
        for (let j = 0; j < size; j++) {
          let product = 0;
          for (let k = 0; k < size; k++) product += factor[i * size + k] * factor[j * size + k];
          // entries are below 25 and the smallest eigenvalue is 1: no more than three digits of sixteen can go
          expect(product).toBeCloseTo(matrix[i * size + j], 12);
          expect(own[i * size + j]).toBeCloseTo(other[i * size + j], 12);
          if (j > i) expect(factor[i * size + j]).toBe(0);
        }
      }
    }),
    { seed: 7, numRuns: 100 },
  );
});

it('names the first row that those before it make up', () => {
  const matrix = Float64Array.of(1, 0.5, 1.5, 0.5, 1, 1.5, 1.5, 1.5, 3);
  expect(cholesky(matrix, 3, 1e-10)).toEqual({ factor: null, dependent: 2 });
  expect(cholesky(Float64Array.of(1, 2, 2, 1), 2, 1e-10)).toEqual({ factor: null, dependent: 1 });
});
