/** What learning.json must look like when it is read back. Reads no file. */
import { z } from 'zod';
import { OUTPUTS, type OutputKey } from '../../flight/outputs.ts';
import { CATALOGUE, type InputKey } from '../../inputs/catalogue.ts';
import type { Learning } from '../learn/learning.ts';
import type { Range } from '../learn/narrowed.ts';
import type { LandingOdds } from '../learn/nextAttempt.ts';
import type { SeenSurprise } from '../learn/surprise.ts';
import { answersWith, count, interval, lost, number, words } from './commonSchema.ts';

const inputKeys = CATALOGUE.map((row) => row.key) as [InputKey, ...InputKey[]];
const outputKeys = OUTPUTS.map((row) => row.key) as [OutputKey, ...OutputKey[]];
const input = z.enum(inputKeys);
const share = number.min(0).max(1);
const range = z.tuple([number, number, number]).readonly() satisfies z.ZodType<Range>;

const observation = z.object({
  attempt: words,
  key: z.enum([...outputKeys, ...inputKeys]),
  unit: words,
  seen: words,
  place: words,
  foretold: range.nullable(),
  happened: share,
  share,
  interval,
  adjusted: share,
  surprising: z.boolean(),
  culprits: z.array(z.object({ input: words, sds: number })),
}) satisfies z.ZodType<SeenSurprise>;

const landing = z.object({ flights: count, landed: count, share, interval }) satisfies z.ZodType<LandingOdds>;

export const learningSchema = answersWith({
  logbook: words,
  logbookTitle: words,
  attempts: z.array(words),
  particles: count,
  flights: count,
  lost: z.array(lost),
  finding: words,
  surprise: z.object({ flights: count, observations: z.array(observation), joint: z.object({ share, interval }) }),
  narrowed: z.array(
    z.object({
      input,
      unit: words,
      before: range.nullable(),
      after: range.nullable(),
      sdRatio: number,
      shift: number,
      noise: number,
      bits: number,
    }),
  ),
  hardly: z.array(input),
  own: z.array(z.object({ attempt: words, input, unit: words, before: range.nullable(), after: range.nullable(), bits: number })),
  pairs: z.array(z.object({ a: input, b: input, correlation: number })),
  agreement: z.object({ typical: number, expected: number, largest: number, bound: number, settled: z.boolean() }),
  runs: z.array(z.object({ logEvidence: number, stops: count, rounds: number.min(0), accepted: share, distinct: count })),
  next: z.object({
    rule: words,
    before: landing,
    after: landing,
    grown: z.array(landing),
    change: z.object({ constant: words, now: number, proposed: number, shift: number, odds: landing, gain: number, interval }).nullable(),
  }),
  worthSeeing: z.array(z.object({ output: z.enum(outputKeys), unit: words, error: number, bits: number, interval })),
}) satisfies z.ZodType<Learning>;
