/**
 * What a ranking holds, as plain data in SI: ranking.json, `--json`, and what the page is drawn from. Nothing in it
 * depends on the machine or the time. Computes nothing.
 */

import type { LostInWork } from '../../fleet/session.ts';
import type { Outcome } from '../../flight/outputs.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import type { Place } from '../../statistics/sensitivity/sharedPlaces.ts';
import type { StudyFacts } from '../flights/studyFacts.ts';
import type { Odds } from '../fly/odds.ts';
import type { HeightMiss } from '../shift/heightMiss.ts';
import type { HeightShift } from '../shift/retune.ts';
import type { Advice } from './advice.ts';
import type { CampaignGains } from './campaignGains.ts';
import type { Direction } from './direction.ts';
import type { Gain } from './fixGain.ts';
import type { Subject } from './rankSubjects.ts';
import type { Reweighed } from './reweigh.ts';
import type { CircleSuccess, Ends } from './trends.ts';

/** One of three ways to rank. */
export type Ranking = FixRanking | FlownRanking | SobolRanking;

/** One fix at its two strengths; null: not flown, or not to be had. */
export interface FixRow {
  readonly name: string;
  readonly kind: Subject['kind'];
  readonly keys: readonly string[];
  /** Among the rows of its list that were flown perfect, by the gain; null for a row that was not. */
  readonly place: Place | null;
  readonly perfect: Gain | null;
  readonly half: Gain | null;
  /** Of a single input; null for several, for one on a circle, or where success does not vary. */
  readonly direction: Direction | null;
  /** Keys of directions that may be any: no fix holds them, here they vary as before. */
  readonly leftFree: readonly string[];
}

export interface AskedRow {
  /** As it was asked for. */
  readonly name: string;
  readonly part: boolean;
  readonly pins: Readonly<Record<string, number>>;
  readonly spread: Readonly<Record<string, number>>;
  /** `path=value`. */
  readonly settings: readonly string[];
  readonly gain: Gain;
  /** With the fix and without it each retuned (shift/retune.ts); null unless asked for. */
  readonly retuned: null | RetunedGain;
}

export interface RetunedGain {
  readonly shift: HeightShift;
  readonly gain: Gain;
  /**
   * This gain minus the one as programmed, over flights with a result by all four, with its 95 % interval; null without
   * any.
   */
  readonly beyond: null | { readonly difference: number; readonly interval: Interval };
}

/** What ranking.json holds of fixes: nothing in it depends on the machine or the time. */
export interface FixRanking extends StudyFacts {
  readonly kind: 'fixes';
  readonly rule: string;
  /** Flights of each variation. */
  readonly flights: number;
  readonly stoppedBy: 'limit' | 'interrupted';
  /** The study as it is. null when not even that was flown. */
  readonly odds: Odds | null;
  /** By how much the rule lit too high or too low over those flights; null where it cannot be told. */
  readonly heightMiss: HeightMiss | null;
  /** Of the study as it is, retuned: what `retuned` gains are over; null unless asked for. */
  readonly retuned: HeightShift | null;
  /** By what perfection buys; ties in the order of the catalogue. */
  readonly groups: readonly FixRow[];
  readonly inputs: readonly FixRow[];
  /** Groups whose inputs are in `inputs`. */
  readonly leaders: readonly string[];
  /** Of each list, by what perfection buys. */
  readonly advice: { readonly groups: Advice; readonly inputs: Advice };
  /**
   * Inputs that success rises or falls with, beyond chance, though holding them is not shown to buy anything: it is
   * their size that matters, not their spread. The one whose ends lie farthest apart first.
   */
  readonly bySize: readonly Ends[];
  /** Of directions that may be any, success by direction. */
  readonly circles: readonly CircleSuccess[];
  readonly asked: readonly AskedRow[];
  /** What the same fixes buy for a first landing by an attempt; null where not asked for, or interrupted. */
  readonly campaign: CampaignGains | null;
  /** Fixes announced and not flown, after an interruption. */
  readonly unfinished: readonly string[];
  readonly cautions: readonly string[];
  readonly lost: readonly LostInWork[];
}

export interface Measured {
  readonly estimate: number;
  readonly interval: Interval;
}

export interface Tested extends Measured {
  readonly pValue: number;
}

/** What is known from below only. */
export interface AtLeast {
  readonly estimate: number;
  /** Lower confidence bound, one-sided at LEVEL, >= 0. */
  readonly atLeast: number;
  readonly pValue: number;
}

