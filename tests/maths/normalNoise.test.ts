/** In-flight noise: a tabulated quantile held against the exact one, and streams that repeat. */
import { describe, expect, it } from 'vitest';
import { normalQuantile } from '../../src/maths/normal.ts';
import { NormalNoise, tabulatedQuantile } from '../../src/maths/normalNoise.ts';
import { noiseSeed, noiseStream } from '../../src/maths/streams.ts';
import { near } from '../helpers/near.ts';

describe('the tabulated quantile', () => {
  /** Uniforms that a draw can be: whole multiples of 2^-32, and half of it. */
  const drawn = (u: number): number => (Math.floor(u * 2 ** 32) + 0.5) / 2 ** 32;

  it('is within its stated 5e-9 of the exact one everywhere, and not much better at its worst', () => {
    let worst = 0;
    // As many in each halving of the distance from an end as in any other.
    for (let i = 0; i < 50_000; i++) {
      const u = drawn(2 ** (-33 + (32 * (i + 0.5)) / 50_000));
      for (const v of [u, 1 - u]) worst = Math.max(worst, Math.abs(tabulatedQuantile(v) - normalQuantile(v)));
    }
    expect(worst).toBeLessThanOrEqual(5e-9);
    expect(worst).toBeGreaterThan(1e-9);
  });

  it('is exact where cells begin, in the middle and at the ends of what is drawn', () => {
    for (const u of [2 ** -33, 2 ** -20, 17 / 1024, 1 / 4, 33 / 128, 3 / 4, 1 - 2 ** -33]) {
      near(tabulatedQuantile(u), normalQuantile(u), 8 * Number.EPSILON);
    }
    expect(Math.abs(tabulatedQuantile(0.5))).toBe(0);
    // The draws next to the middle: sqrt(2 pi) times their distance from it.
    near(tabulatedQuantile(0.5 + 2 ** -33), Math.sqrt(2 * Math.PI) * 2 ** -33, 1e-14);
    expect(tabulatedQuantile(0.5 - 2 ** -33)).toBe(-tabulatedQuantile(0.5 + 2 ** -33));
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

/** The next n of a stream, prepared seven at a time. */
const taken = (noise: NormalNoise, n: number): number[] =>
  Array.from({ length: n }, (_, i) => {
    if (i % 7 === 0) noise.prepare(7);
    return noise.next();
  });

describe('a noise stream', () => {
  const drawn = (key: string, n: number): number[] => {
    const noise = new NormalNoise();
    noise.reset(noiseSeed(key));
    return taken(noise, n);
  };

  it('repeats for its key, whatever was drawn before, and not for another', () => {
    const noise = new NormalNoise();
    noise.reset(noiseSeed('7/noise/2/inertial'));
    taken(noise, 11);
    noise.reset(noiseSeed('7/noise/1/inertial'));
    expect(taken(noise, 5)).toEqual(drawn('7/noise/1/inertial', 5));
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

  it('is the quantiles of its uniforms, one by one, however they are prepared', () => {
    const uniform = noiseStream('singly');
    const noise = new NormalNoise();
    noise.reset(noiseSeed('singly'));
    for (let i = 0; i < 2000; i++) {
      noise.prepare(1 + (i % 5));
      expect(noise.next()).toBe(tabulatedQuantile(uniform()));
    }
  });

  it('gives no number before it is named', () => {
    const noise = new NormalNoise();
    noise.prepare(1);
    expect(noise.next()).toBeNaN();
  });
});
