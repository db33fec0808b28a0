/**
 * What an input keeps from flight to flight: its variance shared out among levels, each drawn anew at its own
 * occasions. Draws nothing (sampling/campaignSampler.ts).
 */
import type { InputKey } from './catalogue.ts';

/** From what lasts longest to what is fresh on every flight. */
export const LEVELS = ['electronics', 'airframe', 'batch', 'day', 'flight'] as const;
export type Level = (typeof LEVELS)[number];

/** Until when a draw of each level stays. */
export const LEVEL_MEANINGS: Readonly<Record<Level, string>> = {
  electronics: 'until the board is changed',
  airframe: 'until it is rebuilt',
  batch: 'for one purchase of motors',
  day: 'for one day of flying',
  flight: 'for one flight only',
};

/** Shares of variance in normal scores, in the order of {@link LEVELS}, each above 0; they sum to 1 but for rounding. */
export type Shares = Readonly<Partial<Record<Level, number>>>;

/** By key; what is absent is drawn anew on every flight. */
export type Stays = Readonly<Partial<Record<InputKey, Shares>>>;

/** What an input that says nothing does. */
export const FRESH: Shares = { flight: 1 };

/** As a study would say it: `airframe`, or `airframe 60 %, flight 40 %`. */
export function sharesText(shares: Shares): string {
  const given = LEVELS.flatMap((level) => (shares[level] === undefined ? [] : [{ level, share: shares[level] }]));
  if (given.length === 1) return given[0].level;
  return given.map(({ level, share }) => `${level} ${Number((100 * share).toPrecision(6))} %`).join(', ');
}

/** Whether two inputs keep the same. */
export function sameShares(a: Shares, b: Shares): boolean {
  return LEVELS.every((level) => a[level] === b[level]);
}
