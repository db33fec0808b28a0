/** What a comparison answers, of rules or of designs: the content of comparison.json. Plain data; computes nothing. */
import type { LostInWork } from '../../fleet/session.ts';
import type { PairCounts } from '../../statistics/proportions/paired.ts';
import type { PairingGain } from '../../statistics/proportions/pairingGain.ts';
import type { StudyFacts } from '../flights/studyFacts.ts';
import type { Causes } from '../fly/causes.ts';
import type { Odds } from '../fly/odds.ts';
import type { Touchdown } from '../fly/touchdown.ts';
import type { HeightMiss } from '../shift/heightMiss.ts';
import type { HeightShift } from '../shift/retune.ts';
import type { Across } from './across.ts';
import type { RealAttempts, Statement } from './rulePair.ts';

export interface RuleAnswers {
  readonly rule: string;
  readonly odds: Odds;
  readonly causes: Causes;
  readonly touchdown: Touchdown;
  /** Flights with a result in which the rule never gave the ignition command. */
  readonly neverFired: number;
  /** How it was retuned before it flew; null: it flew as programmed. */
  readonly retuned: HeightShift | null;
  /** By how much it lit too high or too low over these flights; null where it cannot be told. */
  readonly heightMiss: HeightMiss | null;
}

export interface PairAnswers {
  readonly first: string;
  readonly second: string;
  /** Flights without a result by either: in no count. */
  readonly noResult: number;
  /** How all flights paired off. */
  readonly counts: PairCounts;
  readonly statement: Statement;
  /** Real attempts of each rule that would show the difference; null without pairs. */
  readonly attempts: RealAttempts | null;
  /** Independent flights of each rule that one flight on the same luck is worth; null when the pairs cannot say. */
  readonly luck: PairingGain | null;
}

/** What comparison.json holds: nothing in it depends on the machine or the time. */
export interface Comparison extends StudyFacts {
  /** What each of `rules` stands for where designs are compared; null where they are rules of one study. */
  readonly designs: readonly Design[] | null;
  /** Flights by each rule that are compared: those every rule flew. */
  readonly flights: number;
  /** `decided`: every pair had its answer before the flights asked for were flown. */
  readonly stoppedBy: 'limit' | 'decided' | 'interrupted';
  readonly untilResolved: null | { readonly margin: number | null; readonly lookEvery: number };
  readonly rules: readonly RuleAnswers[];
  /** Every two rules, in the order of `rules`; of designs, every two that fly one rule. */
  readonly pairs: readonly PairAnswers[];
  readonly across: readonly Across[];
  /** Flights whose worker failed, and by which rule. */
  readonly lost: readonly LostInWork[];
  /** By pair: numbers of the flights that only one of the two landed. */
  readonly discordant: readonly {
    readonly first: string;
    readonly second: string;
    readonly firstOnly: readonly number[];
    readonly secondOnly: readonly number[];
  }[];
}

/** A design in a comparison of designs: a variant of the study, flown by one rule. */
export interface Design {
  /** As in `rules`. */
  readonly name: string;
  /** Name of the variant; `base` is the study as it is. */
  readonly variant: string;
  readonly rule: string;
  /** What the variant says, as a person wrote it: another study it is from, and its replacements `path=value`. */
  readonly from: string | null;
  readonly replacements: readonly string[];
  /** Of the study that was flown. */
  readonly studyHash: string;
}
