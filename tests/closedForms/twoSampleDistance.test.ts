/**
 * N. V. Smirnov, Table for estimating the goodness of fit of empirical distributions, Ann. Math. Statist. 19 (1948)
 * 279-281: the limit distribution and its usual critical values. Digits recomputed from the series (mpmath); two-sample
 * distances counted by hand and their exact p-values, whole fractions, from scipy 1.17.1's exact mode. The paper itself
 * was not opened.
 */
import { describe, expect, it } from 'vitest';
import { limitTail } from '../../src/statistics/samples/kolmogorovSmirnov.ts';
import { kolmogorovSmirnov } from '../helpers/twoSamples.ts';

describe('two samples', () => {
  const cases = [
    [[1, 2, 2.5, 3, 4, 7, 9], [2.2, 3.5, 5, 6, 8, 10, 11, 12], 26 / 56, 31 / 99],
    [[1, 2, 3, 4], [3.5, 4.5, 5.5, 6.5], 0.75, 8 / 35],
    [[1, 2, 3, 4, 5], [6, 7, 8, 9, 10], 1, 2 / 252],
  ] as const;
  for (const [a, b, distance, p] of cases) {
    it(`{${a}} and {${b}}: D = ${distance}, p = ${p}, to 50 eps`, () => {
      const ks = kolmogorovSmirnov(Float64Array.from(a), Float64Array.from(b));
      expect(Math.abs(ks.estimate - distance)).toBeLessThan(50 * 2 ** -52);
      expect(Math.abs(ks.pValue - p)).toBeLessThan(50 * 2 ** -52);
      expect(ks.method).toBe('exact');
    });
  }
});

describe('limit distribution', () => {
  const table = [
    [0.5, 0.9639452437, 10],
    [1, 0.2699996717, 10],
    [1.3581, 0.04999963, 8],
    [1.6276, 0.01000154, 8],
  ] as const;
  for (const [c, tail, digits] of table) it(`Q(${c}) = ${tail}`, () => expect(limitTail(c)).toBeCloseTo(tail, digits));

  const critical = [
    [0.1, 1.22384787],
    [0.05, 1.35809864],
    [0.01, 1.62762361],
    [0.001, 1.9494746],
  ] as const;
  for (const [p, c] of critical) {
    // half a unit of the eighth decimal of c, times the slope -8 c exp(-2 c^2) of the tail
    it(`Q(${c}) = ${p}`, () => expect(Math.abs(limitTail(c) - p)).toBeLessThan(0.5e-8 * 8 * c * Math.exp(-2 * c * c) * 1.01));
  }
});
