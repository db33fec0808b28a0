/** Noise of a mean over particles that descend from others. */
import { expect, it } from 'vitest';
import { normalQuantile } from '../../../src/maths/normal.ts';
import { stream } from '../../../src/maths/streams.ts';
import { familyNoise } from '../../../src/statistics/learning/familyNoise.ts';

it('families of one particle: the squared standard error of a mean', () => {
  const values = [1, 4, 2, 7];
  const mean = 3.5;
  const variance = values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / 3 / 4;
  const found = familyNoise(values, [0, 1, 2, 3]);
  expect([found.mean, found.families]).toEqual([mean, 4]);
  expect(found.variance).toBeCloseTo(variance, 12);
});

it('particles repeated in their families tell no more than once', () => {
  const once = familyNoise([1, 4, 2, 7], [0, 1, 2, 3]);
  const often = familyNoise([1, 4, 2, 7, 1, 4, 2, 7, 1, 4, 2, 7], [0, 1, 2, 3, 0, 1, 2, 3, 0, 1, 2, 3]);
  expect(often.variance).toBeCloseTo(once.variance, 12);
});

it('is the variance of means over many such sets', () => {
  const uniform = stream('chains');
  const normal = (): number => normalQuantile(uniform());
  const sets = 2000;
  const [chains, steps] = [20, 5];
  let squares = 0;
  let claimed = 0;
  for (let s = 0; s < sets; s++) {
    const shared = Array.from({ length: chains }, normal);
    const places = Array.from({ length: chains * steps }, (_, i) => i % chains);
    const found = familyNoise(
      places.map((c) => shared[c] + normal()),
      places,
    );
    squares += found.mean ** 2 / sets;
    claimed += found.variance / sets;
  }
  // Both near (1 + 1/5)/20; the relative standard error of a variance from 2,000 is 3.2 %, that of the mean of 2,000 claims far less.
  expect(Math.abs(squares / (1.2 / 20) - 1)).toBeLessThan(0.13);
  expect(Math.abs(claimed / (1.2 / 20) - 1)).toBeLessThan(0.05);
});
