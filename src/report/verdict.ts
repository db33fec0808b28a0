/** What may be said about two rules, in plain words that claim no more than the interval allows. Computes nothing. */
import type { PairAnswers } from '../analysis/compare/comparison.ts';
import { REAL_TEST, type RealAttempts } from '../analysis/compare/rulePair.ts';
import { count, decimalsFor, percent, rounded } from './words.ts';

/** A confidence level: "95 %", "98.33 %". */
export function levelText(level: number): string {
  return `${Number((100 * level).toFixed(2))} %`;
}

/**
 * The sentence about a pair: who lands more often and by how much, or within what a difference would lie. Points are
 * percentage points.
 */
export function verdictText(pair: Pick<PairAnswers, 'first' | 'second' | 'statement'>, comparisons: number): string {
  const { first, second, statement } = pair;
  const { difference, interval, verdict, level, adjustedP } = statement;
  if (difference === null || interval === null) return `nothing can be said of ${first} and ${second}: no flight has a result by both`;
  const ahead = interval[0] > 0;
  const [better, worse] = ahead ? [first, second] : [second, first];
  const [least, most] = ahead ? interval : [-interval[1], -interval[0]];
  const size = ahead ? difference : -difference;
  const d = pointDecimals(least, most);
  const points = (share: number): string => rounded(100 * share, d);
  const by = `(${intervalName(statement)} ${points(least)} to ${points(most)})`;
  switch (verdict) {
    case 'first':
    case 'second':
      return `${better} lands ${points(size)} points more often than ${worse} ${by}`;
    case 'hint':
      return `${better} may land ${points(size)} points more often than ${worse} ${by}, but ${doubt(comparisons, adjustedP)}`;
    case 'alike':
      return `${first} and ${second} land alike within the margin: the difference lies between ${between(interval)} points (${levelText(level)})`;
    case 'open':
      return `no difference seen between ${first} and ${second}: if there is one it lies between ${between(interval)} points (${first} minus ${second}, ${levelText(level)})`;
  }
}

function doubt(comparisons: number, adjustedP: number): string {
  if (comparisons === 1) return `the exact test does not exclude luck (p ${pText(adjustedP)})`;
  return `among ${comparisons} comparisons that can be luck (p ${pText(adjustedP)} for all together)`;
}

/** "95 % interval", or "98.33 % interval valid at every look". */
function intervalName({ level, procedure }: PairAnswers['statement']): string {
  return `${levelText(level)} interval${procedure === 'fixed' ? '' : ' over all looks'}`;
}

/** "-0.4 and +0.9", in points. */
function between([low, high]: readonly [number, number]): string {
  const d = decimalsFor(50 * (high - low));
  const signed = (share: number): string => {
    const text = rounded(100 * share, d);
    return Number(text) > 0 ? `+${text}` : text;
  };
  return `${signed(low)} and ${signed(high)}`;
}

/** Decimals by the interval's width; more where an end that is not 0 would else be printed as 0. */
function pointDecimals(low: number, high: number): number {
  let d = decimalsFor(50 * (high - low));
  while (d < 6 && low !== 0 && Number((100 * low).toFixed(d)) === 0) d++;
  return d;
}

/** A p value as people read it. */
export function pText(p: number): string {
  return p < 0.0001 ? 'under 0.0001' : p.toFixed(p < 0.01 ? 4 : 2);
}

/** The plan for real attempts of each rule that would show the difference. */
export function attemptsText({ estimated, least, most }: RealAttempts): string {
  const test = `${percent(REAL_TEST.power, [0, 1])} chance to see it, ${percent(REAL_TEST.alpha, [0, 1])} to see one that is not there`;
  if (most === null) return `no number of real attempts is enough for sure: at least ${sized(least)} of each (${test})`;
  const range = `${sized(least)} to ${sized(most)}`;
  const number = estimated === null ? range : `about ${sized(estimated)} (${range} over the interval)`;
  return `to see that in real attempts: ${number} of each (${test})`;
}

/** Two digits of a number of attempts: no plan for them is better than that. */
function sized(attempts: number): string {
  return attempts >= 1e6 ? 'over a million' : count(Number(attempts.toPrecision(2)));
}
