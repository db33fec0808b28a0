import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { stream } from '../../../src/maths/streams.ts';
import { classesFor, partition, partitionOf } from '../../../src/statistics/samples/partition.ts';
import { ranked } from '../../../src/statistics/samples/ranks.ts';

describe('partition', () => {
  it('makes even classes of values all different', () => {
    const draw = stream('partition');
    const values = Float64Array.from({ length: 1000 }, draw);
    const { sizes, classOf } = partition(ranked(values), 10);
    expect([...sizes]).toEqual(new Array(10).fill(100));
    expect(classOf[values.indexOf(Math.min(...values))]).toBe(0);
    expect(classOf[values.indexOf(Math.max(...values))]).toBe(9);
  });

  it('gives each of few values its class', () => {
    const values = Float64Array.from({ length: 600 }, (_, i) => (i % 100 === 0 ? 7 : i % 2));
    expect([...partition(ranked(values), 8).sizes]).toEqual([294, 300, 6]);
  });

  it('gives a frequent value among others a class of its own', () => {
    // 300 different values below, 400 zeros, 300 above
    const values = Float64Array.from({ length: 1000 }, (_, i) => (i < 300 ? -1 - i : i < 700 ? 0 : i));
    const { classOf, sizes } = partition(ranked(values), 8);
    const zeros = classOf[500];
    expect(sizes[zeros]).toBe(400);
    expect(classOf[0]).toBe(zeros - 1);
    expect(classOf[700]).toBe(zeros + 1);
  });

  it('never parts equal values, keeps the order and leaves no class under 5 rows, whatever the ties', () => {
    fc.assert(
      fc.property(
        fc.array(fc.oneof(fc.integer({ min: 0, max: 6 }), fc.double({ min: 0, max: 6, noNaN: true })), { minLength: 10, maxLength: 120 }),
        fc.integer({ min: 1, max: 12 }),
        (list, wanted) => {
          const column = ranked(Float64Array.from(list));
          const { classOf, sizes, count } = partition(column, wanted);
          expect(count).toBeLessThanOrEqual(wanted);
          expect(Math.min(...sizes)).toBeGreaterThanOrEqual(5);
          expect(sizes.reduce((a, b) => a + b, 0)).toBe(list.length);
          expect(partitionOf(column.values, wanted)).toEqual({ classOf, sizes, count });
          for (let i = 1; i < list.length; i++) {
            const [low, high] = [column.order[i - 1], column.order[i]];
            expect(classOf[high]).toBeGreaterThanOrEqual(classOf[low]);
            if (list[low] === list[high]) expect(classOf[high]).toBe(classOf[low]);
          }
        },
      ),
      { seed: 9, numRuns: 300 },
    );
  });

  it('makes the same classes of a column that nobody ranked, at any size', () => {
    const draw = stream('unranked');
    for (const [values, wanted] of [
      [Float64Array.from({ length: 20_011 }, () => Math.exp(20 * draw())), 96],
      [Float64Array.from({ length: 20_011 }, () => (draw() < 0.4 ? 1 : Math.round(300 * draw()) / 100)), 128],
      [Float64Array.from({ length: 3000 }, (_, i) => i % 2), 10],
      [new Float64Array(50).fill(0.1), 10],
    ] as const) {
      expect(partitionOf(values, wanted)).toEqual(partition(ranked(values), wanted));
    }
  });

  it('grows the number of classes with the cube root of the rows', () => {
    expect([8, 1000, 8000, 1e6].map(classesFor)).toEqual([2, 10, 20, 32]);
    expect(() => partition(ranked(Float64Array.of(1, 2)), 0)).toThrow(RangeError);
  });
});
