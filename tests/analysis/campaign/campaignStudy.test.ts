/** Campaigns over the fleet: the same bytes whatever threads and chunks, any attempt again bit for bit, luck that stays. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { tableFromIPC } from '@uwdata/flechette';
import { describe, expect, test } from 'vitest';
import { campaignStudy } from '../../../src/analysis/campaign/campaignStudy.ts';
import { traceFlight } from '../../../src/analysis/fly/traceFlight.ts';
import { readAnswers } from '../../../src/analysis/read/readAnswers.ts';
import { readOnePolicy, readPolicies } from '../../../src/analysis/shift/correction.ts';
import { OUTPUTS } from '../../../src/flight/outputs.ts';
import { CATALOGUE } from '../../../src/inputs/catalogue.ts';
import type { Shares } from '../../../src/inputs/stays.ts';
import { varyingInputs } from '../../../src/inputs/varying.ts';
import { type OpenedStudy, openStudy } from '../../../src/study/load.ts';
import { resolvedYaml } from '../../../src/study/resolved.ts';
import type { Study } from '../../../src/study/study.ts';
import { coarseStudy } from '../../helpers/studyForTests.ts';
import { scratch } from '../../results/setUp.ts';

const root = scratch();
const opened = (study: Study): OpenedStudy => ({ study, warnings: [], foretold: [], text: resolvedYaml(study) });

describe('the demo’s campaigns', async () => {
  const demo = await openStudy('studies/thistledown.yaml', { set: ['computer.rate=25 Hz', 'campaign.attempts=6'] });
  const { campaign } = await campaignStudy(demo, { campaigns: 40, threads: 1, chunk: 40, out: join(root, 'one') });
  await campaignStudy(demo, { campaigns: 40, threads: 2, chunk: 3, out: join(root, 'two') });
  const table = tableFromIPC(readFileSync(join(root, 'one', 'campaign.arrow')));
  const column = (key: string): unknown[] => [...(table.getChild(key) ?? [])];

  test.each(['campaign.json', 'campaign.arrow', 'study.yaml'])('%s has the same bytes whatever threads and chunks', (name) => {
    expect(readFileSync(join(root, 'one', name)).equals(readFileSync(join(root, 'two', name)))).toBe(true);
  });

  test('each ends at its first landing or its last attempt, and the table says which day and purchase it was', () => {
    const [whose, attempts, outcomes] = ['campaign', 'attempt', 'outcome'].map(column);
    expect(table.numRows).toBe(campaign.attempts);
    for (let i = 0; i < table.numRows; i++) {
      const last = whose[i + 1] !== whose[i];
      expect(last).toBe(outcomes[i] === 'landed' || attempts[i] === 6);
      expect(column('day')[i]).toBe(1 + Math.floor((Number(attempts[i]) - 1) / 3));
    }
    expect(new Set(whose).size).toBe(40);
    const landed = outcomes.filter((outcome) => outcome === 'landed').length;
    expect(campaign.firstLanding?.curve[5].landed).toBe(landed);
    // What breaks it is a fast touchdown or tipping over, and only that.
    for (let i = 1; i < table.numRows; i++) {
      if (whose[i] !== whose[i - 1]) continue;
      const broken = Number(column('sink')[i - 1] ?? 0) > 8 || outcomes[i - 1] === 'tipped over';
      expect(Number(column('airframe')[i]) - Number(column('airframe')[i - 1])).toBe(broken ? 1 : 0);
    }
  });

  test('any attempt is flown again bit for bit', () => {
    const rows = [0, column('attempt').indexOf(4), column('airframe').indexOf(3), table.numRows - 1];
    for (const row of rows) {
      const [number, attempt] = ['campaign', 'attempt'].map((key) => Number(column(key)[row]));
      const { inputs, outputs } = traceFlight(demo.study, { campaign: number, attempt });
      for (const key of varyingInputs(demo.study).map((c) => CATALOGUE[c].key))
        expect([key, Number(inputs[key])]).toEqual([key, column(key)[row]]);
      for (const { key, type } of OUTPUTS) {
        const value = type === 'yesNo' ? Number(outputs[key]) : outputs[key];
        expect([key, value]).toEqual([key, column(key)[row]]);
      }
    }
    expect(() => traceFlight(demo.study, { campaign: 1, attempt: 7 })).toThrow(/a campaign has attempts 1 to 6/);
  });

  test('the answers are read back as they were', () => {
    expect(readAnswers(join(root, 'one')).campaign).toEqual(campaign);
  });
});

describe('policies, what is held, and costs', async () => {
  const demo = await openStudy('studies/thistledown.yaml', {
    set: ['computer.rate=25 Hz', 'campaign.attempts=5', 'campaign.costs={ currency: EUR, attempt: 30, rebuild: 50 }'],
  });
  const asked = readPolicies('correct:0.5,weighted');
  const options = { campaigns: 60, policies: asked, hold: true };
  const { campaign } = await campaignStudy(demo, { ...options, threads: 1, chunk: 60, out: join(root, 'ways-one') });
  await campaignStudy(demo, { ...options, threads: 2, chunk: 7, out: join(root, 'ways-two') });
  const table = tableFromIPC(readFileSync(join(root, 'ways-one', 'campaign.arrow')));
  const column = (key: string): unknown[] => [...(table.getChild(key) ?? [])];
  const policies = [...new Set(column('policy'))].map(String);

  test.each(['campaign.json', 'campaign.arrow'])('%s has the same bytes whatever threads and chunks', (name) => {
    expect(readFileSync(join(root, 'ways-one', name)).equals(readFileSync(join(root, 'ways-two', name)))).toBe(true);
  });

  test('first attempts are the same by every policy, and the others move the height against what was seen', () => {
    expect(policies).toEqual(['keep', 'correct:0.5', expect.stringMatching(/^weighted:[\d.]+$/)]);
    const [whose, attempts, seen, heights, by] = ['campaign', 'attempt', 'observedMiss', 'constant.height', 'policy'].map(column);
    const firsts = policies.map((policy) => column('outcome').filter((_, i) => by[i] === policy && attempts[i] === 1));
    expect(firsts[1]).toEqual(firsts[0]);
    let corrected = 0;
    for (let i = 0; i < table.numRows; i++) {
      if (attempts[i] === 1 || by[i] === 'keep') expect(heights[i]).toBe(7);
      if (by[i] !== 'correct:0.5' || whose[i + 1] !== whose[i] || by[i + 1] !== by[i]) continue;
      expect(Number(heights[i + 1])).toBeCloseTo(Number(heights[i]) - 0.5 * Number(seen[i] ?? 0), 12);
      if (Number(seen[i] ?? 0) !== 0) corrected++;
    }
    expect(corrected).toBeGreaterThan(20);
  });

  test('what is read off misses by the study’s error, from where the descent is meant to be slowest', () => {
    const errors = column('heightMiss').flatMap((miss, i) =>
      miss === null || miss === 0 ? [] : [Number(column('observedMiss')[i]) - (Number(miss) - demo.study.campaign.observation.aim)],
    );
    const squares = errors.reduce((sum, error) => sum + error * error, 0) / errors.length;
    expect(demo.study.campaign.observation).toEqual({ error: 0.3, aim: 1.5 });
    // A normal's mean square, within four of its standard errors; the same attempt misreads alike by every policy.
    expect(Math.abs(squares / 0.09 - 1)).toBeLessThan(4 * Math.sqrt((2 * policies.length) / errors.length));
    for (const [i, miss] of column('heightMiss').entries()) if (miss === 0) expect(column('observedMiss')[i]).toBe(0);
  });

  test('any attempt by any policy is flown again bit for bit', () => {
    const [by, attempts] = ['policy', 'attempt'].map(column);
    for (const policy of policies) {
      const row = by.findIndex((name, i) => name === policy && Number(attempts[i]) === 4);
      const which = { campaign: Number(column('campaign')[row]), attempt: 4, policy: readOnePolicy(policy) };
      const { outputs } = traceFlight(demo.study, which);
      for (const { key, type } of OUTPUTS) {
        const value = type === 'yesNo' ? Number(outputs[key]) : outputs[key];
        expect([policy, key, value]).toEqual([policy, key, column(key)[row]]);
      }
    }
  });

  test('the answers compare campaign by campaign, and are read back as they were', () => {
    expect(campaign.policies?.rivals.map(({ name, pairs }) => [name, pairs])).toEqual(policies.slice(1).map((name) => [name, 60]));
    expect(campaign.holds?.held.every(({ pairs }) => pairs === 60)).toBe(true);
    expect(campaign.holds?.centreless).toEqual(['rail.azimuth', 'wind.direction']);
    expect(campaign.costs?.currency).toBe('EUR');
    expect(readAnswers(join(root, 'ways-one')).campaign).toEqual(campaign);
  });

  test('a policy is refused before anything is flown where the attempts are too many', async () => {
    await expect(campaignStudy(demo, { campaigns: 40_000, policies: asked, threads: 1 })).rejects.toThrow(
      '40000 campaigns of at most 5 attempts by 3 policies: expected at most 400000 attempts in all',
    );
  });
});

test('with all that varies staying with the airframe, no noise and no rebuild, a vehicle flies the same flight for ever', async () => {
  const { inputs, sensors, computer, site, campaign: plan } = coarseStudy();
  const study = coarseStudy({
    stays: Object.fromEntries(Object.keys(inputs).map((key) => [key, { airframe: 1 }])),
    sensors: { ...sensors, accelerometer: { ...sensors.accelerometer, noise: 0 }, gyro: { ...sensors.gyro, noise: 0 } },
    computer: { ...computer, stallRate: 0 },
    site: { ...site, gustScale: 0 },
    campaign: { ...plan, attempts: 3, rebuild: { sink: null, tippedOver: false } },
  });
  const { campaign } = await campaignStudy(opened(study), { campaigns: 30, threads: 1, flyAll: true });
  const curve = campaign.firstLanding?.curve ?? [];
  expect(curve.map(({ landed }) => landed)).toEqual(new Array(3).fill(curve[0].landed));
  expect(campaign.vehicles?.byVariance?.value).toBe(1);
  expect(campaign.attempts).toBe(90);
});

describe('the levels apart', async () => {
  const share = async (shares: Shares): Promise<readonly (number | undefined)[]> => {
    const { inputs, sensors, computer, site } = coarseStudy();
    const study = coarseStudy({
      stays: Object.fromEntries(Object.keys(inputs).map((key) => [key, shares])),
      sensors: { ...sensors, accelerometer: { ...sensors.accelerometer, noise: 0 }, gyro: { ...sensors.gyro, noise: 0 } },
      computer: { ...computer, stallRate: 0 },
      site: { ...site, gustScale: 0 },
    });
    const { campaign } = await campaignStudy(opened(study), { campaigns: 60, threads: 2, levels: true });
    const { vehicle, sameDay, sameBatch } = campaign.levels ?? { vehicle: null, sameDay: null, sameBatch: null };
    return [vehicle?.byVariance?.value, sameDay?.value, sameBatch?.value];
  };
  const day = await share({ day: 1 });
  const batch = await share({ batch: 1 });

  // Two flights that share nothing are correlated by chance alone: among 60 groups of four within 4/sqrt(6 * 60).
  const none = 4 / Math.sqrt(360);

  test('what stays for a day is shared on one day only, and what a purchase brings in one purchase only', () => {
    expect(day[1]).toBe(1);
    expect(batch[2]).toBe(1);
    for (const value of [day[0], day[2], batch[0], batch[1]]) expect(Math.abs(value ?? 1)).toBeLessThan(none);
  });

  test('what stays with the airframe is shared in every way, since no crash ends it', async () => {
    expect(await share({ airframe: 1 })).toEqual([1, 1, 1]);
  });
});

test('with every input fresh the curve is the naive one, but for noise', async () => {
  const study = coarseStudy({ campaign: { ...coarseStudy().campaign, attempts: 4 } }, 25);
  const { campaign } = await campaignStudy(opened(study), { campaigns: 150, threads: 2 });
  expect(campaign.staying).toBe(0);
  // Both ends of 95 % intervals of a share and of its naive forecast; the seed is fixed, and none of four parts here.
  for (const { interval, naiveInterval } of campaign.firstLanding?.curve ?? []) {
    expect(interval[0] <= naiveInterval[1] && naiveInterval[0] <= interval[1]).toBe(true);
  }
  expect(campaign.finding).not.toContain('fresh luck');
});

test('a campaign whose worker fails is lost by its number, kept as one attempt without a result, and in no answer', async () => {
  // No study that was read has half a sub-step: the kernel's parameters refuse it.
  const study = coarseStudy({ seed: 'faulty', substeps: 1.5 });
  const { campaign } = await campaignStudy(opened(study), { campaigns: 2, threads: 1, out: join(root, 'lost') });
  expect(campaign.lost.map(({ flight }) => flight)).toEqual([1, 2]);
  expect(campaign.lost[0].reason).toContain('the kernel stopped in attempt 1 of campaign 1 of seed faulty');
  expect([campaign.firstLanding, campaign.attempts, campaign.noResult]).toEqual([null, 0, 0]);
  expect(campaign.finding).toBe('No campaign was flown to its end, so nothing can be said.');
  const table = tableFromIPC(readFileSync(join(root, 'lost', 'campaign.arrow')));
  expect([...(table.getChild('noResultReason') ?? [])]).toEqual(['worker failed', 'worker failed']);
});

test('an interrupted run keeps whole campaigns', async () => {
  const stop = new AbortController();
  const { campaign, folder } = await campaignStudy(opened(coarseStudy({}, 25)), {
    campaigns: 400,
    threads: 1,
    chunk: 4,
    out: join(root, 'stopped'),
    stopSignal: stop.signal,
    onProgress: ({ done }) => {
      if (done >= 8) stop.abort();
    },
  });
  expect(campaign.stoppedBy).toBe('interrupted');
  const flown = campaign.firstLanding?.campaigns ?? 0;
  expect(flown).toBeGreaterThanOrEqual(8);
  expect(flown).toBeLessThan(400);
  expect(readAnswers(folder ?? '').campaign).toEqual(campaign);
});

test('interrupted among the policies, what was flown both ways is compared, and the rest is left out', async () => {
  const stop = new AbortController();
  const { campaign } = await campaignStudy(opened(coarseStudy({}, 25)), {
    campaigns: 60,
    threads: 1,
    chunk: 4,
    policies: readPolicies('correct:0.5,harmonic'),
    hold: true,
    stopSignal: stop.signal,
    onProgress: ({ done }) => {
      if (done >= 90) stop.abort();
    },
  });
  expect(campaign.stoppedBy).toBe('interrupted');
  expect(campaign.firstLanding?.campaigns).toBe(60);
  expect(campaign.policies?.rivals.map(({ name }) => name)).toEqual(['correct:0.5']);
  const pairs = campaign.policies?.rivals[0].pairs ?? 0;
  expect(pairs).toBeGreaterThanOrEqual(28);
  expect(pairs).toBeLessThan(60);
  expect(campaign.holds).toBeNull();
});
