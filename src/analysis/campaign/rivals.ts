/**
 * Two ways of flying the same campaigns, on the same luck, held against each other pair by pair: odds by attempt,
 * attempts and cost to the first landing. Flies nothing, and does not know what the ways are.
 */
import { type PairCounts, pairedDifference } from '../../statistics/proportions/paired.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import { type Mean, meanInterval } from '../../statistics/samples/meanInterval.ts';
import type { CampaignPlan } from '../../study/study.ts';
import type { FlownCampaign } from './campaignCollector.ts';
import { type FirstLanding, firstLanding, LEVEL } from './firstLanding.ts';

export interface Rival {
  readonly name: string;
  /** Campaigns flown both ways. */
  readonly pairs: number;
  /** Of these, campaigns that took another number of attempts. */
  readonly differing: number;
  readonly landing: FirstLanding;
  /** Odds of a first landing by each attempt, less those of the base, pair by pair; each interval by itself. */
  readonly gains: readonly { readonly attempt: number; readonly difference: number; readonly interval: Interval }[];
  /** Mean attempts to the first landing, those without one counted with all their attempts. */
  readonly attempts: Mean;
  /** Attempts fewer than by the base; at the level that makes the intervals of all rivals hold together. */
  readonly saved: Mean;
  /** Cost less than by the base, likewise; null where no cost is given. */
  readonly costSaved: Mean | null;
  /** Whether it takes fewer attempts than the base, as far as that can be told. */
  readonly verdict: 'fewer' | 'more' | 'not told apart';
}

/** Pairs that must differ before a difference is believed: with fewer the interval of a mean is no guide. */
export const FEWEST_DIFFERING = 10;

/** @returns in that order; without those of which no two campaigns were flown both ways */
export function rivalsOf(
  base: readonly FlownCampaign[],
  rivals: readonly { readonly name: string; readonly campaigns: readonly FlownCampaign[] }[],
  plan: CampaignPlan,
): Rival[] {
  const level = 1 - (1 - LEVEL) / Math.max(1, rivals.length);
  const byNumber = new Map(base.map((one) => [one.number, one]));
  return rivals.flatMap(({ name, campaigns }) => {
    const pairs = campaigns.flatMap((rival) => {
      const one = byNumber.get(rival.number);
      return one === undefined ? [] : [{ base: one, rival }];
    });
    const landing = firstLanding(
      pairs.map(({ rival }) => rival.landed),
      plan.attempts,
    );
    if (pairs.length < 2 || landing === null) return [];
    const spared = pairs.map(({ base: one, rival }) => attemptsTaken(one) - attemptsTaken(rival));
    const saved = meanInterval(spared, level);
    const differing = spared.filter((difference) => difference !== 0).length;
    return [
      {
        name,
        pairs: pairs.length,
        differing,
        landing,
        gains: landing.curve.map(({ attempt }) => ({ attempt, ...gainBy(pairs, attempt) })),
        attempts: meanInterval(
          pairs.map(({ rival }) => attemptsTaken(rival)),
          LEVEL,
        ),
        saved,
        costSaved: costSaved(pairs, plan, level),
        verdict: verdictOf(saved, differing),
      },
    ];
  });
}

interface Pair {
  readonly base: FlownCampaign;
  readonly rival: FlownCampaign;
}

/** Up to the first landing, or all. */
export function attemptsTaken({ landed }: FlownCampaign): number {
  const first = landed.indexOf(true);
  return first < 0 ? landed.length : first + 1;
}

/** Up to the first landing, or of all; null where no cost is given. */
export function costOf(campaign: FlownCampaign, { costs }: CampaignPlan): number | null {
  return costs === null ? null : attemptsTaken(campaign) * costs.attempt + campaign.rebuilds * costs.rebuild;
}

function costSaved(pairs: readonly Pair[], plan: CampaignPlan, level: number): Mean | null {
  if (plan.costs === null) return null;
  return meanInterval(
    pairs.map(({ base, rival }) => (costOf(base, plan) ?? 0) - (costOf(rival, plan) ?? 0)),
    level,
  );
}

function gainBy(pairs: readonly Pair[], attempt: number): { readonly difference: number; readonly interval: Interval } {
  const counts = { both: 0, firstOnly: 0, secondOnly: 0, neither: 0 };
  const by = ({ landed }: FlownCampaign): boolean => {
    const first = landed.indexOf(true);
    return first >= 0 && first < attempt;
  };
  for (const { base, rival } of pairs) counts[cell(by(rival), by(base))]++;
  return pairedDifference(counts, LEVEL);
}

function cell(first: boolean, second: boolean): keyof PairCounts {
  if (first) return second ? 'both' : 'firstOnly';
  return second ? 'secondOnly' : 'neither';
}

function verdictOf({ interval }: Mean, differing: number): Rival['verdict'] {
  if (differing < FEWEST_DIFFERING) return 'not told apart';
  if (interval[0] > 0) return 'fewer';
  return interval[1] < 0 ? 'more' : 'not told apart';
}
