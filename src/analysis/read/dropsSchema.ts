/** What drops.json must look like when it is read back. Reads no file. */
import { z } from 'zod';
import type { DropRules } from '../drops/dropRules.ts';
import { answersWith, count, number, outcome, ruleChoice, words } from './commonSchema.ts';

const drop = z.object({
  impulseFactor: number,
  apogee: number,
  believedApogee: number,
  burnHeight: number,
  believedBurnHeight: number,
  commandHeight: number,
  thrustHeight: number.nullable(),
  commandSpeed: number,
  believedCommandSpeed: number,
  sink: number,
  soft: z.boolean(),
  outcome,
  end: z.enum(['apogee', 'ground']).nullable(),
  fallSpeed: number,
});

const fit = z.object({ coefficients: z.array(number), rSquared: number, largestResidual: number });

const verdict = z.object({
  soft: count,
  stands: count,
  lost: z.array(z.object({ outcome, count })),
  bestSink: number,
  sinkLimit: number,
  mass: number,
  impulse: number,
  fallMomentum: number,
  weightImpulse: number,
  fallEnergy: number,
  peakThrust: number,
  weight: number,
});

export const dropsSchema = answersWith({
  lead: number,
  reached: number,
  nominal: drop,
  drops: z.array(drop),
  fits: z.object({ truth: fit, belief: fit, speed: fit.nullable() }).nullable(),
  verdict,
  flown: count,
  steps: count,
  spread: number,
  rules: z.array(ruleChoice),
  left: z.array(z.object({ kind: words, why: words })),
}) satisfies z.ZodType<DropRules>;
