/**
 * Flies whole campaigns: attempt after attempt of one vehicle, the airframe built anew after a crash and the program
 * changed after a miss, until the first landing or the last attempt. Knows no pool, no file and no statistics.
 */
import { CATALOGUE, type InputKey } from '../inputs/catalogue.ts';
import { makeCampaignSampler } from '../sampling/campaignSampler.ts';
import type { Changes } from '../sampling/inputValues.ts';
import type { CampaignPlan, Study } from '../study/study.ts';
import { type Course, type Flying, runCampaign } from './campaignRun.ts';
import { chosenRule, makeKit, ROW_LENGTH, type Variation } from './flightMaker.ts';
import type { Kernel } from './kernel/kernel.ts';
import { OUTCOMES, outputIndex } from './outputs.ts';
import { KEEP, type Policy } from './policy.ts';

/** The constant that shifts the rule's lighting height by as much, and how far its bounds let it, m. */
export interface HeightConstant {
  readonly key: string;
  readonly low: number;
  readonly high: number;
}

/** What is done after a miss; it takes a constant to be moved. */
export interface Correction {
  readonly policy: Policy;
  readonly constant: HeightConstant;
}

/** How campaigns differ from the study as written. Plain data; sent to workers. */
export interface CampaignVariation extends Pick<Variation, 'rule' | 'constants'> {
  /** Every attempt is flown, also after a landing. */
  readonly flyAll: boolean;
  /** Absent: the program stays as it is. */
  readonly correction?: Correction;
  /** Inputs whose part that stays is held at its centre, on the same luck. */
  readonly held?: readonly InputKey[];
  /** Inputs held or made to vary less, on the same luck. */
  readonly changes?: Changes;
}

/** What stands in a row before a flight's own numbers. */
export const OCCASION_KEYS = ['attempt', 'airframe', 'batch', 'day'] as const;
/** m: lighting height programmed beyond the study's, and the miss as the builder read it. */
export const SHIFT = OCCASION_KEYS.length;
export const OBSERVED = SHIFT + 1;
/** Place of the flight's own row. */
export const FLIGHT = OBSERVED + 1;
export const CAMPAIGN_ROW_LENGTH = FLIGHT + ROW_LENGTH;

const OUTPUT = FLIGHT + CATALOGUE.length;
const OUTCOME = OUTPUT + outputIndex('outcome');
const SINK = OUTPUT + outputIndex('sink');
const MISS = OUTPUT + outputIndex('heightMiss');
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
  const { rule, constants, held, changes } = variation;
  const plan = { kind: 'study', flights: study.flights } as const;
  const kit = makeKit(study, constants === undefined ? { rule, plan } : { rule, constants, plan }, kernel);
  const sampler = makeCampaignSampler(study, held, changes);
  const inputs = new Float64Array(CATALOGUE.length);
  const course = courseOf(study, variation);
  const program = programOf(study, variation);
  let programmed = 0;
  return {
    fly: (campaign, rows) => {
      const rowOf = (attempt: number): Float64Array => rows.subarray((attempt - 1) * CAMPAIGN_ROW_LENGTH, attempt * CAMPAIGN_ROW_LENGTH);
      const flying: Flying = {
        fly: (occasion, shift) => {
          const row = rowOf(occasion.attempt);
          for (let i = 0; i < OCCASION_KEYS.length; i++) row[i] = occasion[OCCASION_KEYS[i]];
          row[SHIFT] = shift;
          sampler.draw(occasion, inputs);
          if (shift !== programmed) kit.program(program(shift));
          programmed = shift;
          try {
            kit.flyInputs(inputs, sampler.noiseKey(campaign, occasion.attempt), row.subarray(FLIGHT));
          } catch (cause) {
            const why = cause instanceof Error ? cause.message : String(cause);
            throw new Error(`the kernel stopped in attempt ${occasion.attempt} of campaign ${campaign} of seed ${study.seed}: ${why}`, {
              cause,
            });
          }
          return {
            landed: row[OUTCOME] === LANDED,
            broken: needsRebuild(study.campaign, row[OUTCOME], row[SINK]),
            heightMiss: row[MISS],
          };
        },
        misreading: (attempt) => sampler.misreading(campaign, attempt),
        seen: (attempt, observed) => {
          rowOf(attempt)[OBSERVED] = observed;
        },
      };
      return runCampaign(course, campaign, flying);
    },
  };
}

export function courseOf(study: Study, { flyAll, correction }: Pick<CampaignVariation, 'flyAll' | 'correction'>): Course {
  const { low, high } = correction?.constant ?? { low: 0, high: 0 };
  return { plan: study.campaign, flyAll, policy: correction?.policy ?? KEEP, low, high };
}

/** Constants that replace the study's when its lighting height is shifted by so many metres. */
export function programOf(study: Study, variation: CampaignVariation): (shift: number) => Readonly<Record<string, number>> {
  const { constants = {}, correction } = variation;
  if (correction === undefined) return () => constants;
  const { key } = correction.constant;
  const base = chosenRule(study, variation).constants[key];
  return (shift) => ({ ...constants, [key]: base + shift });
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
