/**
 * What a staircase of fixes holds: which fix first, which beside it, and so on until a wish is met. The content of
 * staircase.json, plain data in SI; nothing in it depends on the machine or the time. Computes nothing.
 */
import type { LostInWork } from '../../fleet/session.ts';
import type { Outcome } from '../../flight/outputs.ts';
import type { PairCounts } from '../../statistics/proportions/paired.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import type { StudyFacts } from '../flights/studyFacts.ts';
import type { Odds } from '../fly/odds.ts';
import type { HeightShift } from '../shift/retune.ts';
import type { Subject } from './rankSubjects.ts';

/** How much of a thing a step mends: its spread or noise halved, gone, or what was asked for by name. */
export type StepStrength = 'half' | 'perfect' | 'asked';

/** The vehicle with some fixes in place, flown on the luck that reports. */
export interface Stage {
  readonly odds: Odds;
  /** For all stages together (Bonferroni); null without a flight that has a result. */
  readonly band: Interval | null;
  /** Of its rule, where constants of its own were found to land more; null as programmed. */
  readonly shift: HeightShift | null;
}

/** A gain on the luck that chooses; null without a pair. */
export interface ChoosingGain {
  readonly gain: number | null;
  /** For all candidates of the look together (Bonferroni). */
  readonly interval: Interval | null;
}

export interface Step extends Stage {
  /** Of the group, input, noise or fix; of the first step, which is no fix, empty. */
  readonly name: string;
  readonly kind: Subject['kind'] | 'asked' | 'retuning';
  readonly strength: StepStrength | null;
  readonly keys: readonly string[];
  /** Pairs with the stage before: `firstOnly` landed with this step only. */
  readonly counts: PairCounts;
  /** Share minus that of the stage before, on luck that had no part in choosing, for all steps together. */
  readonly gain: number | null;
  readonly interval: Interval | null;
  /** What chose it; null for the first. */
  readonly chosen: (ChoosingGain & { readonly candidates: number }) | null;
  /** Other candidates of that look that may be the best as well. */
  readonly alike: readonly Candidacy[];
}

export interface Candidacy {
  readonly name: string;
  readonly strength: StepStrength;
}

/** A way of ending other than landing, once all steps are taken. */
export interface Remaining {
  readonly outcome: Outcome;
  readonly flights: number;
  readonly share: number;
  /** For all of the list together (exact, Bonferroni). */
  readonly interval: Interval;
}

export interface Staircase extends StudyFacts {
  readonly rule: string;
  /** Share of flights landed that is wished for. */
  readonly wish: number;
  /** `half`: a step halves, and a later one may mend the rest; `perfect`: a step mends all of one thing. */
  readonly strength: 'half' | 'perfect';
  /** Flights of each vehicle on each of the two lucks. */
  readonly flights: number;
  readonly level: number;
  /** As programmed. null when not even that was flown. */
  readonly programmed: Stage | null;
  /** The first may retune the constants and mend nothing; where that was not found to land more, there is none such. */
  readonly steps: readonly Step[];
  /** With every spread and noise of the list gone beside the steps taken; null when not flown. */
  readonly everything: Stage | null;
  /**
   * On the luck that reports, the last stage against the wish: its interval above it, about it, or below it; null
   * without one.
   */
  readonly end: 'reached' | 'open' | 'missed' | null;
  readonly stoppedBy: 'wish' | 'nothing helps' | 'nothing left' | 'interrupted';
  /** Candidates of the last look that were not taken, the largest gain first. */
  readonly refused: readonly (Candidacy & ChoosingGain)[];
  readonly remaining: readonly Remaining[];
  readonly lost: readonly LostInWork[];
}
