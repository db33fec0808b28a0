/**
 * A vehicle put in place of the flight: its miss is what stands with it, plus what each attempt brings, plus how far
 * its lighting height was shifted. The campaign's course is the real one.
 */
import { type Course, runCampaign } from '../../src/flight/campaignRun.ts';
import type { Policy } from '../../src/flight/policy.ts';
import type { CampaignPlan } from '../../src/study/study.ts';

const PLAN: CampaignPlan = {
  attempts: 1,
  flightsADay: 1,
  motorsInBatch: 1,
  rebuild: { sink: null, tippedOver: false },
  observation: { error: 0, aim: 0 },
  costs: null,
};

export interface Synthetic {
  /** Each attempt's miss, and the shift it was flown with. */
  readonly misses: number[];
  readonly shifts: number[];
}

/**
 * @param fresh of each attempt, as many as are flown   @param limit lands where its miss is within; never, if left out
 * @param changes to the course; corrections are without bound unless it says so
 */
export function flySynthetic(
  policy: Policy,
  standing: number,
  fresh: readonly number[],
  { limit = -1, ...changes }: Partial<Omit<Course, 'policy' | 'plan'>> & { readonly limit?: number } = {},
): Synthetic {
  const flown: Synthetic = { misses: [], shifts: [] };
  const course: Course = { plan: { ...PLAN, attempts: fresh.length }, flyAll: false, policy, low: -1e9, high: 1e9, ...changes };
  runCampaign(course, 1, {
    fly: ({ attempt }, shift) => {
      const heightMiss = standing + fresh[attempt - 1] + shift;
      flown.misses.push(heightMiss);
      flown.shifts.push(shift);
      return { landed: Math.abs(heightMiss) <= limit, broken: false, heightMiss };
    },
    misreading: () => 0,
    seen: () => undefined,
  });
  return flown;
}
