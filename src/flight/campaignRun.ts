/**
 * One campaign, attempt after attempt: which occasion each is, what is built anew after it, and what the builder makes
 * of the miss it showed. Knows not how an attempt is flown: that is handed in.
 */
import type { Occasion } from '../sampling/campaignSampler.ts';
import type { CampaignPlan } from '../study/study.ts';
import { gainOf, type Policy } from './policy.ts';

export interface Course {
  readonly plan: CampaignPlan;
  /** Go on after a landing. */
  readonly flyAll: boolean;
  readonly policy: Policy;
  /** m: least and greatest shift of the lighting height that the rule's constant takes. */
  readonly low: number;
  readonly high: number;
}

/** What an attempt showed. */
export interface Shown {
  readonly landed: boolean;
  /** The airframe is built anew after it. */
  readonly broken: boolean;
  /** m; 0 for none, NaN where there was none to be seen. */
  readonly heightMiss: number;
}

export interface Flying {
  /** @param shift m, of the lighting height, as programmed for this attempt */
  fly(occasion: Occasion, shift: number): Shown;
  /** Error of what is read off after an attempt, as a standard normal deviate. */
  misreading(attempt: number): number;
  /** Told after each attempt. @param observed m, as the builder read it, from where it was meant to be */
  seen(attempt: number, observed: number): void;
}

/** @returns attempts flown */
export function runCampaign(course: Course, campaign: number, flying: Flying): number {
  const { plan, flyAll, policy, low, high } = course;
  let airframe = 1;
  let shift = 0;
  let misses = 0;
  for (let attempt = 1; attempt <= plan.attempts; attempt++) {
    const { landed, broken, heightMiss } = flying.fly(occasionOf(plan, campaign, attempt, airframe), shift);
    const observed = observedMiss(plan, heightMiss, () => flying.misreading(attempt));
    flying.seen(attempt, observed);
    if (landed && !flyAll) return attempt;
    if (broken) airframe++;
    if (Number.isNaN(observed) || heightMiss === 0) continue;
    misses++;
    shift = Math.min(high, Math.max(low, shift - gainOf(policy, misses) * observed));
  }
  return plan.attempts;
}

/** A touchdown at a good speed is no miss, whoever looks. */
function observedMiss({ observation }: CampaignPlan, heightMiss: number, misreading: () => number): number {
  if (Number.isNaN(heightMiss) || heightMiss === 0) return heightMiss;
  return heightMiss - observation.aim + (observation.error === 0 ? 0 : observation.error * misreading());
}

/** @param airframe which of the vehicle's it is: the one thing that depends on the attempts before */
export function occasionOf(plan: CampaignPlan, campaign: number, attempt: number, airframe: number): Occasion {
  const nth = (each: number): number => 1 + Math.floor((attempt - 1) / each);
  return { campaign, attempt, airframe, batch: nth(plan.motorsInBatch), day: nth(plan.flightsADay) };
}
