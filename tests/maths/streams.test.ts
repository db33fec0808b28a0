/** Seeded streams: a key is all they depend on, and neighbouring keys give unlike numbers. */
import { describe, expect, it } from 'vitest';
import { power } from '../../src/maths/power.ts';
import { noiseStream, stream } from '../../src/maths/streams.ts';
import { near } from '../helpers/near.ts';

describe.each([
  ['stream', stream],
  ['noiseStream', noiseStream],
])('%s', (_, make) => {
  it('repeats for a key and lies inside (0, 1)', () => {
    const [a, b] = [make('1/inputs/1'), make('1/inputs/1')];
    for (let i = 0; i < 1000; i++) {
      const u = a();
      expect(u).toBe(b());
      expect(u > 0 && u < 1).toBe(true);
    }
  });

  it('starts uniformly over neighbouring keys, uncorrelated with the next', () => {
    const n = 20_000;
    const first = Array.from({ length: n }, (_, i) => make(`0/noise/${i + 1}`)());
    // Four standard errors: variances 1/12 of u, 1/180 of (u - 1/2)^2, 1/144 of the product of neighbours.
    near(first.reduce((s, u) => s + u, 0) / n, 0.5, 4 * Math.sqrt(1 / 12 / n));
    near(first.reduce((s, u) => s + (u - 0.5) ** 2, 0) / n, 1 / 12, 4 * Math.sqrt(1 / 180 / n));
    near(first.reduce((s, u, i) => s + (u - 0.5) * (first[(i + 1) % n] - 0.5), 0) / n, 0, 4 * Math.sqrt(1 / 144 / n));
  });
});

describe('power', () => {
  it.each([
    [2, 10, 1024],
    [0.1, 1 / 7, 0.719685673001152],
    [0.99, 5.255879812716677, 0.99 ** 5.255879812716677],
  ])('%d to the %d', (x, y, z) => {
    // |y ln x| eps and the exponential's own rounding.
    near(power(x, y), z, (4 + Math.abs(y * Math.log(x))) * Number.EPSILON * z);
  });

  it('is NaN below zero and 0 at zero', () => {
    expect(power(-1, 2)).toBeNaN();
    expect(power(0, 2)).toBe(0);
  });
});
