/**
 * Common practice, no source: over the apogees one motor gives, the best burn height is nearly a straight line in the
 * apogee, R^2 above 0.99. Checked on the demo vehicle, whose landing motor is far from constant thrust, for true
 * heights and for those the flight computer believes.
 */
import { describe, expect, it } from 'vitest';
import { flyDrops } from '../../src/analysis/drops/drops.ts';
import { demoStudy } from '../helpers/studyForTests.ts';

describe('the demo’s burn heights', () => {
  const { drops, fits, verdict } = flyDrops(demoStudy(), { steps: 7, spread: 0.15, lead: 0.11, tiltGuard: 0.6 });

  it('are nearly linear in the apogee, true and believed', () => {
    expect(fits?.truth.rSquared).toBeGreaterThan(0.99);
    expect(fits?.belief.rSquared).toBeGreaterThan(0.99);
    // A line that is level would be no rule: higher falls are faster and need more.
    expect(fits?.truth.coefficients[1]).toBeGreaterThan(0.1);
    expect(fits?.belief.coefficients[1]).toBeGreaterThan(0.1);
  });

  it('rise with the apogee, and every drop can land', () => {
    const heights = drops.map((drop) => drop.burnHeight);
    expect(heights).toEqual([...heights].sort((a, b) => a - b));
    expect(verdict.soft).toBe(7);
  });
});
