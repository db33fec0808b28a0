/**
 * M. D. McKay, R. J. Beckman and W. J. Conover, Technometrics 21 (1979) 239-245; M. Stein, Technometrics 29 (1987)
 * 143-151. What makes a Latin hypercube: each column of floor(n x) is an order of 0..n-1. Centred in its strata it then
 * has mean 1/2 and mean square 1/3 - 1/(12 n^2), exactly; the printed numbers are that formula.
 */
import { describe, expect, it } from 'vitest';
import { stream } from '../../src/maths/streams.ts';
import { permutation } from '../../src/sampling/permutation.ts';

describe('centred Latin hypercube columns', () => {
  it.each([
    [4, 0.328125],
    [10, 0.3325],
    [100, 0.333325],
  ])('n = %d: mean 1/2, mean square %d', (n, meanSquare) => {
    for (let column = 0; column < 20; column++) {
      const at = permutation(n, stream(`column ${column}`));
      const x = Array.from({ length: n }, (_, i) => (at(i) + 0.5) / n);
      // n additions of numbers below 1: n eps.
      expect(Math.abs(x.reduce((s, v) => s + v, 0) / n - 0.5)).toBeLessThanOrEqual(n * Number.EPSILON);
      expect(Math.abs(x.reduce((s, v) => s + v * v, 0) / n - meanSquare)).toBeLessThanOrEqual(n * Number.EPSILON);
    }
  });
});
