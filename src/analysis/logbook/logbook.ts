/** A logbook as every later room sees it: attempts at one vehicle, what was set and what was seen, SI. Reads no file. */
import type { OutputKey } from '../../flight/outputs.ts';
import type { InputKey } from '../../inputs/catalogue.ts';
import type { Level } from '../../inputs/stays.ts';

/** What is seen of an attempt: an output of the flight, or an input that was measured. */
export type SeenKey = OutputKey | InputKey;

export type Sight =
  /** A number with a normal error of this standard deviation. */
  | { readonly kind: 'value'; readonly value: number; readonly error: number }
  /** Somewhere between two ends. */
  | { readonly kind: 'within'; readonly low: number; readonly high: number }
  /** A word, as its place in the list of outcomes; yes and no, or a count, as a number. */
  | { readonly kind: 'exactly'; readonly value: number }
  /** The flight had none of it: never lit, never came down. */
  | { readonly kind: 'never' };

export interface Observation {
  readonly key: SeenKey;
  readonly sight: Sight;
  /** Probability that a sight that is no number with an error is wrong. */
  readonly misjudged: number;
  /** `file:line:column` */
  readonly place: string;
  /** As the logbook has it, for people. */
  readonly words: string;
}

/** Levels that outlast a flight, by what the builder calls the one at hand. */
export type Having = Readonly<Record<Exclude<Level, 'flight'>, string>>;

/** How an attempt was set up. */
export interface Setting {
  readonly rule: string;
  /** Constants (and lead, guard) that replace the study's, SI. */
  readonly constants: Readonly<Record<string, number>>;
  /** Inputs known exactly, SI. */
  readonly pins: Readonly<Partial<Record<InputKey, number>>>;
  readonly having: Having;
}

export interface Attempt extends Setting {
  readonly name: string;
  readonly observations: readonly Observation[];
  /** Outputs that nobody could tell. */
  readonly notSeen: readonly OutputKey[];
  /** Name of the flight computer's log beside the logbook; null without one. */
  readonly log: string | null;
}

export interface Logbook {
  readonly title: string;
  /** Which column of all logs is what, as after --columns; null: by their titles. */
  readonly columns: string | null;
  readonly attempts: readonly Attempt[];
  /** The attempt asked about: today's rule and constants unless the logbook says others. */
  readonly next: Setting;
}
