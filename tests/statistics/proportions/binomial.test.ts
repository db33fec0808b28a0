import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { clopperPearson, wilson } from '../../../src/statistics/proportions/binomial.ts';

const sample = fc.integer({ min: 1, max: 5000 }).chain((n) => fc.tuple(fc.integer({ min: 0, max: n }), fc.constant(n)));

describe.each([
  ['clopperPearson', clopperPearson],
  ['wilson', wilson],
] as const)('%s', (_, interval) => {
  it('holds the observed share, and its mirror image is the interval of the failures', () => {
    fc.assert(
      fc.property(sample, ([k, n]) => {
        const [low, high] = interval(k, n, 0.95);
        expect(low).toBeLessThanOrEqual(k / n);
        expect(high).toBeGreaterThanOrEqual(k / n);
        expect(high - low).toBeGreaterThan(0);
        const [mirrorLow, mirrorHigh] = interval(n - k, n, 0.95);
        // Both ends are solved for by themselves: 1e-11.
        expect(Math.abs(1 - mirrorHigh - low)).toBeLessThanOrEqual(1e-11);
        expect(Math.abs(1 - mirrorLow - high)).toBeLessThanOrEqual(1e-11);
      }),
      { seed: 1, numRuns: 200 },
    );
  });

  it('is exactly 0 or 1 at the ends, and only there', () => {
    expect(interval(0, 7, 0.95)[0]).toBe(0);
    expect(interval(7, 7, 0.95)[1]).toBe(1);
    expect(interval(0, 7, 0.95)[1]).toBeLessThan(1);
    expect(interval(1, 7, 0.95)[0]).toBeGreaterThan(0);
    expect(interval(6, 7, 0.95)[1]).toBeLessThan(1);
    expect(interval(1, 1, 0.95)[0]).toBeGreaterThan(0);
  });

  it('widens with the level', () => {
    const [low95, high95] = interval(30, 100, 0.95);
    const [low99, high99] = interval(30, 100, 0.99);
    expect(low99).toBeLessThan(low95);
    expect(high99).toBeGreaterThan(high95);
  });

  it.each([
    [1, 0, 0.95],
    [3, 2, 0.95],
    [-1, 2, 0.95],
    [0.5, 2, 0.95],
    [Number.NaN, 2, 0.95],
    [1, 2, 0],
    [1, 2, 1],
    [1, 2, 95],
    [1, 2, Number.NaN],
  ])('refuses %d of %d at level %d', (k, n, level) => {
    expect(() => interval(k, n, level)).toThrow(RangeError);
  });
});

it('clopperPearson at 0 of n is 1 - (alpha/2)^(1/n), in closed form', () => {
  for (const n of [1, 10, 1000, 1_000_000]) {
    // 1e-9 relative: at n = 1e6 the tail sees 1 - p, in which p has lost six digits.
    const closed = -Math.expm1(Math.log(0.025) / n);
    expect(Math.abs(clopperPearson(0, n, 0.95)[1] / closed - 1)).toBeLessThanOrEqual(1e-9);
  }
});
