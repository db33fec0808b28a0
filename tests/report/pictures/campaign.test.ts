/** The page's section on attempts in a row, from campaigns made up, and what it says where there is little to say. */
import { describe, expect, test } from 'vitest';
import type { FlownCampaign } from '../../../src/analysis/campaign/campaignCollector.ts';
import type { Campaign } from '../../../src/analysis/campaign/campaignStudy.ts';
import { costsOf } from '../../../src/analysis/campaign/costs.ts';
import { campaignFinding } from '../../../src/analysis/campaign/finding.ts';
import { firstLanding } from '../../../src/analysis/campaign/firstLanding.ts';
import { holdsFinding } from '../../../src/analysis/campaign/holdsFinding.ts';
import { bestPolicy, policiesFinding } from '../../../src/analysis/campaign/policyFinding.ts';
import { rivalsOf } from '../../../src/analysis/campaign/rivals.ts';
import { typicalCampaigns } from '../../../src/analysis/campaign/typicalCampaigns.ts';
import { vehiclesOf } from '../../../src/analysis/campaign/vehicles.ts';
import { stream } from '../../../src/maths/streams.ts';
import { campaignSection } from '../../../src/report/pictures/campaign.ts';
import { drawing, facts, study } from './madeUp.ts';
import { expectKept } from './readable.ts';

const ATTEMPTS = 6;
const plan = { ...study.campaign, attempts: ATTEMPTS, costs: { currency: 'EUR', attempt: 30, rebuild: 50 } };

/** Vehicles that land more often the higher their number, after misses that shrink by a gain. */
function flown(count: number, chance: number, gain: number): FlownCampaign[] {
  const draw = stream(`campaigns ${gain}`);
  return Array.from({ length: count }, (_, i) => {
    const own = chance * (0.4 + (1.2 * i) / count);
    const landed: boolean[] = [];
    const observed: number[] = [];
    while (landed.length < ATTEMPTS && !landed.includes(true)) {
      landed.push(draw() < own + gain * landed.length * 0.1);
      observed.push(landed.includes(true) ? 0 : landed.length === 3 ? Number.NaN : (3 - landed.length * (1 + gain)) * draw());
    }
    return { number: i + 1, landed, observed, misses: observed, rebuilds: i % 2 };
  });
}

function campaignOf(
  base: readonly FlownCampaign[],
  ways: readonly { readonly name: string; readonly campaigns: readonly FlownCampaign[] }[],
): Campaign {
  const landed = base.map((one) => one.landed);
  const odds = firstLanding(landed, ATTEMPTS);
  const spread = vehiclesOf(landed, odds, false, 'made up');
  const rivals = rivalsOf(base, ways, plan);
  const best = bestPolicy(rivals);
  const held = rivals.map((rival, i) => ({ ...rival, name: ['accelerometer', 'rail'][i] ?? 'wind', keys: [], levels: [] }));
  return {
    ...facts,
    rule: 'fixed-height',
    campaignsAsked: base.length,
    flyAll: false,
    plan,
    staying: 3,
    stoppedBy: 'limit',
    lost: [],
    attempts: landed.flat().length,
    noResult: 0,
    finding: campaignFinding(odds, ATTEMPTS, true),
    firstLanding: odds,
    vehicles: spread?.vehicles ?? null,
    after: spread?.after ?? null,
    levels: null,
    costs: costsOf(base, plan),
    policies:
      ways.length === 0
        ? null
        : {
            constant: { key: 'height', unit: 'm', value: 7 },
            level: 0.95,
            split: null,
            rivals,
            best,
            alike: [],
            finding: policiesFinding(rivals, best, []),
          },
    holds: ways.length === 0 ? null : { level: 0.95, held, centreless: ['wind.direction'], finding: holdsFinding(held) },
    typical:
      odds === null ? [] : typicalCampaigns(base, odds, ways.length === 0 ? null : { policy: ways[0].name, campaigns: ways[0].campaigns }),
  };
}

const base = flown(200, 0.4, 0);

describe('campaigns on the page', () => {
  test('by several policies', async () => {
    const campaign = campaignOf(base, [
      { name: 'correct:0.5', campaigns: flown(200, 0.4, 1) },
      { name: 'correct:1.5', campaigns: flown(200, 0.2, 0.1) },
    ]);
    await expectKept('campaign', campaignSection(drawing, campaign, 1));
  });

  test('gains swept make a curve, which says what is told apart from the best', () => {
    const ways = [0.2, 0.6, 1].map((gain) => ({ name: `correct:${gain}`, campaigns: flown(200, 0.4, gain) }));
    const campaign = campaignOf(base, ways);
    const policies = campaign.policies === null ? null : { ...campaign.policies, best: 'correct:0.6', alike: ['correct:1', 'harmonic'] };
    const section = campaignSection(drawing, { ...campaign, policies }, 1);
    expect(section).toContain('Correcting 60.0 % of each miss came out best; 100 % is not told apart from it');
    expect(campaignSection(drawing, campaignOf(base, ways.slice(0, 2)), 1)).not.toContain('campaign-gains-1');
    const none = campaign.policies === null ? null : { ...campaign.policies, best: 'keep' };
    expect(campaignSection(drawing, { ...campaign, policies: none }, 1)).toContain('no gain came out best of all policies');
  });

  test('with the program left as it is, by one campaign, and without any', () => {
    const alone = campaignSection(drawing, campaignOf(base, []), 1);
    expect(alone).toContain('Attempts in a row, rule fixed-height');
    expect(alone).not.toContain('After a miss');
    const one = campaignSection(drawing, campaignOf(base.slice(0, 1), []), 1);
    expect(one).toMatch(/By attempt 6, .* of campaigns have landed/);
    const none = campaignSection(drawing, campaignOf([], []), 1);
    expect(none).toContain('nothing can be said');
    for (const section of [alone, one, none]) expect(section).not.toMatch(/NaN|undefined|Infinity/);
  });

  test('where all landed at once, and where none ever did', () => {
    const always = base.map((c) => ({ ...c, landed: [true], observed: [0] }));
    const never = base.map((c) => ({
      ...c,
      landed: new Array<boolean>(ATTEMPTS).fill(false),
      observed: new Array<number>(ATTEMPTS).fill(1),
    }));
    expect(campaignSection(drawing, campaignOf(always, [{ name: 'harmonic', campaigns: always }]), 1)).toContain(
      'leave the program as it is',
    );
    const section = campaignSection(drawing, campaignOf(never, [{ name: 'harmonic', campaigns: never }]), 1);
    expect(section).toContain('None of 200 campaigns landed within 6 attempts');
    expect(section).toContain('never landed in 6');
  });
});
