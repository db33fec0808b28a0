/** What campaign.json must look like when it is read back. Reads no file. */
import { z } from 'zod';
import type { Campaign } from '../campaign/campaignStudy.ts';
import { answersWith, count, interval, lost, number, words } from './commonSchema.ts';

const estimate = z.object({ value: number, interval });
const share = number.min(0).max(1);

const firstLanding = z.object({
  level: share,
  campaigns: count,
  curve: z.array(z.object({ attempt: count, landed: count, share, interval, naive: share, naiveInterval: interval })),
  needed: z.array(
    z.object({
      odds: share,
      attempts: count.nullable(),
      least: count.nullable(),
      most: count.nullable(),
      naive: count.nullable(),
      naiveLeast: count,
      naiveMost: count.nullable(),
    }),
  ),
  never: z.object({ campaigns: count, share, interval }),
});

const vehicles = z.object({
  mean: estimate,
  correlation: estimate,
  byVariance: estimate.nullable(),
  quantiles: z.array(estimate.extend({ share })),
  fit: z.object({ curve: z.array(share), within: count, largestMiss: share }),
});

const after = z.object({
  next: estimate,
  by: z.enum(['counted', 'fit']),
  claims: z.array(
    z.object({
      reliability: share,
      confidence: share,
      exact: count,
      spread: count.nullable(),
      least: count.nullable(),
      most: count.nullable(),
    }),
  ),
});

export const campaignSchema = answersWith({
  rule: words,
  campaignsAsked: count,
  flyAll: z.boolean(),
  plan: z.object({
    attempts: count,
    flightsADay: count,
    motorsInBatch: count,
    rebuild: z.object({ sink: number.nullable(), tippedOver: z.boolean() }),
  }),
  staying: count,
  stoppedBy: z.enum(['limit', 'enough', 'interrupted']),
  lost: z.array(lost),
  attempts: count,
  noResult: count,
  finding: words,
  firstLanding: firstLanding.nullable(),
  vehicles: vehicles.nullable(),
  after: after.nullable(),
}) satisfies z.ZodType<Campaign>;
