import { describe, expect, it } from 'vitest';
import { attemptPlan } from '../../../src/analysis/fly/attemptPlan.ts';

describe('attemptPlan', () => {
  it('carries the success probability and its interval over: 1 - (1 - p)^k', () => {
    const plan = attemptPlan({ share: 0.4, interval: [0.3, 0.5] });
    const three = plan?.within.find(({ attempts }) => attempts === 3);
    expect(three?.chance).toBeCloseTo(1 - 0.6 ** 3, 12);
    expect(three?.interval[0]).toBeCloseTo(1 - 0.7 ** 3, 12);
    expect(three?.interval[1]).toBeCloseTo(1 - 0.5 ** 3, 12);
    // ln 0.1 / ln 0.6 = 4.5, / ln 0.5 = 3.3, / ln 0.7 = 6.5
    expect(plan?.assured).toEqual({ assurance: 0.9, attempts: 5, least: 4, most: 7 });
  });

  it('knows no number of attempts that is enough for sure where the interval reaches down to 0', () => {
    const plan = attemptPlan({ share: 0, interval: [0, 0.04] });
    expect(plan?.within[0]).toMatchObject({ attempts: 1, chance: 0, interval: [0, expect.closeTo(0.04, 12)] });
    expect(plan?.assured).toMatchObject({ attempts: null, most: null });
    expect(attemptPlan({ share: null, interval: null })).toBeNull();
  });

  it('asks for 22 landings in a row to claim 90 % with 90 % confidence, 38 attempts with one failure', () => {
    const claims = attemptPlan({ share: 0.4, interval: [0.3, 0.5] })?.claims.filter(({ reliability }) => reliability === 0.9);
    expect(claims?.map(({ failures, attempts }) => [failures, attempts])).toEqual([
      [0, 22],
      [1, 38],
    ]);
  });
});
