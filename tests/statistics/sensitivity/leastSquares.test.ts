import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { leastSquares } from '../../../src/statistics/sensitivity/leastSquares.ts';

const number = fc.double({ min: -10, max: 10, noNaN: true });

describe('leastSquares', () => {
  it('is the line one works out by hand', () => {
    // x 0 1 2 3, y 1 3 2 5: slope (sum xy - n mean mean)/(sum xx - n mean^2) = (22 - 16.5)/(14 - 9) = 1.1, intercept
    // 2.75 - 1.65.
    const { coefficients, residuals, rSquared } = leastSquares(
      [0, 1, 2, 3].map((x) => [1, x]),
      [1, 3, 2, 5],
    );
    expect(coefficients[0]).toBeCloseTo(1.1, 12);
    expect(coefficients[1]).toBeCloseTo(1.1, 12);
    expect([...residuals].map((r) => Number(r.toFixed(12)))).toEqual([-0.1, 0.8, -1.3, 0.6]);
    // 1 - 2.7/8.75
    expect(rSquared).toBeCloseTo(1 - 2.7 / 8.75, 12);
  });

  it('counts a row of weight 2 as two rows', () => {
    const rows = [0, 1, 2, 5].map((x) => [1, x, x * x]);
    const y = [1, -2, 4, 0.5];
    const once = leastSquares([...rows, rows[1]], [...y, y[1]]);
    const weighted = leastSquares(rows, y, [1, 2, 1, 1]);
    for (const [k, value] of weighted.coefficients.entries()) expect(value).toBeCloseTo(once.coefficients[k], 10);
    expect(weighted.rSquared).toBeCloseTo(once.rSquared, 10);
  });

  it('leaves residuals that no column explains', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(number, number, number), { minLength: 6, maxLength: 20 }), (data) => {
        const rows = data.map(([a, b], i) => [1, a + i, b - 2 * (i % 3)]);
        const y = data.map(([, , c]) => c);
        const { residuals } = leastSquares(rows, y);
        // Hundreds of roundings of products up to 300: 1e-9 is far above them, far below any residual that mattered.
        for (const k of [0, 1, 2]) expect(Math.abs(rows.reduce((sum, row, i) => sum + row[k] * residuals[i], 0))).toBeLessThan(1e-9);
      }),
      { seed: 12, numRuns: 100 },
    );
  });

  it('says that constant observations have nothing to explain', () => {
    expect(leastSquares([[1], [1], [1]], [2, 2, 2]).rSquared).toBe(Number.NaN);
  });

  it('refuses dependent columns, too few rows, lengths that differ, and what is not finite', () => {
    const dependent = [1, 2, 3, 4].map((x) => [1, x, 2 * x - 1]);
    expect(() => leastSquares(dependent, [1, 2, 3, 4])).toThrow(/depends/);
    expect(() => leastSquares([[1, 2]], [1])).toThrow(/cannot fit/);
    expect(() => leastSquares([[1], [1]], [1])).toThrow(/length/);
    expect(() => leastSquares([[1], [Number.NaN]], [1, 2])).toThrow(/finite/);
    expect(() => leastSquares([[1], [1]], [1, 2], [1, 0])).toThrow(/weight/);
  });
});
