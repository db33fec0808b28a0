import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { goldenSection } from '../../src/maths/goldenSection.ts';

describe('goldenSection', () => {
  it('finds the bottom of any single dip within the tolerance', () => {
    fc.assert(
      fc.property(fc.double({ min: -5, max: 5, noNaN: true }), fc.double({ min: 0.1, max: 10, noNaN: true }), (bottom, steep) => {
        const found = goldenSection((x) => (x < bottom ? steep : 1) * Math.abs(x - bottom), -6, 6, 1e-6);
        expect(Math.abs(found.at - bottom)).toBeLessThanOrEqual(1e-6);
      }),
      { seed: 11, numRuns: 200 },
    );
  });

  it('finds where a falling function jumps', () => {
    const found = goldenSection((x) => (x <= Math.SQRT2 ? Math.sqrt(Math.SQRT2 - x) : 50 + x), 0, 3, 1e-9);
    expect(found.at).toBeLessThanOrEqual(Math.SQRT2);
    expect(Math.SQRT2 - found.at).toBeLessThanOrEqual(1e-9);
    expect(found.value).toBe(Math.sqrt(Math.SQRT2 - found.at));
  });

  it('ends at an end when that is the lowest', () => {
    expect(goldenSection((x) => x, 2, 3, 1e-6).at).toBeLessThan(2 + 1e-6);
    expect(goldenSection((x) => -x, 2, 3, 1e-6).at).toBeGreaterThan(3 - 1e-6);
  });

  it('refuses what is no bracket or no number', () => {
    expect(() => goldenSection((x) => x, 3, 2, 1e-6)).toThrow(RangeError);
    expect(() => goldenSection((x) => x, 2, 3, 0)).toThrow(RangeError);
    expect(() => goldenSection(() => Number.NaN, 2, 3, 1e-6)).toThrow(RangeError);
  });
});
