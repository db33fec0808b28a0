/**
 * Flies whole campaigns: attempt after attempt of one vehicle, the airframe built anew after a crash, until the first
 * landing or the last attempt. Knows no pool, no file and no statistics.
 */
import { CATALOGUE } from '../inputs/catalogue.ts';
import { makeCampaignSampler, type Occasion } from '../sampling/campaignSampler.ts';
import type { CampaignPlan, Study } from '../study/study.ts';
import { makeKit, ROW_LENGTH, type Variation } from './flightMaker.ts';
import type { Kernel } from './kernel/kernel.ts';
import { OUTCOMES, outputIndex } from './outputs.ts';

/** How campaigns differ from the study as written. Plain data; sent to workers. */
export interface CampaignVariation extends Pick<Variation, 'rule' | 'constants'> {
  /** Every attempt is flown, also after a landing. */
  readonly flyAll: boolean;
}

/** What stands in a row before a flight's own numbers. */
export const OCCASION_KEYS = ['attempt', 'airframe', 'batch', 'day'] as const;
export const CAMPAIGN_ROW_LENGTH = OCCASION_KEYS.length + ROW_LENGTH;

const INPUTS = OCCASION_KEYS.length;
const OUTCOME = INPUTS + CATALOGUE.length + outputIndex('outcome');
const SINK = INPUTS + CATALOGUE.length + outputIndex('sink');
const LANDED = OUTCOMES.indexOf('landed');
const TIPPED_OVER = OUTCOMES.indexOf('tipped over');

export interface CampaignKit {
  /**
   * Flies campaign number `campaign` (1, 2, ...).
   * @param rows room for the study's attempts, {@link CAMPAIGN_ROW_LENGTH} numbers each   @returns attempts flown
   * @throws Error that names campaign, attempt and seed when the kernel cannot go on (our fault)
   */
  fly(campaign: number, rows: Float64Array): number;
}

/** @param kernel flown with, as in flightMaker.ts */
export function makeCampaignKit(study: Study, variation: CampaignVariation, kernel: Kernel): CampaignKit {
  const { rule, constants, flyAll } = variation;
  const plan = { kind: 'study', flights: study.flights } as const;
  const kit = makeKit(study, constants === undefined ? { rule, plan } : { rule, constants, plan }, kernel);
  const sampler = makeCampaignSampler(study);
  const inputs = new Float64Array(CATALOGUE.length);
  return {
    fly: (campaign, rows) => {
      let airframe = 1;
      for (let attempt = 1; attempt <= study.campaign.attempts; attempt++) {
        const occasion = occasionOf(study.campaign, campaign, attempt, airframe);
        const row = rows.subarray((attempt - 1) * CAMPAIGN_ROW_LENGTH, attempt * CAMPAIGN_ROW_LENGTH);
        putOccasion(row, occasion);
        sampler.draw(occasion, inputs);
        try {
          kit.flyInputs(inputs, sampler.noiseKey(campaign, attempt), row.subarray(INPUTS));
        } catch (cause) {
          const why = cause instanceof Error ? cause.message : String(cause);
          throw new Error(`the kernel stopped in attempt ${attempt} of campaign ${campaign} of seed ${study.seed}: ${why}`, { cause });
        }
        if (row[OUTCOME] === LANDED && !flyAll) return attempt;
        if (needsRebuild(study.campaign, row[OUTCOME], row[SINK])) airframe++;
      }
      return study.campaign.attempts;
    },
  };
}

/** @param airframe which of the vehicle's it is: the one thing that depends on the attempts before */
export function occasionOf(plan: CampaignPlan, campaign: number, attempt: number, airframe: number): Occasion {
  const nth = (each: number): number => 1 + Math.floor((attempt - 1) / each);
  return { campaign, attempt, airframe, batch: nth(plan.motorsInBatch), day: nth(plan.flightsADay) };
}

function putOccasion(row: Float64Array, occasion: Occasion): void {
  for (let i = 0; i < OCCASION_KEYS.length; i++) row[i] = occasion[OCCASION_KEYS[i]];
}

/**
 * Whether the airframe is built anew after an attempt. A flight without a touchdown in its record breaks nothing: nobody
 * knows.
 * @param outcome,sink of the attempt's record
 */
export function needsRebuild({ rebuild }: CampaignPlan, outcome: number, sink: number): boolean {
  if (rebuild.tippedOver && outcome === TIPPED_OVER) return true;
  return rebuild.sink !== null && sink > rebuild.sink;
}
