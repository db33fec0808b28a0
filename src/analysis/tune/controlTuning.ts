/** What tuning the attitude control answers: the content of control.json, plain data in SI. Computes nothing. */
import type { LostInWork } from '../../fleet/session.ts';
import type { Difference, PairCounts } from '../../statistics/proportions/paired.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import type { StudyFacts } from '../flights/studyFacts.ts';
import type { Odds } from '../fly/odds.ts';
import type { HeightMiss } from '../shift/heightMiss.ts';
import type { FreeGain, GainKey, Gains } from './gains.ts';

/** Flights that are counted as good in the search: landed, or, where hardly any lands, upright and without slide. */
export type GainAim = 'landings' | 'upright touchdowns';

/** One line of the search. */
export interface SearchLine {
  readonly cycle: number;
  readonly key: GainKey;
  readonly values: readonly number[];
  /** Good flights at each. */
  readonly good: readonly number[];
  readonly aim: GainAim;
  readonly flights: number;
  /** What was taken. */
  readonly taken: number;
}

/** Gains on flights that no gain was chosen on. */
export interface GainAnswer {
  readonly gains: Gains;
  readonly odds: Odds;
}

export interface GainPoint {
  readonly value: number;
  readonly landed: number;
  readonly counted: number;
  readonly share: number | null;
  readonly interval: Interval | null;
  /** Against the best on the same flights, all points of all lines together (Holm); null for the best itself. */
  readonly adjustedP: number | null;
  readonly verdict: 'best' | 'alike' | 'worse' | 'better';
}

/** Landings along one gain about the best, the others held there. */
export interface GainLine {
  readonly key: GainKey;
  /** Ascending. */
  readonly points: readonly GainPoint[];
  /** What it ranges over about the best before a point is shown to be worse; null where an end was not reached. */
  readonly flat: { readonly low: number; readonly high: number; readonly opensLow: boolean; readonly opensHigh: boolean };
}

export interface ControlTuning extends StudyFacts {
  readonly rule: string;
  readonly budget: number;
  readonly flown: number;
  /** False when interrupted: the best is then the best so far. */
  readonly finished: boolean;
  readonly free: readonly FreeGain[];
  readonly present: Gains;
  readonly best: Gains;
  readonly bestIs: 'searched' | 'present';
  readonly search: readonly SearchLine[];
  /** On fresh luck; null when interrupted before. */
  readonly fresh: null | {
    readonly flights: number;
    readonly best: GainAnswer;
    readonly present: GainAnswer;
    /** Best against present. */
    readonly counts: PairCounts;
    readonly difference: Difference | null;
    readonly p: number;
    /** Of the best: whether the rule's constants suit it. */
    readonly heightMiss: HeightMiss | null;
  };
  /** Flights of each point of the lines, on the fresh luck. */
  readonly lineFlights: number;
  readonly lines: readonly GainLine[];
  readonly lost: readonly LostInWork[];
}
