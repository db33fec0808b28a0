/** What tuning.json must look like when it is read back. Reads no file. */
import { z } from 'zod';
import type { Tuning } from '../tune/tuning.ts';
import type { TuningMap } from '../tune/tuningMap.ts';
import { answersWith, constants, count, interval, lostInWork, number, odds, pairCounts, ruleChoice, words } from './commonSchema.ts';

const aim = z.union([z.object({ kind: z.literal('landed') }), z.object({ kind: z.literal('sink'), quantile: number })]);
const good = z.union([z.object({ kind: z.literal('landed') }), z.object({ kind: z.literal('sink'), most: number })]);
const origin = z.enum(['surface', 'candidate', 'start', 'present']);
const candidate = z.object({ constants, flights: count, landed: count, fired: count, sink: number.nullable() });
const bounds = z.object({ low: number, high: number });

const round = z.object({
  centre: z.array(number),
  halfWidths: z.array(number),
  candidates: z.array(candidate),
  best: constants,
  onEdge: z.array(z.boolean()),
  fittedTo: z.enum(['landings', 'sink', 'median sink']),
});

const freshAnswer = z.object({
  constants,
  odds,
  fired: count,
  sink: z.object({ value: number.nullable(), interval: interval.nullable() }).nullable(),
});

const pair = z.object({
  counts: pairCounts,
  noResult: count,
  difference: number.nullable(),
  interval: interval.nullable(),
  p: number,
});

const map = z.object({
  level: number,
  flightsEach: count,
  axes: z.array(z.array(number)),
  points: z.array(
    z.object({
      offset: z.array(number),
      constants,
      flights: count,
      counted: count,
      good: count,
      share: number.nullable(),
      interval: interval.nullable(),
      landed: count,
      sink: number.nullable(),
      adjustedP: number.nullable(),
      verdict: z.enum(['best', 'alike', 'worse', 'better']),
    }),
  ),
  alike: z.record(z.string(), bounds),
  reachesRim: z.boolean(),
}) satisfies z.ZodType<TuningMap>;

export const tuningSchema = answersWith({
  rule: words,
  kind: words,
  aim,
  budget: count,
  flown: count,
  finished: z.boolean(),
  free: z.array(bounds.extend({ key: words, unit: words })),
  present: constants,
  start: constants,
  best: ruleChoice,
  bestIs: origin,
  searchSeed: words,
  rounds: z.array(round),
  finalists: z.array(candidate.extend({ is: origin })),
  good: good.nullable(),
  fresh: z.object({ seed: words, flights: count, best: freshAnswer, present: freshAnswer, pair }).nullable(),
  map: map.nullable(),
  lightingHeight: number,
  onBounds: z.array(z.object({ key: words, at: number, side: z.enum(['low', 'high']), own: z.boolean() })),
  unsettled: z.boolean(),
  lost: z.array(lostInWork),
}) satisfies z.ZodType<Tuning>;
