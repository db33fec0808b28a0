import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ranked } from '../../../src/statistics/samples/ranks.ts';

describe('ranked', () => {
  it('shares the mean place among equal values', () => {
    expect([...ranked(Float64Array.of(3, 1, 3, 2, 3, 1)).ranks]).toEqual([5, 1.5, 5, 3, 5, 1.5]);
  });

  it('orders any finite numbers as a comparison sort does, equal values in row order', () => {
    const number = fc.oneof(
      fc.double({ noNaN: true, noDefaultInfinity: true }),
      fc.integer({ min: -3, max: 3 }),
      fc.constantFrom(0, -0, Number.MIN_VALUE, -Number.MIN_VALUE, Number.MAX_VALUE, 2 ** 32, -(2 ** 32), 1 + Number.EPSILON),
    );
    fc.assert(
      fc.property(fc.array(number, { minLength: 1, maxLength: 60 }), (list) => {
        const expected = list.map((_, i) => i).sort((a, b) => list[a] - list[b] || a - b);
        expect([...ranked(Float64Array.from(list)).order]).toEqual(expected);
      }),
      { seed: 6, numRuns: 500 },
    );
  });

  it('tells neighbours apart in every one of the 64 bits that can differ', () => {
    // beside bits that are all 0 and all 1, so that no bit can stand in for its neighbour; larger number first, then
    // last
    for (const base of [0n, (1n << 62n) - 1n]) {
      for (let bit = 0n; bit < 62n; bit++) {
        const [one, other] = new Float64Array(BigUint64Array.of(base, base ^ (1n << bit)).buffer);
        expect(Number.isFinite(one) && Number.isFinite(other)).toBe(true);
        for (const pair of [
          [one, other],
          [other, one],
        ]) {
          expect(ranked(Float64Array.from(pair)).order[1], `bit ${bit}`).toBe(pair[0] > pair[1] ? 0 : 1);
        }
      }
    }
  });

  it('refuses a value without a rank and names its row', () => {
    expect(() => ranked(Float64Array.of(1, Number.NaN))).toThrow('row 1 holds NaN');
    expect(() => ranked(Float64Array.of(Infinity))).toThrow(RangeError);
    expect(() => ranked(new Float64Array(0))).toThrow(RangeError);
  });
});
