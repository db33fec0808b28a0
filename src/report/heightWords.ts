/** Lighting heights in words: constants that look stale, and how a rule was retuned. Computes nothing. */
import type { HeightMiss } from '../analysis/shift/heightMiss.ts';
import type { HeightShift } from '../analysis/shift/retune.ts';
import { count, rounded, withInterval } from './words.ts';

/**
 * The warning about a rule whose constants look stale; empty where they do not.
 * @param remedy what to do about it, as it follows a semicolon
 */
export function staleWords(rule: string, miss: HeightMiss | null, remedy: string): string[] {
  if (miss === null || !miss.stale) return [];
  const { median, interval, spread } = miss;
  const way = median < 0 ? 'low' : 'high';
  return [
    `constants of ${rule} look stale by about ${withInterval(median, interval)} m: it lights too ${way}, by the median of ${count(miss.flights)} flights against a spread of ${rounded(spread, 1)} m; ${remedy}`,
  ];
}

/** How a rule was retuned, one line each. */
export function retunedWords(shift: HeightShift): string[] {
  const { rule, constant, from, to, flights, nominalFlights, flat, onEdge, fittedTo } = shift;
  const moved = shift.shift < 0 ? 'lower' : 'higher';
  const by = rounded(Math.abs(shift.shift), 2);
  const { interval } = shift;
  const lines = [
    `${rule} lights ${by} m ${moved} than programmed: ${constant} ${rounded(from, 2)} to ${rounded(to, 2)} m; 95 % interval of the best shift ${rounded(interval[0], 1)} to ${rounded(interval[1], 1)} m`,
    `  shifts from ${rounded(flat[0], 1)} to ${rounded(flat[1], 1)} m are not shown to be worse; found by ${fittedTo} of ${count(flights)} flights on other luck and ${count(nominalFlights)} nominal ones`,
  ];
  if (onEdge) lines.push('  the best shift lies on the edge of what was searched: it may go on; alight tune searches farther');
  return lines;
}
