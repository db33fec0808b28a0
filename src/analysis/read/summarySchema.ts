/** What summary.json must look like when it is read back. Reads no file. */
import { z } from 'zod';
import type { Summary } from '../fly/flyStudy.ts';
import { answersWith, causes, count, interval, lost, number, odds, touchdown, words } from './commonSchema.ts';

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
      axes,
      ellipses: z.array(
        z.object({ share: number, centreX: number, centreY: number, semiMajor: number, semiMinor: number, angle: number, inside: count }),
      ),
      cep: number,
      cepCounted: number,
    })
    .nullable(),
});

const wind = z.object({ speed: number.nullable(), toward: z.object({ east: number, north: number }).nullable() });

export const summarySchema = answersWith({
  odds,
  causes,
  touchdown,
  scatter,
  wind,
  rule: words,
  stoppedBy: z.enum(['limit', 'enough', 'interrupted']),
  halfWidth: number.nullable(),
  lost: z.array(lost),
}) satisfies z.ZodType<Summary>;
