/** What tuning a rule answers, as plain data in SI. Computes nothing. */
import type { LostInWork } from '../../fleet/session.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import type { RuleChoice } from '../../study/study.ts';
import type { FreeConstant } from '../drops/heightCoordinates.ts';
import type { StudyFacts } from '../flights/studyFacts.ts';
import type { Odds } from '../fly/odds.ts';
import type { Candidate, Round } from './searchConstants.ts';
import type { Aim } from './tuningFlights.ts';
import type { TuningMap } from './tuningMap.ts';
import type { Good, TuningPair } from './tuningPairs.ts';

/** Values of a rule's constants, SI. */
export type Constants = Readonly<Record<string, number>>;

/** One set of constants on the fresh flights. */
export interface FreshAnswer {
  readonly constants: Constants;
  readonly odds: Odds;
  /** Flights in which the rule gave the ignition command. */
  readonly fired: number;
  /** The aimed-at quantile of sink speed, m/s; null when landings are aimed at. */
  readonly sink: null | { readonly value: number | null; readonly interval: Interval | null };
}

export interface Fresh {
  readonly seed: string;
  readonly flights: number;
  readonly best: FreshAnswer;
  readonly present: FreshAnswer;
  /** Best against present. */
  readonly pair: TuningPair;
}

/** What tuning.json holds: nothing in it depends on the machine or the time. */
export interface Tuning extends StudyFacts {
  readonly rule: string;
  readonly kind: string;
  readonly aim: Aim;
  readonly budget: number;
  readonly flown: number;
  /** False when interrupted: the best is then the best so far. */
  readonly finished: boolean;
  readonly free: readonly FreeConstant[];
  readonly present: Constants;
  /** Nearest to the softest drops of the nominal vehicle: where the search began. */
  readonly start: Constants;
  /** Rounded to what matters; flown as rounded. */
  readonly best: RuleChoice;
  /** Where the best came from. */
  readonly bestIs: 'surface' | 'candidate' | 'start' | 'present';
  readonly searchSeed: string;
  readonly rounds: readonly Round[];
  /** The last candidates on flights of the search's luck that the rounds had not used. */
  readonly finalists: readonly (Candidate & { readonly is: Tuning['bestIs'] })[];
  /** What counts as good in the paired comparisons; null before the search is done. */
  readonly good: Good | null;
  readonly fresh: Fresh | null;
  readonly map: TuningMap | null;
  /** m: mean believed height at which the best lights over the drops. */
  readonly lightingHeight: number;
  /** Constants of the best that lie on a bound, or as near as makes no difference. */
  readonly onBounds: readonly { readonly key: string; readonly at: number; readonly side: 'low' | 'high'; readonly own: boolean }[];
  /** The last round was still best on the edge of a region that no round had narrowed there. */
  readonly unsettled: boolean;
  readonly lost: readonly LostInWork[];
}
