import fc from 'fast-check';
import { expect, test } from 'vitest';
import { spreadApart } from '../../src/report/spreadApart.ts';

test('places far enough apart stay', () => {
  expect(spreadApart([10, 30, 60], 12, 0, 100)).toEqual([10, 30, 60]);
});

test('two too near move apart about their middle', () => {
  expect(spreadApart([50, 52], 12, 0, 100)).toEqual([45, 57]);
});

test('a crowd at the end keeps within it', () => {
  expect(spreadApart([97, 98, 99], 10, 0, 100)).toEqual([80, 90, 100]);
});

test('what cannot fit stands evenly', () => {
  expect(spreadApart([5, 5, 5], 10, 0, 10)).toEqual([0, 5, 10]);
});

test('whatever is wanted: in order, apart, within, and moved only where it must be', () => {
  const places = fc.array(fc.double({ min: 0, max: 300, noNaN: true }), { minLength: 1, maxLength: 12 });
  fc.assert(
    fc.property(places, (unsorted) => {
      const wanted = [...unsorted].sort((a, b) => a - b);
      const found = spreadApart(wanted, 12, 0, 300);
      // Rounding of sums of a dozen numbers up to 300.
      const tiny = 1e-9;
      found.forEach((place, i) => {
        expect(place).toBeGreaterThanOrEqual(-tiny);
        expect(place).toBeLessThanOrEqual(300 + tiny);
        if (i > 0) expect(place - found[i - 1]).toBeGreaterThanOrEqual(12 - tiny);
      });
      if (wanted.every((place, i) => i === 0 || place - wanted[i - 1] >= 12)) {
        found.forEach((place, i) => {
          expect(Math.abs(place - wanted[i])).toBeLessThanOrEqual(tiny);
        });
      }
    }),
  );
});
