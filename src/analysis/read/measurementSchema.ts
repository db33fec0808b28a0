/** What measurement.json must look like when it is read back. Reads no file. */
import { z } from 'zod';
import { CATALOGUE, type InputKey } from '../../inputs/catalogue.ts';
import type { Distribution } from '../../inputs/distributions.ts';
import type { ThrustCurve } from '../../study/study.ts';
import { AXES, type Estimate, FIT_KINDS, type Measurement } from '../measure/measurement.ts';
import { count, interval, number, words } from './commonSchema.ts';

const keys = CATALOGUE.map((row) => row.key) as [InputKey, ...InputKey[]];
const estimate = z.object({ value: number, interval: interval.nullable() }) satisfies z.ZodType<Estimate>;
const curve = z.object({ time: z.array(number), thrust: z.array(number) }) satisfies z.ZodType<ThrustCurve>;
const share = number.min(0).max(1);

const distribution = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('fixed'), value: number }),
  z.object({ kind: z.literal('normal'), mean: number, sd: number }),
  z.object({ kind: z.literal('student'), mean: number, scale: number, freedom: number }),
  z.object({ kind: z.literal('truncatedNormal'), mean: number, sd: number, low: number, high: number }),
  z.object({ kind: z.literal('lognormal'), median: number, logSd: number }),
  z.object({ kind: z.literal('uniform'), low: number, high: number }),
  z.object({ kind: z.literal('triangular'), low: number, mode: number, high: number }),
  z.object({ kind: z.literal('beta'), alpha: number, beta: number, low: number, high: number }),
  z.object({ kind: z.literal('discrete'), values: z.array(number), weights: z.array(number) }),
  z.object({ kind: z.literal('chance'), probability: share }),
  z.object({ kind: z.literal('measured'), values: z.array(number), as: z.enum(['resample', 'smooth']), bandwidth: number }),
]) satisfies z.ZodType<Distribution>;

const facts = {
  program: words,
  files: z.array(words),
  level: share,
  finding: words,
  how: z.array(words),
  warnings: z.array(words),
  block: z.array(words),
};

const motor = z.object({
  ...facts,
  kind: z.literal('motor'),
  motor: z.enum(['ascent', 'landing']),
  firings: z.array(
    z.object({
      name: words,
      peak: number,
      burnTime: number,
      impulse: estimate,
      average: number,
      delay: number.nullable(),
      tare: z.object({ before: number.nullable(), after: number.nullable(), noise: number.nullable() }),
    }),
  ),
  impulse: estimate,
  burnTime: estimate,
  average: estimate,
  peak: estimate,
  spreads: z.array(
    z.object({ what: z.enum(['impulse', 'burnTime', 'delay']), mean: estimate, sd: estimate, next: interval, distribution }),
  ),
  correlation: estimate.nullable(),
  curve,
  traces: z.array(curve),
});

const sensorName = z.enum(['accelerometer', 'gyro']);
const axis = z.enum(AXES);

const sensor = z.object({
  ...facts,
  kind: z.literal('sensor'),
  gravity: number,
  clock: z.object({
    interval: number,
    jitter: estimate.nullable(),
    longest: number,
    missing: count,
    gaps: count,
    gapRate: estimate,
    gapLength: number.nullable(),
    length: number,
  }),
  axes: z.array(
    z.object({
      sensor: sensorName,
      axis,
      means: z.array(estimate),
      sd: number,
      density: estimate.nullable(),
      densityAtMost: number.nullable(),
      step: estimate.nullable(),
      wander: estimate.extend({ atMost: z.boolean(), tau: number }),
      curve: z.array(z.object({ tau: number, deviation: number })),
    }),
  ),
  turnOn: z.array(z.object({ sensor: sensorName, sd: estimate, freedom: count })),
  byGravity: z.array(z.object({ axis, bias: estimate, scale: estimate })),
});

const values = z.object({
  ...facts,
  kind: z.literal('values'),
  input: z.enum(keys),
  unit: words,
  values: z.array(number),
  mean: estimate,
  sd: estimate.nullable(),
  fits: z.array(
    z.object({
      kind: z.enum(FIT_KINDS),
      distribution,
      numbers: z.array(estimate.extend({ name: words })),
      chance: share,
      refused: z.boolean(),
      criterion: number,
    }),
  ),
  chosen: z.enum([...FIT_KINDS, 'sample', 'student', 'chance']),
  distribution,
  next: interval.nullable(),
  outliers: z.array(z.object({ line: count, value: number })),
});

const legs = z.object({
  ...facts,
  kind: z.literal('legs'),
  mass: number,
  legs: count,
  stiffness: number,
  drops: z.array(z.object({ line: count, drop: number, rebound: number, damping: number.nullable() })),
  damping: estimate,
  ratio: estimate,
  distribution: distribution.nullable(),
  curve: z.array(z.object({ drop: number, rebound: number })),
});

export const measurementSchema = z.discriminatedUnion('kind', [motor, sensor, values, legs]) satisfies z.ZodType<Measurement>;
