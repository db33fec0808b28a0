/** The incomplete gamma function: closed forms, and chi-square's printed tables. */
import { describe, expect, it } from 'vitest';
import { chiSquareQuantile, incompleteGamma } from '../../src/maths/incompleteGamma.ts';
import { normalCdf } from '../../src/maths/normal.ts';

describe('closed forms', () => {
  it.each([1e-6, 0.3, 1, 1.9, 2.1, 30])('of shape 1 at %d: 1 - e^-x', (x) => {
    expect(Math.abs(incompleteGamma(1, x) + Math.expm1(-x))).toBeLessThan(1e-14);
  });

  it.each([0.01, 0.4, 1, 3, 20])('of shape 1/2 at %d: both sides of a normal', (x) => {
    expect(Math.abs(incompleteGamma(0.5, x) - (1 - 2 * normalCdf(-Math.sqrt(2 * x))))).toBeLessThan(1e-13);
  });

  it('climbs by x^a e^-x/Gamma(a + 1) from one shape to the next', () => {
    for (const x of [0.5, 4, 12]) {
      let factorial = 1;
      for (let a = 1; a < 15; a++) {
        factorial *= a;
        expect(Math.abs(incompleteGamma(a, x) - incompleteGamma(a + 1, x) - (x ** a * Math.exp(-x)) / factorial)).toBeLessThan(1e-13);
      }
    }
  });

  it('refuses what it is not made for', () => {
    expect(() => incompleteGamma(0, 1)).toThrow(RangeError);
    expect(() => incompleteGamma(1, -1)).toThrow(RangeError);
    expect(() => chiSquareQuantile(3, 1)).toThrow(RangeError);
  });
});

it.each([
  // upper points as printed in tables of chi-square (SciPy 1.17.1 agrees)
  [4, 0.95, 9.487729],
  [9, 0.95, 16.918978],
  [19, 0.99, 36.190869],
  [24, 0.999, 51.178598],
  [99, 0.95, 123.225221],
  [2, 0.025, 0.0506356],
])('chi-square of %d at %d is %d', (freedom, p, printed) => {
  expect(Math.abs(chiSquareQuantile(freedom, p) - printed)).toBeLessThanOrEqual(5.1e-7);
});
