/** What summary.json must look like when it is read back. Reads no file. */
import { z } from 'zod';
import type { AttemptPlan } from '../fly/attemptPlan.ts';
import type { Summary } from '../fly/flyStudy.ts';
import {
  answersWith,
  causes,
  contact,
  count,
  heightMiss,
  heightShift,
  interval,
  lost,
  number,
  odds,
  touchdown,
  words,
} from './commonSchema.ts';

const axes = z.object({ major: number, minor: number, angle: number });

const scatter = z.object({
  placed: count,
  unplaced: count,
  noResult: count,
  distances: z.array(z.object({ share: number, value: number, interval: interval.nullable() })),
  farthest: z.object({ distance: number, number: count }).nullable(),
  cloud: z
    .object({
      meanEast: number,
      meanNorth: number,
      meanEastInterval: interval,
      meanNorthInterval: interval,
      axes,
      ellipses: z.array(
        z.object({
          share: number,
          centreX: number,
          centreY: number,
          semiMajor: number,
          semiMinor: number,
          angle: number,
          inside: count,
          insideInterval: interval,
        }),
      ),
      cep: number,
      cepCounted: number,
      cepInterval: interval.nullable(),
    })
    .nullable(),
});

const attempts = z.object({
  within: z.array(z.object({ attempts: count, chance: number, interval })),
  assured: z.object({ assurance: number, attempts: count.nullable(), least: count, most: count.nullable() }),
  claims: z.array(z.object({ reliability: number, confidence: number, failures: count, attempts: count })),
}) satisfies z.ZodType<AttemptPlan>;
const wind = z.object({ speed: number.nullable(), toward: z.object({ east: number, north: number }).nullable() });

export const summarySchema = answersWith({
  odds,
  attempts: attempts.nullable(),
  causes,
  touchdown,
  contact: contact.nullable(),
  scatter,
  wind,
  rule: words,
  stoppedBy: z.enum(['limit', 'enough', 'interrupted']),
  halfWidth: number.nullable(),
  retuned: heightShift.nullable(),
  heightMiss: heightMiss.nullable(),
  lost: z.array(lost),
}) satisfies z.ZodType<Summary>;
