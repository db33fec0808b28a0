import fc from 'fast-check';
import { expect, it } from 'vitest';
import { holm } from '../../../src/statistics/samples/holm.ts';

it('rejects exactly what the step-down procedure rejects', () => {
  fc.assert(
    fc.property(fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { maxLength: 8 }), fc.constantFrom(0.01, 0.05, 0.3), (p, alpha) => {
      const rising = [...p].sort((a, b) => a - b);
      const stop = rising.findIndex((value, step) => (p.length - step) * value > alpha);
      const threshold = stop < 0 ? Number.POSITIVE_INFINITY : (rising[stop] ?? Number.NaN);
      expect(holm(p).map((value) => value <= alpha)).toEqual(p.map((value) => value < threshold));
    }),
    { seed: 5, numRuns: 300 },
  );
});

it('leaves one alone, and none empty; never exceeds 1', () => {
  expect(holm([0.2])).toEqual([0.2]);
  expect(holm([])).toEqual([]);
  expect(holm([0.9, 0.8])).toEqual([1, 1]);
});

it('refuses what is no p value', () => {
  expect(() => holm([0.1, Number.NaN])).toThrow(RangeError);
  expect(() => holm([1.1])).toThrow(RangeError);
});
