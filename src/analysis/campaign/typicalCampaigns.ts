/** A few campaigns to look at, chosen by a stated rule: those that land when half, 80 and 95 % of all have. Flies nothing. */
import { KEEP, policyName } from '../../flight/policy.ts';
import type { FlownCampaign } from './campaignCollector.ts';
import type { FirstLanding } from './firstLanding.ts';
import { attemptsTaken } from './rivals.ts';

export interface TypicalCampaign {
  /** Its number: the lowest of those that land first at that attempt, or never where so many do not. */
  readonly campaign: number;
  /** Share of all campaigns that have landed when it does. */
  readonly odds: number;
  /** With the program left as it is, and by the best policy where that is another. */
  readonly ways: readonly {
    readonly policy: string;
    /** Up to the first landing; the miss in m as the builder read it, null where there was none to be seen. */
    readonly attempts: readonly { readonly miss: number | null; readonly landed: boolean }[];
  }[];
}

export interface Way {
  readonly policy: string;
  readonly campaigns: readonly FlownCampaign[];
}

/** @param base campaigns with the program left as it is   @param best those by the best policy; null for the same */
export function typicalCampaigns(base: readonly FlownCampaign[], odds: FirstLanding, best: Way | null): TypicalCampaign[] {
  const found = new Map<number, TypicalCampaign>();
  for (const needed of odds.needed) {
    const chosen = base.find((one) =>
      needed.attempts === null ? !one.landed.includes(true) : one.landed.includes(true) && attemptsTaken(one) === needed.attempts,
    );
    if (chosen === undefined || found.has(chosen.number)) continue;
    const other = best?.campaigns.find(({ number }) => number === chosen.number);
    found.set(chosen.number, {
      campaign: chosen.number,
      odds: needed.odds,
      ways: [
        { policy: policyName(KEEP), attempts: attemptsOf(chosen) },
        ...(best === null || other === undefined ? [] : [{ policy: best.policy, attempts: attemptsOf(other) }]),
      ],
    });
  }
  return [...found.values()];
}

function attemptsOf(campaign: FlownCampaign): TypicalCampaign['ways'][number]['attempts'] {
  return campaign.landed
    .slice(0, attemptsTaken(campaign))
    .map((landed, i) => ({ miss: Number.isNaN(campaign.observed[i]) ? null : campaign.observed[i], landed }));
}
