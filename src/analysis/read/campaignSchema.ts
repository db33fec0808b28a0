/** What campaign.json must look like when it is read back. Reads no file. */
import { z } from 'zod';
import { LEVELS } from '../../inputs/stays.ts';
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
  tenths: z.array(share),
  fit: z.object({ curve: z.array(share), within: count, largestMiss: share }),
});

const levels = z.object({
  campaigns: count,
  flights: count,
  vehicle: vehicles.nullable(),
  sameDay: estimate.nullable(),
  sameBatch: estimate.nullable(),
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

const typical = z.object({
  campaign: count,
  odds: share,
  ways: z.array(
    z.object({
      policy: words,
      attempts: z.array(z.object({ miss: number.nullable(), landed: z.boolean() })),
    }),
  ),
});

const rival = z.object({
  name: words,
  pairs: count,
  differing: count,
  landing: firstLanding,
  gains: z.array(z.object({ attempt: count, difference: number, interval })),
  attempts: estimate,
  saved: estimate,
  costSaved: estimate.nullable(),
  verdict: z.enum(['fewer', 'more', 'not told apart']),
});

const policies = z.object({
  constant: z.object({ key: words, unit: words, value: number }),
  level: share,
  split: z.object({ campaigns: count, attempts: count, standing: number.nullable(), fresh: number, ratio: number.nullable() }).nullable(),
  rivals: z.array(rival),
  best: words.nullable(),
  alike: z.array(words),
  finding: words,
});

const holds = z.object({
  level: share,
  held: z.array(rival.extend({ keys: z.array(words), levels: z.array(z.enum(LEVELS)) })),
  centreless: z.array(words),
  finding: words,
});

const costs = z.object({
  currency: words,
  mean: estimate,
  rebuilds: number,
  needed: z.array(z.object({ odds: share, cost: number.nullable(), least: number.nullable(), most: number.nullable() })),
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
    observation: z.object({ error: number, aim: number }),
    costs: z.object({ currency: words, attempt: number, rebuild: number }).nullable(),
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
  levels: levels.nullable(),
  costs: costs.nullable(),
  policies: policies.nullable(),
  holds: holds.nullable(),
  typical: z.array(typical),
}) satisfies z.ZodType<Campaign>;
