/** What learning.json holds: nothing in it depends on the machine or the time. Computes nothing but its sentence. */
import type { LostFlight } from '../../fleet/fleet.ts';
import type { StudyFacts } from '../flights/studyFacts.ts';
import type { Agreement, Narrowed, OwnDraw, Standing, TiedPair } from './narrowed.ts';
import type { NextAttempt } from './nextAttempt.ts';
import type { Surprise } from './surprise.ts';
import type { WorthSeeing } from './worthSeeing.ts';

export interface RunFound {
  readonly logEvidence: number;
  /** Stops of the exponent on the way from 0 to 1. */
  readonly stops: number;
  /** Of flying, each counted by its share of all particles and attempts. */
  readonly rounds: number;
  /** Share of moves accepted over the last rounds. */
  readonly accepted: number;
  readonly distinct: number;
}

export interface Learning extends StudyFacts {
  readonly logbook: string;
  readonly logbookTitle: string;
  readonly attempts: readonly string[];
  readonly particles: number;
  readonly flights: number;
  readonly lost: readonly LostFlight[];
  /** One sentence. */
  readonly finding: string;
  readonly surprise: Surprise;
  readonly narrowed: readonly Narrowed[];
  readonly hardly: Standing['hardly'];
  readonly own: readonly OwnDraw[];
  readonly pairs: readonly TiedPair[];
  readonly agreement: Agreement;
  readonly runs: readonly RunFound[];
  readonly next: NextAttempt;
  readonly worthSeeing: readonly WorthSeeing[];
}

const percent = (share: number): string => `${Number((100 * share).toPrecision(2))} %`;
const range = ([low, high]: readonly [number, number]): string => `${percent(low)} to ${percent(high)}`;

/** True whatever the numbers. */
export function learningFinding({
  surprise,
  agreement,
  next,
  attempts,
}: Pick<Learning, 'surprise' | 'agreement' | 'next' | 'attempts'>): string {
  if (!agreement.settled) {
    return 'Two runs from different seeds do not agree yet on what was learnt: take none of it, and learn again with more --particles.';
  }
  const surprises = surprise.observations.filter((one) => one.surprising);
  if (surprises.length > 0) {
    const [first] = surprises;
    const more = surprises.length === 1 ? '' : ` and ${surprises.length - 1} more`;
    return `The study hardly ever does what was seen of ${first.key} in ${first.attempt}${more}: mend the model or widen a spread before you trust what else was learnt.`;
  }
  const { before, after, change } = next;
  const odds = `the next one lands with ${percent(after.share)} (${range(after.interval)}), ${percent(before.share)} (${range(before.interval)}) before`;
  const raise =
    change !== null && change.interval[0] > 0
      ? `; lighting ${Math.abs(change.shift)} m ${change.shift > 0 ? 'higher' : 'lower'} adds ${percent(change.gain)} (${range(change.interval)})`
      : '; no shift of the lighting height was shown to raise that';
  return `After ${attempts.length} attempt${attempts.length === 1 ? '' : 's'} ${odds}${raise}.`;
}
