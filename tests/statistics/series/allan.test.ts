/** Allan deviation: a ramp's closed form, pieces, and how often its intervals hold. */
import { describe, expect, it } from 'vitest';
import { allanCurve, allanFreedom, allanVariance } from '../../../src/statistics/series/allan.ts';
import { makeNormalNoise } from '../../helpers/normals.ts';

describe('closed forms', () => {
  it('a ramp of one a reading has the variance m^2/2', () => {
    const ramp = Float64Array.from({ length: 8 }, (_, i) => i + 1);
    for (const m of [1, 2, 4]) expect(allanVariance([ramp], m)?.variance).toBe((m * m) / 2);
  });

  it('two readings at least', () => {
    expect(allanVariance([Float64Array.of(1)], 1)).toBeNull();
  });

  it('pieces add their terms, and nothing reaches over a gap', () => {
    const step = [Float64Array.of(0, 0, 0, 0), Float64Array.of(9, 9, 9, 9)];
    expect(allanVariance(step, 2)).toEqual({ variance: 0, terms: 2 });
  });

  it('a walk of step q a reading has the variance q^2 (2 m^2 + 1)/(6 m)', () => {
    const normal = makeNormalNoise('walk');
    let x = 0;
    const walk = Float64Array.from({ length: 400_000 }, () => {
      x += normal();
      return x;
    });
    // standard error 1/sqrt(2 freedom): under 0.006 at 10 averaged
    for (const m of [1, 2, 5, 10]) {
      expect(Math.abs((allanVariance([walk], m)?.variance ?? 0) / ((2 * m * m + 1) / (6 * m)) - 1)).toBeLessThan(0.03);
    }
  });
});

describe('intervals', () => {
  it('hold the deviation of white noise as often as they say', () => {
    const [held, of95] = [new Array(8).fill(0), 600];
    const normal = makeNormalNoise('intervals');
    for (let k = 0; k < of95; k++) {
      const noise = Float64Array.from({ length: 400 }, normal);
      const curve = allanCurve([noise], 0.01, 0.95);
      for (const [i, point] of curve.slice(0, 8).entries()) {
        const truth = 1 / Math.sqrt(point.m);
        if (point.interval[0] <= truth && truth <= point.interval[1]) held[i]++;
      }
    }
    // 95 %: 570 of 600, standard error 5.3; four of them, and 1 % for chi-square being an approximation of what it is
    for (const count of held) expect(Math.abs(count - 570)).toBeLessThan(28);
  });

  it('fewer degrees of freedom the longer the average', () => {
    const freedoms = [1, 2, 10, 100].map((m) => allanFreedom('white', 1000, m));
    expect(freedoms).toEqual([...freedoms].sort((a, b) => b - a));
    expect(allanFreedom('flicker', 1000, 1)).toBeGreaterThan(500);
  });
});
