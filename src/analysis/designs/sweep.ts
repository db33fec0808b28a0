/** What a sweep answers: the content of sweep.json. Plain data; computes nothing. */
import type { LostInWork } from '../../fleet/session.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import type { StudyFacts } from '../flights/studyFacts.ts';
import type { Odds } from '../fly/odds.ts';
import type { Touchdown } from '../fly/touchdown.ts';
import type { HeightMiss } from '../shift/heightMiss.ts';
import type { HeightShift } from '../shift/retune.ts';
import type { SweepAxis } from './sweepValues.ts';

/** The study with one value from each axis. */
export interface SweepPoint {
  /** As a study would say them, in the order of the axes. */
  readonly values: readonly string[];
  /** Its own interval in it holds for this point alone. */
  readonly odds: Odds;
  /** For all points together (Bonferroni); null without a flight that has a result. */
  readonly band: Interval | null;
  /** Flights by outcome, in the order of OUTCOMES. */
  readonly outcomes: readonly number[];
  /** m/s: of the flights that touched the ground. */
  readonly sink: Touchdown['measures']['sink']['quantiles'];
  /** N s: nominal, of the two motors. */
  readonly impulse: { readonly ascent: number; readonly landing: number };
  /**
   * J: nominal falling mass times gravity times the median apogee, with that median's interval; null where too few
   * flights have one.
   */
  readonly fallEnergy: null | { readonly value: number; readonly interval: Interval };
  readonly retuned: HeightShift | null;
  /** Only of points flown as programmed. */
  readonly heightMiss: HeightMiss | null;
  /**
   * Share minus that of the best point, over flights with a result by both, its interval for this pair alone; null for
   * the best itself, or without a pair.
   */
  readonly toBest: null | { readonly difference: number; readonly interval: Interval };
  /**
   * `worse`: some other point is shown to land more often, all pairs of points taken together (McNemar's exact test,
   * Holm), which holds however the best was picked. `alike`: cannot be told from the best.
   */
  readonly verdict: 'best' | 'alike' | 'worse';
  /** Of the study that was flown. */
  readonly studyHash: string;
}

export interface Sweep extends StudyFacts {
  readonly axes: readonly SweepAxis[];
  readonly rule: string;
  readonly variant: string;
  readonly asProgrammed: boolean;
  /** Flights of each point, the same numbers. */
  readonly flights: number;
  /** Level of the bands together, and of each. */
  readonly level: number;
  readonly bandLevel: number;
  readonly stoppedBy: 'limit' | 'interrupted';
  /** Those flown whole, the last axis running first. */
  readonly points: readonly SweepPoint[];
  /** Points that were to come when it was interrupted. */
  readonly unfinished: readonly string[];
  readonly lost: readonly LostInWork[];
}
