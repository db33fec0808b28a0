/** Campaigns over the fleet: the same bytes whatever threads and chunks, any attempt again bit for bit, luck that stays. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { tableFromIPC } from '@uwdata/flechette';
import { describe, expect, test } from 'vitest';
import { campaignStudy } from '../../../src/analysis/campaign/campaignStudy.ts';
import { traceFlight } from '../../../src/analysis/fly/traceFlight.ts';
import { readAnswers } from '../../../src/analysis/read/readAnswers.ts';
import { OUTPUTS } from '../../../src/flight/outputs.ts';
import { CATALOGUE } from '../../../src/inputs/catalogue.ts';
import { varyingInputs } from '../../../src/inputs/varying.ts';
import { type OpenedStudy, openStudy } from '../../../src/study/load.ts';
import { resolvedYaml } from '../../../src/study/resolved.ts';
import type { Study } from '../../../src/study/study.ts';
import { demoStudy } from '../../helpers/studyForTests.ts';
import { scratch } from '../../results/setUp.ts';

const root = scratch();
const opened = (study: Study): OpenedStudy => ({ study, warnings: [], foretold: [], text: resolvedYaml(study) });

describe('the demo’s campaigns', async () => {
  const demo = await openStudy('studies/thistledown.yaml', { set: ['campaign.attempts=6'] });
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

test('with all that varies staying with the airframe, no noise and no rebuild, a vehicle flies the same flight for ever', async () => {
  const { inputs, sensors, computer, site, campaign: plan } = demoStudy();
  const study = demoStudy({
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

test('with every input fresh the curve is the naive one, but for noise', async () => {
  const study = demoStudy({ campaign: { ...demoStudy().campaign, attempts: 4 } });
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
  const study = demoStudy({ seed: 'faulty', substeps: 1.5 });
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
  const { campaign, folder } = await campaignStudy(opened(demoStudy()), {
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
