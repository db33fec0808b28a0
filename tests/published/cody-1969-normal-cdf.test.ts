/**
 * W. J. Cody, Rational Chebyshev approximations for the error function, Math. Comp. 23 (1969) 631-637. The values are
 * the function itself: the table of fixtures/make_distribution_tables.py (mpmath, 50 digits) and upper tails with 16
 * digits at whole arguments.
 */
import { describe, expect, it } from 'vitest';
import { normalCdf } from '../../src/maths/normal.ts';
import table from './fixtures/distributions.json' with { type: 'json' };

describe('the normal distribution function', () => {
  it.each(table.normalCdf)('Phi(%d) = %d', (z, value, tolerance) => {
    expect(Math.abs(normalCdf(z) - value)).toBeLessThanOrEqual(tolerance);
  });

  it.each([
    [-1, 0.1586552539314571],
    [-2, 0.02275013194817921],
    [-3, 0.001349898031630095],
    [-3.5, 2.32629079035525e-4],
    [-5, 2.866515718791939e-7],
  ])('Phi(%d) = %d to the printed digits', (z, value) => {
    // One unit of the 15th digit, relative: the shortest of these has 15.
    expect(Math.abs(normalCdf(z) / value - 1)).toBeLessThanOrEqual(3e-15);
  });

  it('ends at 0 and 1 and lets NaN through', () => {
    expect(normalCdf(Number.NEGATIVE_INFINITY)).toBe(0);
    expect(normalCdf(Number.POSITIVE_INFINITY)).toBe(1);
    expect(normalCdf(-40)).toBe(0);
    expect(normalCdf(Number.NaN)).toBeNaN();
  });
});
