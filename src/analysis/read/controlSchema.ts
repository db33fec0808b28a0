/** What control.json must look like when it is read back. Reads no file. */
import { z } from 'zod';
import type { ControlTuning } from '../tune/controlTuning.ts';
import { GAIN_KEYS } from '../tune/gains.ts';
import { answersWith, count, heightMiss, interval, lostInWork, number, odds, pairCounts, words } from './commonSchema.ts';

const key = z.enum(GAIN_KEYS);
const gains = z.object({ kp: number, kd: number, ki: number, driftDamping: number, driftTilt: number });
const answer = z.object({ gains, odds });
const point = z.object({
  value: number,
  landed: count,
  counted: count,
  share: number.nullable(),
  interval: interval.nullable(),
  adjustedP: number.nullable(),
  verdict: z.enum(['best', 'alike', 'worse', 'better']),
});

export const controlSchema = answersWith({
  rule: words,
  budget: count,
  flown: count,
  finished: z.boolean(),
  free: z.array(z.object({ key, low: number, high: number })),
  present: gains,
  best: gains,
  bestIs: z.enum(['searched', 'present']),
  search: z.array(
    z.object({
      cycle: count,
      key,
      values: z.array(number),
      good: z.array(count),
      aim: z.enum(['landings', 'upright touchdowns']),
      flights: count,
      taken: number,
    }),
  ),
  fresh: z
    .object({
      flights: count,
      best: answer,
      present: answer,
      counts: pairCounts,
      difference: z.object({ difference: number, interval }).nullable(),
      p: number,
      heightMiss: heightMiss.nullable(),
    })
    .nullable(),
  lineFlights: count,
  lines: z.array(
    z.object({ key, points: z.array(point), flat: z.object({ low: number, high: number, opensLow: z.boolean(), opensHigh: z.boolean() }) }),
  ),
  lost: z.array(lostInWork),
}) satisfies z.ZodType<ControlTuning>;
