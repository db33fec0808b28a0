/**
 * Scrambled Sobol' points: the net survives, each point is uniform, means are unbiased and converge as scrambled nets
 * do.
 */
import { describe, expect, it } from 'vitest';
import { stream } from '../../src/maths/streams.ts';
import { SOBOL_DIMENSIONS, scrambledSobolDimension, sobolDimension, sobolPoint } from '../../src/sampling/sobol.ts';

const scrambled = (dimension: number, seed: string) => scrambledSobolDimension(dimension, stream(`${seed}/${dimension}`));

describe('scrambled', () => {
  it('every block of 2^m points has one point in each of 2^m cells, in every one of 256 dimensions', () => {
    for (let dimension = 0; dimension < SOBOL_DIMENSIONS; dimension++) {
      const coordinate = scrambled(dimension, 'net');
      for (const m of [0, 1, 4, 8]) {
        const size = 2 ** m;
        for (const block of [0, 1, 5]) {
          const cells = new Set<number>();
          for (let i = 0; i < size; i++) cells.add(Math.floor(sobolPoint(coordinate, block * size + i) * size));
          expect(cells.size).toBe(size);
        }
      }
    }
  });

  it('the first two dimensions have one point in every box of area 2^-m, whatever its shape', () => {
    const m = 8;
    for (const seed of ['a', 'b', 'c']) {
      const [x, y] = [scrambled(0, seed), scrambled(1, seed)];
      for (let split = 0; split <= m; split++) {
        const boxes = new Set<number>();
        for (let i = 0; i < 2 ** m; i++) {
          const column = Math.floor(sobolPoint(x, 256 + i) * 2 ** split);
          const row = Math.floor(sobolPoint(y, 256 + i) * 2 ** (m - split));
          boxes.add(column * 2 ** (m - split) + row);
        }
        expect(boxes.size).toBe(2 ** m);
      }
    }
  });

  it('no point is at 0 or 1, and no two seeds give the same first point', () => {
    const first = Array.from({ length: 500 }, (_, k) => sobolPoint(scrambled(k % SOBOL_DIMENSIONS, `ends ${k}`), 0));
    expect(first.every((x) => x > 0 && x < 1)).toBe(true);
    expect(new Set(first).size).toBe(500);
    const last = scrambledSobolDimension(0, () => 1 - 2 ** -53);
    for (let i = 0; i < 4096; i++) {
      const x = sobolPoint(last, i);
      expect(x > 0 && x < 1).toBe(true);
    }
  });

  it('over seeds each point is uniform and two dimensions of it are independent', () => {
    const seeds = 4000;
    const cells = 8;
    for (const index of [0, 3, 100]) {
      const counts = new Float64Array(cells * cells);
      for (let k = 0; k < seeds; k++) {
        const x = sobolPoint(scrambled(1, `uniform ${k}`), index);
        const y = sobolPoint(scrambled(6, `uniform ${k}`), index);
        counts[Math.floor(x * cells) * cells + Math.floor(y * cells)]++;
      }
      const expected = seeds / counts.length;
      const chiSquare = counts.reduce((sum, c) => sum + (c - expected) ** 2 / expected, 0);
      // 63 degrees of freedom, mean 63, sd 11.2: both ends 4 sd (a flat table would be as wrong as a lumpy one).
      expect(Math.abs(chiSquare - 63)).toBeLessThanOrEqual(4 * Math.sqrt(126));
    }
  });

  it('the mean of x itself has the variance of a randomly placed point in each cell, n^-3/12 (Owen 2003)', () => {
    const n = 8;
    const seeds = 4000;
    for (const dimension of [0, 1, 30]) {
      let squares = 0;
      for (let k = 0; k < seeds; k++) {
        const coordinate = scrambled(dimension, `cells ${k}`);
        let sum = 0;
        for (let i = 0; i < n; i++) sum += sobolPoint(coordinate, i) - 0.5;
        squares += (sum / n) ** 2;
      }
      // Kurtosis 0.6 n + 3 at most: a linear scramble errs rarely and then much (a digit equal in all points, one time
      // in n). 5 standard errors.
      expect(Math.abs((squares / seeds) * 12 * n ** 3 - 1)).toBeLessThanOrEqual(5 * Math.sqrt((0.6 * n + 2) / seeds));
    }
  });

  it('a mean is unbiased over seeds and its error falls much faster than that of independent draws', () => {
    // Mean of the product of (1 + (x_j - 1/2)) over 5 dimensions is 1; its variance for one draw is (13/12)^5 - 1 =
    // 0.492.
    const seeds = 200;
    const error = (n: number): { bias: number; sd: number } => {
      const means = Array.from({ length: seeds }, (_, k) => {
        const dimensions = [0, 1, 2, 3, 4].map((d) => scrambled(d, `mean ${k}`));
        let sum = 0;
        for (let i = 0; i < n; i++) sum += dimensions.reduce((p, d) => p * (0.5 + sobolPoint(d, i)), 1);
        return sum / n;
      });
      const bias = means.reduce((s, v) => s + v - 1, 0) / seeds;
      return { bias, sd: Math.sqrt(means.reduce((s, v) => s + (v - 1 - bias) ** 2, 0) / (seeds - 1)) };
    };
    const [coarse, fine] = [error(16), error(256)];
    for (const e of [coarse, fine]) expect(Math.abs(e.bias)).toBeLessThanOrEqual((4 * e.sd) / Math.sqrt(seeds));
    // Independent draws would give 0.701/sqrt(256) = 0.044 and a fall by 4; smooth functions give a fall near 16^1.5 =
    // 64 at best.
    expect(fine.sd).toBeLessThanOrEqual(0.044 / 10);
    expect(coarse.sd / fine.sd).toBeGreaterThanOrEqual(12);
  });
});

describe('the table', () => {
  it('has an end', () => {
    expect(() => sobolDimension(SOBOL_DIMENSIONS)).toThrow(RangeError);
    expect(() => sobolDimension(-1)).toThrow(RangeError);
  });
});
