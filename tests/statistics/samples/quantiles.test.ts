import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { stream } from '../../../src/maths/streams.ts';
import { quantile, quantileInterval, sorted } from '../../../src/statistics/samples/quantiles.ts';
import { orderStatisticCoverage } from '../../helpers/orderStatistics.ts';

const ranks = (n: number) => sorted(Array.from({ length: n }, (_, i) => i + 1));

describe('sorted', () => {
  it('is a copy, ordered by number and not by spelling', () => {
    const values = [10, 9, -1, 100];
    expect([...sorted(values)]).toEqual([-1, 9, 10, 100]);
    expect(values).toEqual([10, 9, -1, 100]);
  });

  it.each([Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])('refuses %d and says where', (bad) => {
    expect(() => sorted([1, bad, 2])).toThrow(/value 1 of 3/);
  });
});

describe('quantile', () => {
  it('is definition 7: position 1 + (n - 1) p', () => {
    const sample = sorted([1, 2, 4, 8]);
    expect(quantile(sample, 0)).toBe(1);
    expect(quantile(sample, 0.25)).toBe(1.75);
    expect(quantile(sample, 0.5)).toBe(3);
    expect(quantile(sample, 0.75)).toBe(5);
    expect(quantile(sample, 1)).toBe(8);
  });

  it('of one value is that value', () => {
    expect(quantile(sorted([7]), 0.99)).toBe(7);
  });

  it('refuses an empty sample and a share outside [0, 1]', () => {
    expect(() => quantile(sorted([]), 0.5)).toThrow(RangeError);
    expect(() => quantile(sorted([1]), 1.5)).toThrow(RangeError);
    expect(() => quantile(sorted([1]), Number.NaN)).toThrow(RangeError);
  });
});

describe('quantileInterval at 95 %', () => {
  it.each([
    [0.5, 6],
    [0.05, 72],
    [0.95, 72],
    [0.01, 368],
    [0.99, 368],
  ])('the %d quantile needs at least %i values', (p, least) => {
    expect(quantileInterval(ranks(least - 1), p, 0.95)).toBeNull();
    expect(quantileInterval(ranks(least), p, 0.95)).not.toBeNull();
  });

  it('is null for an empty sample and for one value, never of width 0', () => {
    expect(quantileInterval(sorted([]), 0.5, 0.95)).toBeNull();
    expect(quantileInterval(ranks(1), 0.5, 0.95)).toBeNull();
  });

  it('covers at the level, each end within its half, and one step in would not', () => {
    fc.assert(
      fc.property(fc.integer({ min: 400, max: 3000 }), fc.constantFrom(0.05, 0.25, 0.5, 0.75, 0.95, 0.99), (n, p) => {
        const [l, u] = quantileInterval(ranks(n), p, 0.95) ?? [Number.NaN, Number.NaN];
        expect(orderStatisticCoverage(n, p, l, u)).toBeGreaterThanOrEqual(0.95);
        // Moving either end in loses more than that end may: seen by completing the other side with the whole sample.
        expect(orderStatisticCoverage(n, p, l + 1, n)).toBeLessThan(0.975);
        expect(orderStatisticCoverage(n, p, 1, u - 1)).toBeLessThan(0.975);
      }),
      { seed: 2, numRuns: 60 },
    );
  });

  it('holds the true median of a skewed distribution in 95 % of samples', () => {
    const draw = stream('quantile coverage');
    const trials = 2000;
    let held = 0;
    for (let i = 0; i < trials; i++) {
      const [low, high] = quantileInterval(sorted(Array.from({ length: 50 }, () => -Math.log(draw()))), 0.5, 0.95) ?? [1, 0];
      if (low <= Math.LN2 && Math.LN2 <= high) held++;
    }
    // n = 50: ranks 18 and 33 cover 0.9672; 4 standard errors of 2,000 trials are 0.016.
    const exact = orderStatisticCoverage(50, 0.5, 18, 33);
    expect(Math.abs(held / trials - exact)).toBeLessThanOrEqual(0.016);
  });

  it('refuses shares and levels that are none', () => {
    expect(() => quantileInterval(ranks(10), 0, 0.95)).toThrow(RangeError);
    expect(() => quantileInterval(ranks(10), 0.5, 1)).toThrow(RangeError);
  });
});
