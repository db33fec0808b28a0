/** What staircase.json must look like when it is read back. Reads no file. */
import { z } from 'zod';
import type { Staircase } from '../rank/staircase.ts';
import { answersWith, count, heightShift, interval, lostInWork, number, odds, outcome, pairCounts, words } from './commonSchema.ts';

const strength = z.enum(['half', 'perfect', 'asked']);
const candidacy = { name: words, strength };
const choosingGain = { gain: number.nullable(), interval: interval.nullable() };
const stage = z.object({ odds, band: interval.nullable(), shift: heightShift.nullable() });

const step = stage.extend({
  name: words,
  kind: z.enum(['group', 'input', 'noise', 'asked', 'retuning']),
  strength: strength.nullable(),
  keys: z.array(words),
  counts: pairCounts,
  ...choosingGain,
  chosen: z.object({ ...choosingGain, candidates: count }).nullable(),
  alike: z.array(z.object(candidacy)),
});

export const staircaseSchema = answersWith({
  rule: words,
  wish: number,
  strength: z.enum(['half', 'perfect']),
  flights: count,
  level: number,
  programmed: stage.nullable(),
  steps: z.array(step),
  everything: stage.nullable(),
  end: z.enum(['reached', 'open', 'missed']).nullable(),
  stoppedBy: z.enum(['wish', 'nothing helps', 'nothing left', 'interrupted']),
  refused: z.array(z.object({ ...candidacy, ...choosingGain })),
  remaining: z.array(z.object({ outcome, flights: count, share: number, interval })),
  lost: z.array(lostInWork),
}) satisfies z.ZodType<Staircase>;
