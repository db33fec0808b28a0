/**
 * Kinds of distribution: their order, their edges and the odd ones out. Accuracy is
 * tests/published/mpmath-distributions.test.ts.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Distribution } from '../../src/inputs/distributions.ts';
import { cdf, quantile } from '../../src/inputs/distributions.ts';
import { moments } from '../../src/inputs/moments.ts';
import { normalCdf, normalQuantile } from '../../src/maths/normal.ts';
import { anyDistribution } from './anyDistribution.ts';

const RUNS = { seed: 20, numRuns: 400 };
const uniform = fc.double({ min: 2 ** -54, max: 1 - 2 ** -53, noNaN: true });

describe('every quantile', () => {
  it('never falls as the uniform grows (but for smoothed data)', () => {
    fc.assert(
      fc.property(anyDistribution, uniform, uniform, (d, u, v) => {
        fc.pre(!(d.kind === 'measured' && d.as === 'smooth'));
        const at = quantile(d);
        const [low, high] = [at(Math.min(u, v)), at(Math.max(u, v))];
        // Neighbouring uniforms may come out in the order of their last rounding: 1e-12 of the value.
        expect(high - low).toBeGreaterThanOrEqual(-1e-12 * Math.abs(low));
      }),
      RUNS,
    );
  });

  it('is finite at the smallest and the largest uniform', () => {
    fc.assert(
      fc.property(anyDistribution, (d) => {
        expect(Number.isFinite(quantile(d)(2 ** -54))).toBe(true);
        expect(Number.isFinite(quantile(d)(1 - 2 ** -53))).toBe(true);
      }),
      RUNS,
    );
  });

  it('undoes its distribution function where that is continuous', () => {
    fc.assert(
      fc.property(anyDistribution, fc.double({ min: 0.001, max: 0.999, noNaN: true }), (d, u) => {
        fc.pre(!['fixed', 'discrete', 'chance', 'measured'].includes(d.kind));
        // Against the share that one rounding of the value holds: much, where a beta has most of itself at an end.
        const [x, below] = [quantile(d)(u), cdf(d)];
        const step = 4 * Number.EPSILON * (Math.abs(x) + moments(d).sd + Math.abs(moments(d).mean));
        expect(below(x + step)).toBeGreaterThanOrEqual(u - 1e-9);
        expect(below(x - step)).toBeLessThanOrEqual(u + 1e-9);
      }),
      RUNS,
    );
  });
});

describe('a truncated normal', () => {
  it('stays inside its bounds', () => {
    const d: Distribution = { kind: 'truncatedNormal', mean: 1, sd: 0.3, low: 0.9, high: 1.2 };
    for (const u of [2 ** -54, 1e-9, 0.5, 1 - 1e-9, 1 - 2 ** -53]) {
      expect(quantile(d)(u)).toBeGreaterThanOrEqual(0.9);
      expect(quantile(d)(u)).toBeLessThanOrEqual(1.2);
    }
  });

  it('is refused where the normal has no probability', () => {
    expect(() => quantile({ kind: 'truncatedNormal', mean: 0, sd: 1, low: 50, high: 60 })).toThrow(RangeError);
  });
});

describe('a chance', () => {
  it('happens for its share of the uniforms, at their upper end', () => {
    const at = quantile({ kind: 'chance', probability: 0.25 });
    expect([0.1, 0.74, 0.76, 0.99].map(at)).toEqual([0, 0, 1, 1]);
  });

  it('of 0 never happens, of 1 always', () => {
    expect(quantile({ kind: 'chance', probability: 0 })(1 - 2 ** -53)).toBe(0);
    expect(quantile({ kind: 'chance', probability: 1 })(2 ** -54)).toBe(1);
  });
});

describe('discrete values', () => {
  it('come with their weights, in ascending order whatever order they were written in', () => {
    const at = quantile({ kind: 'discrete', values: [5, -1, 2], weights: [0.2, 0.5, 0.3] });
    expect([0.01, 0.49, 0.51, 0.79, 0.81, 0.999].map(at)).toEqual([-1, -1, 2, 2, 5, 5]);
  });

  it('have the distribution function of a staircase', () => {
    const below = cdf({ kind: 'discrete', values: [5, -1, 2], weights: [0.2, 0.5, 0.3] });
    expect([-2, -1, 1.9, 2, 5].map(below)).toEqual([0, 0.5, 0.5, 0.8, 1]);
  });
});

describe('measured data', () => {
  const values = [1, 2, 4, 8, 16];
  const resample: Distribution = { kind: 'measured', values, as: 'resample', bandwidth: 0 };
  const smooth: Distribution = { kind: 'measured', values, as: 'smooth', bandwidth: 0.5 };

  it('resampled are the data, each for an equal share', () => {
    const n = 1000;
    const at = quantile(resample);
    const drawn = Array.from({ length: n }, (_, i) => at((i + 0.5) / n));
    expect(values.map((v) => drawn.filter((x) => x === v).length)).toEqual([200, 200, 200, 200, 200]);
    expect(at(1 - 2 ** -53)).toBe(16);
  });

  it('smoothed are a datum plus the bandwidth times a normal, both from one uniform', () => {
    const at = quantile(smooth);
    expect(at(0.5)).toBe(4);
    // u = 0.34 is 1.7 of five data: the second, at the 0.7 quantile of its kernel (5 eps of rounding in u n, spread by
    // 1/density).
    expect(Math.abs(at(0.34) - (2 + 0.5 * normalQuantile(0.7)))).toBeLessThanOrEqual(1e-14);
    expect(Number.isFinite(at(0.2))).toBe(true);
  });

  it('smoothed have the moments and the distribution function of the mixture', () => {
    const n = 200_000;
    const at = quantile(smooth);
    let sum = 0;
    let squares = 0;
    let under3 = 0;
    for (let i = 0; i < n; i++) {
      const x = at((i + 0.5) / n);
      sum += x;
      squares += x * x;
      if (x <= 3) under3++;
    }
    const { mean, sd } = moments(smooth);
    // The even grid integrates each kernel to about 1e-5 of the bandwidth; the data's own moments are exact.
    expect(Math.abs(sum / n - mean)).toBeLessThanOrEqual(1e-5);
    expect(Math.abs(Math.sqrt(squares / n - mean * mean) - sd)).toBeLessThanOrEqual(1e-4);
    // One grid point per datum.
    expect(Math.abs(under3 / n - cdf(smooth)(3))).toBeLessThanOrEqual(5 / n);
    expect(mean).toBeCloseTo(6.2, 14);
    expect(sd).toBeCloseTo(Math.hypot(Math.sqrt(68.2 - 6.2 ** 2), 0.5), 13);
  });
});

describe('moments in closed form', () => {
  it('of a chance and of discrete values', () => {
    expect(moments({ kind: 'chance', probability: 0.2 })).toEqual({ mean: 0.2, sd: 0.4 });
    const { mean, sd } = moments({ kind: 'discrete', values: [0, 10], weights: [0.5, 0.5] });
    expect([mean, sd]).toEqual([5, 5]);
  });

  it('of a normal are its own', () => {
    const d: Distribution = { kind: 'normal', mean: 3, sd: 2 };
    expect(moments(d)).toEqual({ mean: 3, sd: 2 });
    expect(cdf(d)(1)).toBe(normalCdf(-1));
  });
});
