/**
 * R. C. Spear and G. M. Hornberger, Eutrophication in Peel Inlet - II. Identification of critical uncertainties via
 * generalized sensitivity analysis, Water Research 14 (1980) 43-49: inputs split by outcome. The case of two uniforms,
 * failure above a sum of 1, is ours; its distance is exactly 0.5 at 0.5 for both inputs (t^2 against 2t - t^2), and 0
 * for any other input.
 */
import { describe, expect, it } from 'vitest';
import { stream } from '../../src/maths/streams.ts';
import { distanceInterval, kolmogorovSmirnovSplit } from '../../src/statistics/samples/kolmogorovSmirnov.ts';
import { ranked } from '../../src/statistics/samples/ranks.ts';
import { sampleOf, twoUniformFailure } from '../helpers/closedForms.ts';

describe('inputs split by outcome, 100,000 rows', () => {
  const { inputs, output } = sampleOf(twoUniformFailure, 100_000, stream('spear hornberger'), 3);
  const [x1, x2, idle] = inputs.map((column) => kolmogorovSmirnovSplit(ranked(column), Uint8Array.from(output)));

  for (const [name, ks] of Object.entries({ x1, x2 })) {
    it(`${name}: distance 0.5 to 4 standard errors with this seed, at 0.5, failures lying higher`, () => {
      expect(Math.abs(ks.estimate - 0.5)).toBeLessThan(4 * ks.standardError);
      expect(ks.standardError).toBeLessThan(0.004);
      // the top 0.5 - 2 (t - 0.5)^2 is flat: within 0.05 of the middle it falls by 0.005, less than two standard errors
      expect(Math.abs(ks.at - 0.5)).toBeLessThan(0.05);
      expect(ks.direction).toBe(-1);
      expect(ks.pValue).toBeLessThan(1e-12);
    });
  }

  it('an input without effect: not told from 0', () => {
    expect(idle.pValue).toBeGreaterThan(0.001);
    expect(distanceInterval(idle, 0.999)[0]).toBe(0);
  });
});
