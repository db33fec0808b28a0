/** Density ratios against the distribution functions they must be the slopes of. */
import { describe, expect, it } from 'vitest';
import { densityRatio } from '../../src/inputs/densityRatio.ts';
import type { Distribution } from '../../src/inputs/distributions.ts';
import { cdf, quantile } from '../../src/inputs/distributions.ts';
import { scaleSpread } from '../../src/inputs/spread.ts';

const SMOOTH: readonly Distribution[] = [
  { kind: 'normal', mean: 2, sd: 0.3 },
  { kind: 'student', mean: 2, scale: 0.3, freedom: 4 },
  { kind: 'truncatedNormal', mean: 1, sd: 0.5, low: 0.2, high: 3 },
  { kind: 'lognormal', median: 0.11, logSd: 0.25 },
  { kind: 'uniform', low: -1, high: 4 },
  { kind: 'triangular', low: 0, mode: 1, high: 4 },
  { kind: 'beta', alpha: 2.5, beta: 4, low: 1, high: 3 },
  { kind: 'measured', values: [1, 1.2, 1.9], as: 'smooth', bandwidth: 0.3 },
];

describe('densityRatio', () => {
  it.each(SMOOTH)('of $kind is the ratio of the slopes of the two distribution functions', (d) => {
    for (const factor of [0.5, 0.8, 1]) {
      const ratio = densityRatio(d, factor);
      if (ratio === null) throw new Error('no ratio');
      const wide = cdf(d);
      const narrow = cdf(scaleSpread(d, factor));
      let mean = 0;
      const points = 400;
      for (let i = 0; i < points; i++) {
        const u = (i + 0.5) / points;
        // Smoothed data have no inverse of their own here: any points of their range will do.
        const x = d.kind === 'measured' ? 0.5 + 2 * u : quantile(d)(u);
        const h = 1e-5;
        const slopes = (narrow(x + h) - narrow(x - h)) / (wide(x + h) - wide(x - h));
        // Central differences err by h^2 inside, and where a bound or a corner lies within h: such points are left out.
        const smooth = Math.abs(narrow(x + h) - 2 * narrow(x) + narrow(x - h)) < 1e-9;
        if (smooth) expect(Math.abs(ratio(x) - slopes)).toBeLessThan(1e-4 * (1 + slopes));
        mean += ratio(x) / points;
      }
      // Midpoints of 400 equal shares: a jump of at most 2 within one of them moves the mean by at most 2/400.
      if (d.kind !== 'measured') expect(Math.abs(mean - 1)).toBeLessThan(0.006);
    }
  });

  it('of a chance is the ratio of the probabilities', () => {
    const ratio = densityRatio({ kind: 'chance', probability: 0.2 }, 0.5);
    expect(ratio?.(1)).toBeCloseTo(0.5, 15);
    expect(ratio?.(0)).toBeCloseTo(0.9 / 0.8, 15);
  });

  it.each<Distribution>([
    { kind: 'fixed', value: 1 },
    { kind: 'discrete', values: [1, 2], weights: [0.5, 0.5] },
    { kind: 'measured', values: [1, 2, 3], as: 'resample', bandwidth: 0 },
    { kind: 'chance', probability: 0 },
  ])('of $kind there is none', (d) => {
    expect(densityRatio(d, 0.5)).toBeNull();
  });

  it.each([0, -1, 1.5, Number.NaN])('refuses the factor %d: flights cannot stand for a wider spread', (factor) => {
    expect(() => densityRatio({ kind: 'normal', mean: 0, sd: 1 }, factor)).toThrow(RangeError);
  });
});
