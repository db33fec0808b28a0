/** What fixes buy for a first landing by an attempt: the campaigns that `alight campaign` flies, pair by pair. */
import { expect, test } from 'vitest';
import { campaignStudy } from '../../../src/analysis/campaign/campaignStudy.ts';
import { rankFixes } from '../../../src/analysis/rank/rankFixes.ts';
import { openStudy } from '../../../src/study/load.ts';

const demo = await openStudy('studies/thistledown.yaml', { set: ['computer.rate=25 Hz', 'campaign.attempts=3'] });

test('a fix is tried on the luck of the campaigns without it, and what changes nothing gains nothing', async () => {
  const fixes = ['accelerometer=perfect', 'timing.stallRate=0.15 1/s', 'landing.igniterFails=1'];
  const { ranking } = await rankFixes(demo, { flights: 90, threads: 2, fixes, campaign: 3 });
  const { campaign } = await campaignStudy(demo, { campaigns: 30, threads: 2 });
  expect(ranking.campaign).toMatchObject({ attempts: 3, campaigns: 30, landed: campaign.firstLanding?.curve[2].landed });
  const rows = new Map(ranking.campaign?.rows.map((row) => [row.name, row]));
  // The study's own rate of stalls, held where it is.
  expect(rows.get('timing.stallRate=0.15 1/s')).toMatchObject({ gain: 0, pairs: 30 });
  const better = rows.get('accelerometer=perfect');
  expect(better?.pairs).toBe(30);
  expect(better?.gain).toBeCloseTo((better?.share ?? 0) - (ranking.campaign?.share ?? 0), 12);
  // Igniters that always fail lose every campaign.
  expect(rows.get('landing.igniterFails=1')).toMatchObject({ share: 0, gain: -(ranking.campaign?.share ?? 0) });
});

test('groups are tried where no fix is named, and nothing without being asked', async () => {
  const { ranking } = await rankFixes(demo, { flights: 6, threads: 2, campaign: 2 });
  expect(new Set(ranking.campaign?.rows.map(({ name }) => name))).toEqual(new Set(ranking.groups.map(({ name }) => name)));
  expect((await rankFixes(demo, { flights: 6, threads: 2, fixes: ['gusts=off'] })).ranking.campaign).toBeNull();
});
