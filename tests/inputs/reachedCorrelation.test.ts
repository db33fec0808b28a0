import { describe, expect, it } from 'vitest';
import type { Distribution } from '../../src/inputs/distributions.ts';
import { correlationWarnings, reachedCorrelation } from '../../src/inputs/reachedCorrelation.ts';
import type { InputDistributions } from '../../src/inputs/varying.ts';

const normal: Distribution = { kind: 'normal', mean: 1, sd: 0.05 };
const seldom: Distribution = { kind: 'chance', probability: 0.015 };

describe('the rank correlation that flights reach', () => {
  it('is what was asked for between inputs without ties', () => {
    for (const rank of [-0.7, 0.2, 0.5]) {
      // 0.005: the sums' 300 points stop short of the ends
      expect(Math.abs(reachedCorrelation(normal, { kind: 'uniform', low: 0, high: 1 }, rank).reached - rank)).toBeLessThan(0.005);
    }
    expect(reachedCorrelation(normal, normal, 0.5).most).toBeCloseTo(1, 6);
  });

  it('of a chance of 1.5 % is 0.145 where 0.5 is asked for, and 0.21 at most', () => {
    const { reached, most } = reachedCorrelation(seldom, normal, 0.5);
    expect(Math.abs(reached - 0.145)).toBeLessThan(0.01);
    // of yes/no with probability p and a continuous input: sqrt(3 p (1 - p))
    expect(Math.abs(most - Math.sqrt(3 * 0.015 * 0.985))).toBeLessThan(0.002);
  });

  it('is warned of where it stays well short', () => {
    const inputs: InputDistributions = { 'landing.igniterFails': seldom, 'air.axialFactor': normal, 'wind.gustScale': normal };
    const warnings = correlationWarnings(
      [
        { a: 'air.axialFactor', b: 'wind.gustScale', rank: 0.4 },
        { a: 'landing.igniterFails', b: 'air.axialFactor', rank: 0.5 },
      ],
      inputs,
    );
    expect(warnings.map(({ index }) => index)).toEqual([1]);
    expect(warnings[0].text).toMatch(
      /^asks for a rank correlation of 0\.5 of landing\.igniterFails with air\.axialFactor; flights reach about 0\.1[45]/,
    );
  });
});
