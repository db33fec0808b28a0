/** The sentence that says what is worth measuring before the next flight: true whatever the numbers. Computes nothing. */
import type { Rival } from './rivals.ts';

const number = (x: number): string => `${Number(x.toPrecision(2))}`;

/** @param held most attempts saved first */
export function holdsFinding(held: readonly Rival[]): string {
  if (held.length === 0) return 'Nothing that stays could be held, so nothing can be said of what to measure first.';
  const better = held.filter(({ verdict }) => verdict === 'fewer');
  if (better.length === 0) {
    return `Measuring what stays was not told to save attempts, whatever is measured, by ${held[0].pairs} campaigns on the same luck.`;
  }
  const [first, ...others] = better;
  const { value, interval } = first.saved;
  const rest = others.length === 0 ? '' : `; ${others.map(({ name }) => name).join(', ')} save${others.length === 1 ? 's' : ''} some too`;
  return `Measure and correct ${first.name} before you fly: without what of it stays, a first landing takes ${number(value)} (${number(interval[0])} to ${number(interval[1])}) attempts fewer${rest}.`;
}
