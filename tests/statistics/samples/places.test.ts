import fc from 'fast-check';
import { expect, it } from 'vitest';
import { Places, tieOf } from '../../../src/statistics/samples/places.ts';

/** Ties, gaps, far-off values and both zeros: what makes stretches of equal width very unequal. */
const columns = fc.array(
  fc.oneof(
    fc.integer({ min: -3, max: 3 }),
    fc.double({ noNaN: true, noDefaultInfinity: true }),
    fc.double({ min: 0, max: 1, noNaN: true }),
    fc.constant(-0),
  ),
  { minLength: 1, maxLength: 80 },
);

it('finds at every place what stands there when all values are put in order, and the places of its equals', () => {
  fc.assert(
    fc.property(columns, (list) => {
      const places = new Places(Float64Array.from(list));
      const ordered = list.map((value) => value + 0).sort((a, b) => a - b);
      ordered.forEach((value, place) => {
        const { value: found, start, end } = places.tieAt(place);
        expect(found + 0).toBe(value);
        expect([start, end]).toEqual([ordered.indexOf(value), ordered.lastIndexOf(value) + 1]);
        expect(tieOf(place, ordered.length, (k) => ordered[k])).toEqual({ value, start, end });
      });
    }),
    { seed: 4, numRuns: 300 },
  );
});

it('refuses a column without rows or with a value that has no place', () => {
  expect(() => new Places(new Float64Array(0))).toThrow('no rows');
  expect(() => new Places(Float64Array.of(1, Number.NaN))).toThrow('row 1 holds NaN');
});
