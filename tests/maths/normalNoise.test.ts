/** In-flight noise: a tabulated quantile held against the exact one, and streams that repeat. */
import { describe, expect, it } from 'vitest';
import { normalQuantile } from '../../src/maths/normal.ts';
import { NormalNoise, tabulatedQuantile } from '../../src/maths/normalNoise.ts';
import { noiseSeed } from '../../src/maths/streams.ts';
import { near } from '../helpers/near.ts';

describe('the tabulated quantile', () => {
  it('is within its stated 8e-8 of the exact one everywhere, and not much better at its worst', () => {
    let worst = 0;
    // Seven points a cell, none at the same place in all cells.
    const count = 7 * 1024 + 3;
    for (let i = 0; i < count; i++) {
      const u = (i + 0.5) / count;
      worst = Math.max(worst, Math.abs(tabulatedQuantile(u) - normalQuantile(u)));
    }
    expect(worst).toBeLessThanOrEqual(8e-8);
    expect(worst).toBeGreaterThan(1e-9);
  });

  it('is exact at the nodes and in the tails', () => {
    for (const u of [16, 100, 512, 1007].map((i) => i / 1024)) near(tabulatedQuantile(u), normalQuantile(u), 4 * Number.EPSILON);
    for (const u of [2 ** -33, 1e-4, 15.9 / 1024, 1008.1 / 1024, 1 - 2 ** -33]) expect(tabulatedQuantile(u)).toBe(normalQuantile(u));
  });

  it('never falls', () => {
    let before = Number.NEGATIVE_INFINITY;
    for (let i = 1; i < 100_000; i++) {
      const z = tabulatedQuantile(i / 100_000);
      expect(z).toBeGreaterThan(before);
      before = z;
    }
  });
});

describe('a noise stream', () => {
  const drawn = (key: string, n: number): number[] => {
    const noise = new NormalNoise();
    noise.reset(noiseSeed(key));
    return Array.from({ length: n }, () => noise.next());
  };

  it('repeats for its key, whatever was drawn before, and not for another', () => {
    const noise = new NormalNoise();
    noise.reset(noiseSeed('7/noise/2/inertial'));
    for (let i = 0; i < 11; i++) noise.next();
    noise.reset(noiseSeed('7/noise/1/inertial'));
    expect(Array.from({ length: 5 }, () => noise.next())).toEqual(drawn('7/noise/1/inertial', 5));
    expect(drawn('7/noise/1/inertial', 5)).not.toEqual(drawn('7/noise/2/inertial', 5));
  });

  it('has mean 0, variance 1, kurtosis 3 and no memory', () => {
    const n = 200_000;
    const z = drawn('moments', n);
    const mean = (f: (x: number, i: number) => number): number => z.reduce((sum, x, i) => sum + f(x, i), 0) / n;
    // Four standard errors, false alarm 6e-5: variances of z, z^2, z^4 and z z' are 1, 2, 96, 1.
    near(
      mean((x) => x),
      0,
      4 * Math.sqrt(1 / n),
    );
    near(
      mean((x) => x ** 2),
      1,
      4 * Math.sqrt(2 / n),
    );
    near(
      mean((x) => x ** 4),
      3,
      4 * Math.sqrt(96 / n),
    );
    near(
      mean((x, i) => x * z[(i + 1) % n]),
      0,
      4 * Math.sqrt(1 / n),
    );
  });

  it('gives no number before it is named', () => {
    expect(new NormalNoise().next()).toBeNaN();
  });
});
