/** What comparison.json must look like when it is read back. Reads no file. */
import { z } from 'zod';
import type { Across } from '../compare/across.ts';
import type { Comparison, Design } from '../compare/comparison.ts';
import type { Statement } from '../compare/rulePair.ts';
import {
  answersWith,
  causes,
  count,
  heightMiss,
  heightShift,
  interval,
  lostInWork,
  number,
  odds,
  pairCounts,
  touchdown,
  words,
} from './commonSchema.ts';

const statement = z.object({
  procedure: z.enum(['fixed', 'groupSequential']),
  flights: count,
  counts: pairCounts,
  difference: number.nullable(),
  interval: interval.nullable(),
  level: number,
  p: number,
  adjustedP: number,
  verdict: z.enum(['first', 'second', 'hint', 'alike', 'open']),
}) satisfies z.ZodType<Statement>;

const across = z.object({
  input: words,
  unit: words,
  meaning: words,
  yesNo: z.boolean(),
  level: number,
  bins: z.array(
    z.object({
      low: number,
      high: number,
      flights: count,
      rules: z.array(
        z.object({
          rule: words,
          noResult: count,
          counted: count,
          landed: count,
          share: number.nullable(),
          interval: interval.nullable(),
          toFirst: z.object({ difference: number, interval }).nullable(),
        }),
      ),
    }),
  ),
}) satisfies z.ZodType<Across>;

const design = z.object({
  name: words,
  variant: words,
  rule: words,
  from: words.nullable(),
  replacements: z.array(words),
  studyHash: words,
}) satisfies z.ZodType<Design>;

export const comparisonSchema = answersWith({
  designs: z.array(design).nullable(),
  flights: count,
  stoppedBy: z.enum(['limit', 'decided', 'interrupted']),
  untilResolved: z.object({ margin: number.nullable(), lookEvery: count }).nullable(),
  rules: z.array(
    z.object({
      rule: words,
      odds,
      causes,
      touchdown,
      neverFired: count,
      retuned: heightShift.nullable(),
      heightMiss: heightMiss.nullable(),
    }),
  ),
  pairs: z.array(
    z.object({
      first: words,
      second: words,
      noResult: count,
      counts: pairCounts,
      statement,
      attempts: z.object({ estimated: count.nullable(), least: count, most: count.nullable() }).nullable(),
      luck: z.object({ ratio: number, interval }).nullable(),
    }),
  ),
  across: z.array(across),
  lost: z.array(lostInWork),
  discordant: z.array(z.object({ first: words, second: words, firstOnly: z.array(count), secondOnly: z.array(count) })),
}) satisfies z.ZodType<Comparison>;
