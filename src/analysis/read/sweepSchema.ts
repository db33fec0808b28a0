/** What sweep.json must look like when it is read back. Reads no file. */
import { z } from 'zod';
import type { Sweep } from '../designs/sweep.ts';
import { answersWith, count, heightMiss, heightShift, interval, lostInWork, number, odds, words } from './commonSchema.ts';

const axis = z.object({
  path: words,
  unit: words,
  values: z.array(z.object({ text: words, number: number.nullable() })),
  spread: z.enum(['kept', 'held']).nullable(),
});

const point = z.object({
  values: z.array(words),
  odds,
  band: interval.nullable(),
  outcomes: z.array(count),
  sink: z.array(z.object({ share: number, value: number, interval: interval.nullable() })),
  impulse: z.object({ ascent: number, landing: number }),
  fallEnergy: z.object({ value: number, interval }).nullable(),
  retuned: heightShift.nullable(),
  heightMiss: heightMiss.nullable(),
  toBest: z.object({ difference: number, interval }).nullable(),
  verdict: z.enum(['best', 'alike', 'worse']),
  studyHash: words,
});

export const sweepSchema = answersWith({
  axes: z.array(axis),
  rule: words,
  variant: words,
  asProgrammed: z.boolean(),
  flights: count,
  level: number,
  bandLevel: number,
  stoppedBy: z.enum(['limit', 'interrupted']),
  points: z.array(point),
  unfinished: z.array(words),
  lost: z.array(lostInWork),
}) satisfies z.ZodType<Sweep>;
