/** Anderson and Darling's distance: by hand, and its mean of 1 whatever the sample's size. */
import { expect, it } from 'vitest';
import { stream } from '../../../src/maths/streams.ts';
import { andersonDarling } from '../../../src/statistics/samples/andersonDarling.ts';
import { sorted } from '../../../src/statistics/samples/quantiles.ts';

it('of one value at share u is -1 - log u - log(1 - u)', () => {
  for (const u of [0.1, 0.5, 0.77]) expect(andersonDarling(sorted([u]), (x) => x)).toBeCloseTo(-1 - Math.log(u) - Math.log(1 - u), 12);
});

it('has the mean 1 for samples of the distribution itself', () => {
  const uniform = stream('anderson darling');
  const runs = 20_000;
  let sum = 0;
  for (let k = 0; k < runs; k++) sum += andersonDarling(sorted(Array.from({ length: 7 }, () => uniform())), (x) => x);
  // sd of the limit law sqrt(2 (pi^2 - 9)/3) = 0.761: four standard errors
  expect(Math.abs(sum / runs - 1)).toBeLessThan((4 * 0.761) / Math.sqrt(runs));
});

it('a value that cannot be is far, not infinitely', () => {
  expect(andersonDarling(sorted([2]), (x) => Math.min(1, x))).toBeGreaterThan(20);
  expect(() => andersonDarling(sorted([]), (x) => x)).toThrow(RangeError);
});
