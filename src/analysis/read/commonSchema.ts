/**
 * What answers read back from JSON must look like, for the parts that several of them share. Each schema is held
 * against the type it stands for when the program is compiled. Words come printable: a file one was given may say
 * anything. Reads no file.
 */
import { z } from 'zod';
import type { RunFacts } from '../../fleet/session.ts';
import { OUTCOMES } from '../../flight/outputs.ts';
import { printable } from '../../printable.ts';
import type { PairCounts } from '../../statistics/proportions/paired.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import type { RuleChoice } from '../../study/study.ts';
import type { StudyFacts } from '../flights/studyFacts.ts';
import type { Causes } from '../fly/causes.ts';
import type { ContactAnswer } from '../fly/contact.ts';
import type { Odds } from '../fly/odds.ts';
import type { Touchdown } from '../fly/touchdown.ts';
import type { HeightMiss } from '../shift/heightMiss.ts';
import type { HeightShift } from '../shift/retune.ts';

/** Words of a file, made printable. */
export const words = z.string().transform(printable);
/** A count of flights and the like. */
export const count = z.int().nonnegative();
export const number = z.number();
const share = z.number().min(0).max(1);
export const outcome = z.enum(OUTCOMES);

export const interval = z.tuple([number, number]).readonly() satisfies z.ZodType<Interval>;

export const constants = z.record(z.string(), number);

export const ruleChoice = z.object({
  name: words,
  kind: words,
  constants,
  lead: number,
  tiltGuard: number,
  insideTick: z.boolean(),
}) satisfies z.ZodType<RuleChoice>;

/** The shape every set of answers has in common. */
const facts = {
  program: words,
  title: words,
  studyHash: z.string().regex(/^[0-9a-f]{64}$/),
  seed: words,
  design: z.enum(['independent', 'latinHypercube', 'sobol']),
  overrides: z.array(words),
  flightsAsked: count,
  warnings: z.array(words),
};
/** @param shape of what a kind of answers holds beside that */
export function answersWith<S extends z.ZodRawShape>(shape: S) {
  return z.object({ ...facts, ...shape });
}
export const studyFacts = answersWith({}) satisfies z.ZodType<StudyFacts>;

/** JSON has no word for a rate of no time: nothing was flown then. */
const rate = number.nullable().transform((value) => value ?? 0);
export const runFacts = z.object({ seconds: number, threads: count, flightsPerSecond: rate, node: words }) satisfies z.ZodType<RunFacts>;

export const lost = z.object({ flight: count, reason: words });
/** Of which work it was. */
export const lostInWork = lost.extend({ work: words });

export const odds = z.object({
  level: share,
  nominal: share,
  flights: count,
  noResult: count,
  counted: count,
  landed: count,
  share: share.nullable(),
  interval: interval.nullable(),
  wilson: interval.nullable(),
  open: z.object({ share: interval, interval }).nullable(),
}) satisfies z.ZodType<Odds>;

export const causes = z.object({
  level: share,
  counted: count,
  noResult: count,
  failed: count,
  ranked: z.array(
    z.object({ outcome, count, share, interval, nextP: share.nullable(), tiedWithNext: z.boolean(), place: count, shared: z.boolean() }),
  ),
  unseen: z.object({ outcomes: z.array(outcome), interval }).nullable(),
}) satisfies z.ZodType<Causes>;

/** What every measure over flights has, whatever it is held against. */
const overFlights = {
  shareWithin: share.nullable(),
  shareWithinInterval: interval.nullable(),
  quantiles: z.array(z.object({ share, value: number, interval: interval.nullable() })),
  histogram: z.object({ edges: z.array(number), counts: z.array(count), below: count, above: count }),
};

const measured = z.object({ limit: number.nullable(), ofLegs: z.boolean(), within: count.nullable(), ...overFlights });

export const touchdown = z.object({
  level: share,
  touched: count,
  untouched: count,
  noResult: count,
  measures: z.object({ sink: measured, slide: measured, tilt: measured }),
}) satisfies z.ZodType<Touchdown>;

const pressed = z.object({ mark: number.nullable(), ...overFlights });

export const contact = z.object({
  level: share,
  touched: count,
  unpressed: count,
  strength: number.nullable(),
  rebounded: count,
  shareRebounded: share.nullable(),
  shareReboundedInterval: interval.nullable(),
  measures: z.object({ peakFootForce: pressed, greatestLean: pressed, slidPath: pressed }),
}) satisfies z.ZodType<ContactAnswer>;

export const pairCounts = z.object({ both: count, firstOnly: count, secondOnly: count, neither: count }) satisfies z.ZodType<PairCounts>;

export const heightMiss = z.object({
  flights: count,
  median: number,
  interval,
  spread: number,
  reach: number,
  stale: z.boolean(),
}) satisfies z.ZodType<HeightMiss>;

export const heightShift = z.object({
  rule: words,
  constant: words,
  from: number,
  to: number,
  shift: number,
  interval,
  flat: interval,
  onEdge: z.boolean(),
  fittedTo: z.enum(['soft touchdowns', 'median sink']),
  flights: count,
  nominalFlights: count,
  seed: words,
}) satisfies z.ZodType<HeightShift>;
