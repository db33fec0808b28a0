/** Two ways of flying the same campaigns: pairs by number, attempts and cost up to the first landing, and when they are told apart. */
import { describe, expect, it } from 'vitest';
import type { FlownCampaign } from '../../../src/analysis/campaign/campaignCollector.ts';
import { costsOf } from '../../../src/analysis/campaign/costs.ts';
import { attemptsTaken, costOf, FEWEST_DIFFERING, rivalsOf } from '../../../src/analysis/campaign/rivals.ts';
import { demoStudy } from '../../helpers/studyForTests.ts';

const PLAN = { ...demoStudy().campaign, attempts: 4 };
const PRICED = { ...PLAN, costs: { currency: 'EUR', attempt: 30, rebuild: 50 } };

/** A campaign that landed first at an attempt, or never in four. */
const campaign = (number: number, first: number | null, rebuilds = 0): FlownCampaign => {
  const landed = Array.from({ length: first ?? 4 }, (_, i) => i + 1 === first);
  return { number, landed, observed: [], misses: [], rebuilds };
};
const many = (firsts: readonly (number | null)[], from = 1): FlownCampaign[] => firsts.map((first, i) => campaign(from + i, first));

describe('a rival', () => {
  const base = many(Array.from({ length: 40 }, (_, i) => (i % 2 === 0 ? 3 : null)));

  it('is held against the base by number, campaign by campaign, whatever the order and whoever is missing', () => {
    const flown = many(Array.from({ length: 40 }, () => 2))
      .filter(({ number }) => number !== 7)
      .reverse();
    const [rival] = rivalsOf(base, [{ name: 'a', campaigns: flown }], PLAN);
    expect(rival.pairs).toBe(39);
    expect(rival.attempts.value).toBe(2);
    // Of 39 pairs 19 took one fewer and 20 two fewer.
    expect(rival.saved.value).toBeCloseTo((19 * 1 + 20 * 2) / 39, 12);
    expect(rival.verdict).toBe('fewer');
    expect(rival.gains.map(({ difference }) => difference)).toEqual([0, 1, expect.closeTo(20 / 39, 12), expect.closeTo(20 / 39, 12)]);
  });

  it('is told apart neither by nothing nor by a few campaigns', () => {
    expect(rivalsOf(base, [{ name: 'same', campaigns: base }], PLAN)[0].verdict).toBe('not told apart');
    const few = base.map((one, i) => (i < FEWEST_DIFFERING - 1 ? campaign(one.number, 1) : one));
    expect(rivalsOf(base, [{ name: 'few', campaigns: few }], PLAN)[0]).toMatchObject({
      differing: FEWEST_DIFFERING - 1,
      verdict: 'not told apart',
    });
    const enough = base.map((one, i) => (i < FEWEST_DIFFERING ? campaign(one.number, 1) : one));
    expect(rivalsOf(base, [{ name: 'enough', campaigns: enough }], PLAN)[0].verdict).toBe('fewer');
    expect(rivalsOf(enough, [{ name: 'back', campaigns: base }], PLAN)[0].verdict).toBe('more');
  });

  it('has wider intervals the more there are, so that all hold together', () => {
    const one = { name: 'a', campaigns: base.map((c, i) => (i < 20 ? campaign(c.number, 1) : c)) };
    const width = (rivals: readonly (typeof one)[]): number => {
      const [low, high] = rivalsOf(base, rivals, PLAN)[0].saved.interval;
      return high - low;
    };
    // Bonferroni: quantiles of the normal at 0.05/2 and 0.05/8.
    expect(width([one, one, one, one]) / width([one])).toBeCloseTo(2.4977 / 1.95996, 4);
  });

  it('is left out where no two campaigns were flown both ways', () => {
    expect(rivalsOf(base, [{ name: 'elsewhere', campaigns: many([1, 1, 1], 1000) }], PLAN)).toEqual([]);
  });
});

describe('cost', () => {
  it('counts attempts up to the first landing, and rebuilds before it', () => {
    expect(attemptsTaken(campaign(1, 2))).toBe(2);
    expect(attemptsTaken({ ...campaign(1, 2), landed: [false, true, false, true] })).toBe(2);
    expect(attemptsTaken(campaign(1, null))).toBe(4);
    expect(costOf(campaign(1, 2, 1), PRICED)).toBe(110);
    expect(costOf(campaign(1, 2, 1), PLAN)).toBeNull();
  });

  it('for odds is the least by which so many have landed; no number where too many never do', () => {
    const campaigns = [
      ...Array.from({ length: 70 }, (_, i) => campaign(i + 1, 1)),
      ...Array.from({ length: 30 }, (_, i) => campaign(71 + i, null, 1)),
    ];
    const costs = costsOf(campaigns, PRICED);
    expect(costs?.mean.value).toBeCloseTo(0.7 * 30 + 0.3 * 170, 12);
    expect(costs?.rebuilds).toBeCloseTo(0.3, 12);
    expect(costs?.needed).toEqual([
      { odds: 0.5, cost: 30, least: 30, most: 30 },
      { odds: 0.8, cost: null, least: null, most: null },
      { odds: 0.95, cost: null, least: null, most: null },
    ]);
    expect(costsOf(campaigns, PLAN)).toBeNull();
  });

  it('saved is told beside attempts where a cost is given', () => {
    const base = many(Array.from({ length: 30 }, () => 3));
    const rival = base.map((one, i) => campaign(one.number, 1, i % 2));
    expect(rivalsOf(base, [{ name: 'a', campaigns: rival }], PRICED)[0].costSaved?.value).toBeCloseTo(60 - 25, 12);
    expect(rivalsOf(base, [{ name: 'a', campaigns: rival }], PLAN)[0].costSaved).toBeNull();
  });
});
