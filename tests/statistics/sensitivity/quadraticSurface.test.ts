import { describe, expect, it } from 'vitest';
import { fitShares, fitValues, greatestWithin, quadraticTerms } from '../../../src/statistics/sensitivity/quadraticSurface.ts';

const everywhere = (): boolean => true;
/** A grid of 5 places a side. */
const grid = (d: number): number[][] =>
  Array.from({ length: 5 ** d }, (_, i) => Array.from({ length: d }, (__, k) => (Math.floor(i / 5 ** k) % 5) / 2 - 1));

describe('a quadratic surface', () => {
  it.each([1, 2, 3])('in %d dimensions comes back from its own values', (d) => {
    const top = [0.3, -0.4, 0.2].slice(0, d);
    const truth = (x: readonly number[]): number =>
      5 - x.reduce((sum, value, k) => sum + (k + 1) * (value - top[k]) ** 2, 0) + (d > 1 ? 0.5 * (x[0] - top[0]) * (x[1] - top[1]) : 0);
    const points = grid(d);
    const surface = fitValues(
      points,
      points.map(truth),
      points.map(() => 3),
    );
    const somewhere = [0.77, 0.11, -0.93].slice(0, d);
    expect(surface(somewhere)).toBeCloseTo(truth(somewhere), 10);
    const best = greatestWithin(surface, d, everywhere);
    // Twice the finest step, along each coordinate.
    for (const [k, value] of top.entries()) expect(Math.abs((best?.[k] ?? Number.NaN) - value)).toBeLessThan(2e-4);
  });

  it('keeps its shape when a block of values is shifted as one', () => {
    const points = [...grid(2), ...grid(2)];
    const blocks = points.map((_, i) => (i < 25 ? 7 : 3));
    const value = ([x, y]: readonly number[]): number => 2 - (x - 0.4) ** 2 - (y + 0.1) ** 2;
    const shifted = points.map((point, i) => value(point) + (i < 25 ? 0 : 0.8));
    const half = points.filter((_, i) => i < 25 || points[i][0] > 0);
    const keep = (list: readonly number[]): number[] => list.filter((_, i) => i < 25 || points[i][0] > 0);
    const ones = half.map(() => 1);
    const surface = fitValues(half, keep(shifted), ones, keep(blocks));
    expect(surface([0.4, -0.1])).toBeCloseTo(2, 10);
    // Without blocks the shift of one side would pull the top over.
    const mixed = fitValues(half, keep(shifted), ones);
    expect(mixed([1, -0.1]) - mixed([-1, -0.1])).toBeGreaterThan(surface([1, -0.1]) - surface([-1, -0.1]) + 0.2);
  });

  it('through shares is the maximum of the likelihood', () => {
    // With as many coefficients as points the fit goes through the shares themselves, a half added to hits and misses.
    const points = [[-1], [0], [1]];
    const surface = fitShares(points, [10, 30, 0], [40, 40, 40]);
    expect(surface([-1])).toBeCloseTo(Math.log(10.5 / 30.5), 8);
    expect(surface([0])).toBeCloseTo(Math.log(30.5 / 10.5), 8);
    expect(surface([1])).toBeCloseTo(Math.log(0.5 / 40.5), 8);
  });

  it('through shares weighs points by their trials', () => {
    const points = [[-1], [-0.5], [0], [0.5], [1]];
    const shares = [0.2, 0.5, 0.6, 0.4, 0.3];
    const trials = [4000, 4000, 4000, 10, 4000];
    const surface = fitShares(
      points,
      trials.map((n, i) => Math.round(n * shares[i])),
      trials,
    );
    // The fifth point's ten trials hardly count: the four others, nearly settling the quadratic, are met closely.
    const odds = (share: number): number => Math.log(share / (1 - share));
    expect(Math.abs(surface([-1]) - odds(0.2))).toBeLessThan(0.1);
    expect(Math.abs(surface([0.5]) - odds(0.4))).toBeGreaterThan(0.2);
  });

  it('is greatest among the places that are allowed', () => {
    const slope = (x: readonly number[]): number => x[0] + x[1];
    const best = greatestWithin(slope, 2, ([x, y]) => x <= 0.25 && y <= -0.5);
    expect(best?.[0]).toBeCloseTo(0.25, 3);
    expect(best?.[1]).toBeCloseTo(-0.5, 3);
    expect(greatestWithin(slope, 2, () => false)).toBe(null);
    expect(() => greatestWithin(slope, 4, everywhere)).toThrow(RangeError);
  });

  it('has as many coefficients as it should', () => {
    expect([1, 2, 3].map(quadraticTerms)).toEqual([3, 6, 10]);
    expect(() => fitShares([[0]], [3], [2])).toThrow(RangeError);
  });
});
