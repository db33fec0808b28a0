/** What a first landing costs, by what the study says that an attempt and a rebuild do. Counts; fits nothing. */
import type { Interval } from '../../statistics/samples/interval.ts';
import { type Mean, meanInterval } from '../../statistics/samples/meanInterval.ts';
import { quantileInterval, sorted } from '../../statistics/samples/quantiles.ts';
import type { CampaignPlan } from '../../study/study.ts';
import type { FlownCampaign } from './campaignCollector.ts';
import { LEVEL, ODDS } from './firstLanding.ts';
import { costOf } from './rivals.ts';

export interface Costs {
  readonly currency: string;
  /** Of a campaign, to its first landing or its last attempt; its interval is for tens of campaigns or more. */
  readonly mean: Mean;
  /** Rebuilds in each, on the mean. */
  readonly rebuilds: number;
  /** For what a share of the campaigns has landed; null: more than any took, or too few to give an end. */
  readonly needed: readonly {
    readonly odds: number;
    readonly cost: number | null;
    readonly least: number | null;
    readonly most: number | null;
  }[];
}

/** Stands for a campaign that never landed: no cost is enough. */
const NEVER = Number.MAX_VALUE;

/** @returns null where no cost is given, or campaigns are fewer than two */
export function costsOf(campaigns: readonly FlownCampaign[], plan: CampaignPlan): Costs | null {
  if (plan.costs === null || campaigns.length < 2) return null;
  const costs = campaigns.map((campaign) => costOf(campaign, plan) ?? 0);
  const toLand = sorted(campaigns.map(({ landed }, i) => (landed.includes(true) ? costs[i] : NEVER)));
  const finite = (cost: number | undefined): number | null => (cost === undefined || cost === NEVER ? null : cost);
  return {
    currency: plan.costs.currency,
    mean: meanInterval(costs, LEVEL),
    rebuilds: campaigns.reduce((sum, { rebuilds }) => sum + rebuilds, 0) / campaigns.length,
    needed: ODDS.map((odds) => {
      const ends: Interval | null = quantileInterval(toLand, odds, LEVEL);
      // The least cost by which so many have landed: a value of the sample, not one between two.
      const cost = toLand[Math.ceil(odds * toLand.length) - 1];
      return { odds, cost: finite(cost), least: finite(ends?.[0]), most: finite(ends?.[1]) };
    }),
  };
}
