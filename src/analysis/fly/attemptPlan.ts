/**
 * What the success probability means for an evening on the field: chances of a first landing within so many attempts,
 * and how many landings in a row would show a reliability. Takes each attempt for fresh luck of the same study: nothing
 * learnt, nothing broken, nothing worn.
 */
import { attemptsFor, chanceWithin } from '../../statistics/proportions/attempts.ts';
import { trialsToDemonstrate } from '../../statistics/proportions/demonstration.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import type { Odds } from './odds.ts';

export interface AttemptPlan {
  /** Chance of at least one landing within so many attempts; the success probability's interval carried over. */
  readonly within: readonly { readonly attempts: number; readonly chance: number; readonly interval: Interval }[];
  /** Attempts that bring a first landing with this assurance. */
  readonly assured: {
    readonly assurance: number;
    /** null where no flight landed. */
    readonly attempts: number | null;
    /**
     * Over the success probability's interval; `most` null where that reaches down to 0, since no number is then enough
     * for sure.
     */
    readonly least: number;
    readonly most: number | null;
  };
  /**
   * Attempts, `failures` of them allowed to fail, that show a reliability with a confidence; they depend on no flight
   * here.
   */
  readonly claims: readonly {
    readonly reliability: number;
    readonly confidence: number;
    readonly failures: number;
    readonly attempts: number;
  }[];
}

const ATTEMPTS = [1, 2, 3, 5, 10];
const ASSURANCE = 0.9;
const CONFIDENCE = 0.9;
const RELIABILITIES = [0.5, 0.8, 0.9];
const FAILURES = [0, 1];

/** @returns null without a flight that has a result */
export function attemptPlan({ share, interval }: Pick<Odds, 'share' | 'interval'>): AttemptPlan | null {
  if (share === null || interval === null) return null;
  const chance = (p: number, attempts: number): number => (p === 0 ? 0 : chanceWithin(p, 1, attempts));
  const needed = (p: number): number | null => (p === 0 ? null : attemptsFor(p, 1, ASSURANCE));
  return {
    within: ATTEMPTS.map((attempts) => ({
      attempts,
      chance: chance(share, attempts),
      interval: [chance(interval[0], attempts), chance(interval[1], attempts)],
    })),
    assured: { assurance: ASSURANCE, attempts: needed(share), least: attemptsFor(interval[1], 1, ASSURANCE), most: needed(interval[0]) },
    claims: RELIABILITIES.flatMap((reliability) =>
      FAILURES.map((failures) => ({
        reliability,
        confidence: CONFIDENCE,
        failures,
        attempts: trialsToDemonstrate(reliability, CONFIDENCE, failures),
      })),
    ),
  };
}
