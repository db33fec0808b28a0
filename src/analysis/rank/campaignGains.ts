/**
 * What a fix buys for the odds of a first landing by an attempt: campaigns of one vehicle each, flown again on the same
 * luck with the fix in place. One flight of a vehicle nobody knows is rankFixes.ts; what only measuring buys, of the
 * part that stays, is campaign/holds.ts.
 */
import type { Session } from '../../fleet/session.ts';
import { campaignsOf } from '../../fleet/work.ts';
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import { pairedDifference } from '../../statistics/proportions/paired.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import { CampaignCollector } from '../campaign/campaignCollector.ts';
import { LEVEL } from '../fly/summary.ts';
import type { StudyOf } from './fixedStudies.ts';
import type { Fix } from './fixes.ts';

export interface CampaignGains {
  readonly attempts: number;
  /** As it is. */
  readonly campaigns: number;
  readonly landed: number;
  readonly share: number;
  readonly interval: Interval;
  /** Most gained first. */
  readonly rows: readonly CampaignGain[];
}

export interface CampaignGain {
  readonly name: string;
  /** Campaigns flown both ways. */
  readonly pairs: number;
  /** That landed by the attempt, with the fix. */
  readonly share: number;
  /** With minus without; the intervals of all rows hold together at LEVEL (Bonferroni). */
  readonly gain: number;
  readonly interval: Interval;
}

interface Flying {
  readonly session: Session;
  readonly studyOf: StudyOf;
  readonly rule: string;
}

/** @param attempts at most in a campaign   @returns null when interrupted, or where nothing was flown */
export async function flyCampaignGains(
  { session, studyOf, rule }: Flying,
  fixes: readonly Fix[],
  attempts: number,
  campaigns: number,
): Promise<CampaignGains | null> {
  session.announce(campaigns * (1 + fixes.length));
  const base = await landedBy(null);
  if (base === null || base.size === 0) return null;
  const found: { readonly name: string; readonly landed: ReadonlyMap<number, boolean> }[] = [];
  for (const fix of fixes) {
    const landed = await landedBy(fix);
    if (landed === null) return null;
    found.push({ name: fix.name, landed });
  }
  const level = 1 - (1 - LEVEL) / Math.max(1, fixes.length);
  const landed = [...base.values()].filter((one) => one).length;
  return {
    attempts,
    campaigns: base.size,
    landed,
    share: landed / base.size,
    interval: clopperPearson(landed, base.size, LEVEL),
    rows: found.flatMap(({ name, landed: withIt }) => gainOf(name, withIt, base, level)).sort((a, b) => b.gain - a.gain),
  };

  /** Whether each campaign, by its number, has landed by the last attempt. */
  async function landedBy(fix: Fix | null): Promise<ReadonlyMap<number, boolean> | null> {
    const study = studyOf(fix);
    const own = { ...study, campaign: { ...study.campaign, attempts } };
    const changes = fix === null ? {} : { changes: { pins: fix.pins, spread: fix.spread } };
    const collector = new CampaignCollector(false);
    const work = campaignsOf(own, { rule, flyAll: false, ...changes }, fix === null ? 'campaigns as they are' : `campaigns, ${fix.name}`);
    const report = await session.fly(work, { count: campaigns, onBatch: (batch) => collector.add(batch) });
    if (report.stoppedBy === 'interrupted') return null;
    return new Map(collector.campaigns.map((one) => [one.number, one.landed.includes(true)]));
  }
}

function gainOf(name: string, withIt: ReadonlyMap<number, boolean>, base: ReadonlyMap<number, boolean>, level: number): CampaignGain[] {
  const counts = { both: 0, firstOnly: 0, secondOnly: 0, neither: 0 };
  for (const [number, landed] of withIt) {
    const before = base.get(number);
    if (before === undefined) continue;
    if (landed) counts[before ? 'both' : 'firstOnly']++;
    else counts[before ? 'secondOnly' : 'neither']++;
  }
  const pairs = counts.both + counts.firstOnly + counts.secondOnly + counts.neither;
  if (pairs === 0) return [];
  const { difference, interval } = pairedDifference(counts, level);
  return [{ name, pairs, share: (counts.both + counts.firstOnly) / pairs, gain: difference, interval }];
}
