/** What ranking.json must look like when it is read back, in each of its three kinds. Reads no file. */
import { z } from 'zod';
import { isInputKey } from '../../inputs/catalogue.ts';
import type { Advice } from '../rank/advice.ts';
import type { Gain } from '../rank/fixGain.ts';
import type { FixRanking, FlownRanking, Ranking, SobolRanking } from '../rank/ranking.ts';
import type { Reweighed } from '../rank/reweigh.ts';
import {
  answersWith,
  constants,
  count,
  heightMiss,
  heightShift,
  interval,
  lostInWork,
  number,
  odds,
  outcome,
  pairCounts,
  words,
} from './commonSchema.ts';

const subject = { name: words, kind: z.enum(['group', 'input', 'noise']) };
const keys = z.array(words);
const inputKey = words.refine(isInputKey);
const place = z.object({ best: count, worst: count });
const direction = z.enum(['more helps', 'more hurts', 'off-centre hurts', 'off-centre helps', 'unclear']);
const measured = z.object({ estimate: number, interval });
const tested = measured.extend({ pValue: number });
/** What is known from below only. */
const atLeast = z.object({ estimate: number, atLeast: number, pValue: number });
const advice = z.object({ first: words.nullable(), alike: keys, idle: keys, little: number }) satisfies z.ZodType<Advice>;
const part = z.object({
  low: number,
  high: number,
  counted: count,
  landed: count,
  share: number.nullable(),
  interval: interval.nullable(),
});
const allLost = z.array(lostInWork);

const gain = z.object({
  counts: pairCounts,
  noResult: count,
  share: number.nullable(),
  gain: number.nullable(),
  interval: interval.nullable(),
  level: number,
  p: number,
  pairsSaved: measured.nullable(),
  causes: z.array(z.object({ outcome, without: count, with: count, change: number, interval })),
}) satisfies z.ZodType<Gain>;

const fixRow = z.object({
  ...subject,
  keys,
  place: place.nullable(),
  perfect: gain.nullable(),
  half: gain.nullable(),
  direction: direction.nullable(),
  leftFree: keys,
});

const fixes = answersWith({
  kind: z.literal('fixes'),
  rule: words,
  flights: count,
  stoppedBy: z.enum(['limit', 'interrupted']),
  odds: odds.nullable(),
  groups: z.array(fixRow),
  inputs: z.array(fixRow),
  leaders: keys,
  advice: z.object({ groups: advice, inputs: advice }),
  bySize: z.array(z.object({ key: inputKey, least: part, most: part })),
  circles: z.array(z.object({ key: inputKey, sectors: z.array(part), best: count.nullable(), worst: count.nullable() })),
  heightMiss: heightMiss.nullable(),
  retuned: heightShift.nullable(),
  asked: z.array(
    z.object({
      name: words,
      part: z.boolean(),
      pins: constants,
      spread: constants,
      settings: z.array(words),
      gain,
      retuned: z.object({ shift: heightShift, gain, beyond: z.object({ difference: number, interval }).nullable() }).nullable(),
    }),
  ),
  campaign: z
    .object({
      attempts: count,
      campaigns: count,
      landed: count,
      share: number,
      interval,
      rows: z.array(z.object({ name: words, pairs: count, share: number, gain: number, interval })),
    })
    .nullable(),
  unfinished: z.array(words),
  cautions: z.array(words),
  lost: allLost,
}) satisfies z.ZodType<FixRanking>;

const measures = z.object({
  rankCorrelation: measured.nullable(),
  partialRankCorrelation: measured.nullable(),
  firstOrder: tested,
  delta: atLeast,
  place,
  shown: z.boolean(),
});
const shareAdvice = z.object({ order: keys, inputs: advice, groups: advice });
const groupShares = z.array(measured.extend({ name: words, place })).nullable();

const reweighed = z.union([
  z.object({ ...subject, refused: z.null(), gain: number, interval, effectiveFlights: number }),
  z.object({ ...subject, refused: words, effectiveFlights: number.nullable() }),
]) satisfies z.ZodType<Reweighed>;

const flown = answersWith({
  kind: z.literal('flown'),
  rule: words,
  counted: count,
  noResult: count,
  landed: count,
  touched: count,
  inputs: z.array(
    z.object({
      key: words,
      success: measures.nullable(),
      sink: measures.nullable(),
      split: tested.extend({ adjustedP: number, at: number }).nullable(),
      direction: direction.nullable(),
      drives: z.object({ outcome, distance: number }).nullable(),
    }),
  ),
  groups: z.object({ success: groupShares, sink: groupShares }),
  advice: z.object({ success: shareAdvice.nullable(), sink: shareAdvice.nullable() }),
  unvarying: keys,
  cautions: z.array(words),
  halved: z.array(reweighed),
}) satisfies z.ZodType<FlownRanking>;

const outputShares = z
  .object({
    rows: count,
    leftOut: count,
    mean: number,
    variance: number,
    subjects: z.array(z.object({ ...subject, keys, first: measured, total: measured, place })),
    alone: measured,
    advice,
    pairs: z.array(measured.extend({ a: words, b: words })).nullable(),
  })
  .nullable();

const sobol = answersWith({
  kind: z.literal('sobol'),
  rule: words,
  by: z.enum(['group', 'input']),
  size: count,
  flights: count,
  noResult: count,
  stoppedBy: z.enum(['limit', 'separated', 'interrupted']),
  looks: z.array(z.object({ size: count, success: outputShares, sink: outputShares })),
  cautions: z.array(words),
  lost: allLost,
}) satisfies z.ZodType<SobolRanking>;

export const rankingSchema = z.discriminatedUnion('kind', [fixes, flown, sobol]) satisfies z.ZodType<Ranking>;