/** How one input goes with one output. */
export interface Measures {
  /** null for a direction, whose ranks depend on where a turn is begun to be counted. */
  readonly rankCorrelation: Measured | null;
  /**
   * Freed of the other inputs; null where they cannot be told apart, for a direction, and for a yes/no input too rare
   * for it.
   */
  readonly partialRankCorrelation: Measured | null;
  /**
   * Share of the variance that the input alone explains: of success, or of the flights' ranks by sink speed, so that a
   * few hard falls are not all.
   */
  readonly firstOrder: Tested;
  /** Borgonovo's delta: the estimate errs low, so only a bound from below is told of it. */
  readonly delta: AtLeast;
  /** By `firstOrder`. */
  readonly place: Place;
  /** Whether any of its tests shows it, all inputs and tests of the list together (Holm at LEVEL). */
  readonly shown: boolean;
}

/** Landed flights against lost ones. */
export interface Split extends Measured {
  /** Greatest distance between the two distributions of the input. */
  readonly pValue: number;
  /** For all inputs together (Holm). */
  readonly adjustedP: number;
  /** Value of the input where they differ most. */
  readonly at: number;
}

export interface InputMeasures {
  readonly key: string;
  readonly success: Measures | null;
  readonly sink: Measures | null;
  readonly split: Split | null;
  readonly direction: Direction | null;
  /** The failure whose flights have this input most unlike the others', beyond chance over all inputs and failures. */
  readonly drives: { readonly outcome: Outcome; readonly distance: number } | null;
}

/** The first-order shares of a group's inputs together; what they do jointly beyond that is not in it. */
export interface GroupShare extends Measured {
  readonly name: string;
  readonly place: Place;
}

export interface ShareAdvice {
  /** Keys of the inputs measured, the largest share first: the order they are shown in. */
  readonly order: readonly string[];
  readonly inputs: Advice;
  readonly groups: Advice;
}

export interface FlownMeasures {
  /** Flights with a result. */
  readonly counted: number;
  readonly noResult: number;
  readonly landed: number;
  /** Of them with a sink speed. */
  readonly touched: number;
  /** By the first-order share of success, or of sink speed where success does not vary. */
  readonly inputs: readonly InputMeasures[];
  readonly groups: { readonly success: readonly GroupShare[] | null; readonly sink: readonly GroupShare[] | null };
  /** By their shares; null where that output is not ranked. */
  readonly advice: Readonly<Record<'success' | 'sink', ShareAdvice | null>>;
  /** Inputs that vary in the study but not in these flights. */
  readonly unvarying: readonly string[];
  readonly cautions: readonly string[];
}

/** What ranking.json holds of flights already flown. */
export interface FlownRanking extends StudyFacts, FlownMeasures {
  readonly kind: 'flown';
  readonly rule: string;
  /** Of groups and inputs, what is gained first; then those refused. */
  readonly halved: readonly Reweighed[];
}

export interface SubjectShares {
  readonly name: string;
  readonly kind: Subject['kind'];
  readonly keys: readonly string[];
  /** Of it alone. */
  readonly first: Measured;
  /** With all it does together with others. */
  readonly total: Measured;
  /** By `total`. */
  readonly place: Place;
}

export interface PairShare extends Measured {
  readonly a: string;
  readonly b: string;
}

/** Shares of one output's variance. */
export interface OutputShares {
  /** Rows of the design in which every flight has this output. */
  readonly rows: number;
  /** Rows left out. */
  readonly leftOut: number;
  readonly mean: number;
  readonly variance: number;
  /** By `total`, the largest first. */
  readonly subjects: readonly SubjectShares[];
  /** Sum of the shares alone; what is missing to 1 is done jointly. */
  readonly alone: Measured;
  /** By the shares in all. */
  readonly advice: Advice;
  readonly pairs: readonly PairShare[] | null;
}

export interface Look {
  readonly size: number;
  readonly success: OutputShares | null;
  readonly sink: OutputShares | null;
}

/** What ranking.json holds of a variance-based ranking: nothing in it depends on the machine or the time. */
export interface SobolRanking extends StudyFacts {
  readonly kind: 'sobol';
  readonly rule: string;
  readonly by: 'group' | 'input';
  readonly size: number;
  /** Flights flown for the last look. */
  readonly flights: number;
  readonly noResult: number;
  readonly stoppedBy: 'limit' | 'separated' | 'interrupted';
  /** From the smallest to the largest; the last is the answer. */
  readonly looks: readonly Look[];
  readonly cautions: readonly string[];
  readonly lost: readonly LostInWork[];
}
