/**
 * Distribution-free intervals for a quantile between order statistics: G. J. Hahn and W. Q. Meeker, Statistical
 * Intervals, Wiley 1991, section 5.2; H. A. David and H. N. Nagaraja, Order Statistics, Wiley 2003, section 7.1.
 * Coverages are B(u - 1; n, p) - B(l - 1; n, p), recomputed with scipy 1.17.1 (books not opened); 0.978515625 is exact.
 * 59 values for a one-sided 95/95 statement: S. S. Wilks, Annals of Mathematical Statistics 12 (1941) 91-96.
 */
import { describe, expect, it } from 'vitest';
import { quantileInterval, sorted } from '../../src/statistics/samples/quantiles.ts';
import { orderStatisticCoverage } from '../helpers/orderStatistics.ts';

describe('coverage between order statistics', () => {
  // Half of the last digit shown.
  it.each([
    [10, 0.5, 2, 9, 0.978515625],
    [20, 0.5, 6, 15, 0.9586105347],
    [100, 0.5, 40, 61, 0.9647997998],
    [100, 0.9, 85, 97, 0.9522729858],
    [100, 0.9, 84, 96, 0.9556901072],
    [1000, 0.99, 984, 996, 0.9449225646],
    [1000, 0.99, 983, 996, 0.9574810183],
    [59, 0.95, 1, 59, 0.9515054748],
  ])('n = %i, p = %d, values %i and %i', (n, p, l, u, expected) => {
    expect(Math.abs(orderStatisticCoverage(n, p, l, u) - expected)).toBeLessThanOrEqual(5e-11);
  });
});

describe('the innermost pair with 2.5 % at each end', () => {
  const ranks = (n: number) => sorted(Array.from({ length: n }, (_, i) => i + 1));

  it.each([
    [10, 0.5, 2, 9],
    [20, 0.5, 6, 15],
    [100, 0.5, 40, 61],
    [100, 0.9, 84, 96],
  ])('n = %i, p = %d: values %i and %i', (n, p, l, u) => {
    expect(quantileInterval(ranks(n), p, 0.95)).toEqual([l, u]);
  });
});
