import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { edgesOnLimit, histogram } from '../../../src/statistics/samples/histogram.ts';

describe('histogram', () => {
  it('counts a value on an edge in the bin below it, the first edge in the first bin, and what lies outside apart', () => {
    expect(histogram([-1, 0, 0.5, 1, 1.5, 2, 2.5, 3, Number.POSITIVE_INFINITY], [0, 1, 2])).toEqual({
      edges: [0, 1, 2],
      counts: [3, 2],
      below: 1,
      above: 3,
    });
  });

  it('loses no value, and its bins up to the limit hold exactly what is within it', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0, max: 20, noNaN: true })),
        fc.double({ min: 0.01, max: 10, noNaN: true }),
        (values, limit) => {
          const all = [...values, limit, limit * (1 + Number.EPSILON)];
          const h = histogram(all, edgesOnLimit(limit, 10, 30));
          const sum = (counts: readonly number[]) => counts.reduce((a, b) => a + b, 0);
          expect(sum(h.counts) + h.above + h.below).toBe(all.length);
          expect(sum(h.counts.slice(0, 10))).toBe(all.filter((value) => value <= limit).length);
        },
      ),
      { seed: 3, numRuns: 200 },
    );
  });

  it('refuses NaN and edges that do not rise', () => {
    expect(() => histogram([1, Number.NaN], [0, 2])).toThrow(/value 1 of 2/);
    for (const edges of [[], [1], [1, 1], [2, 1], [0, Number.NaN], [0, Number.POSITIVE_INFINITY]]) {
      expect(() => histogram([1], edges)).toThrow(RangeError);
    }
  });
});

describe('edgesOnLimit', () => {
  it('has one edge exactly on the limit', () => {
    // 3 x 0.1 is not 0.3 in binary: the edge must be the limit all the same.
    expect(edgesOnLimit(0.3, 3, 2)[3]).toBe(0.3);
    expect(edgesOnLimit(3, 3, 2)).toEqual([0, 1, 2, 3, 4, 5]);
  });

  it('refuses limits and counts that are none', () => {
    for (const limit of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) expect(() => edgesOnLimit(limit, 3, 1)).toThrow(RangeError);
    expect(() => edgesOnLimit(1, 0, 1)).toThrow(RangeError);
    expect(() => edgesOnLimit(1, 1.5, 1)).toThrow(RangeError);
    expect(() => edgesOnLimit(1, 1, -1)).toThrow(RangeError);
  });
});
