/** What the page says of the flights chosen, and of one flight. */
import { count, percent, percentInterval } from '../words.ts';
import { exactShareInterval } from './exactShare.ts';
import type { Flights } from './flights.ts';
import type { PageData } from './pageData.ts';

/** Of every interval in the page. */
const LEVEL = 0.95;

/** A flight's numbers, in the units people use. */
const DETAILS: readonly (readonly [key: string, name: string, factor: number, unit: string])[] = [
  ['sink', 'sink', 1, 'm/s'],
  ['slide', 'slide', 1, 'm/s'],
  ['tilt', 'tilt', 180 / Math.PI, 'deg'],
  ['landingEast', 'east', 1, 'm'],
  ['landingNorth', 'north', 1, 'm'],
  ['ignitionHeightError', 'height error at ignition', 1, 'm'],
  ['apogee', 'apogee', 1, 'm'],
];

/** How many are chosen, and how many of them landed. */
export function chosenWords(flights: Flights, chosen: Uint8Array, { landed, noResult }: Pick<PageData, 'landed' | 'noResult'>): string {
  let [n, counted, good] = [0, 0, 0];
  chosen.forEach((is, i) => {
    if (is === 0) return;
    n++;
    if (flights.outcome[i] !== noResult) counted++;
    if (flights.outcome[i] === landed) good++;
  });
  const all = flights.count === flights.flown;
  const whole = all
    ? `${count(n)} of ${count(flights.count)} flights chosen`
    : `${count(n)} flights chosen of the ${count(flights.count)} (of ${count(flights.flown)} flown) that this page holds`;
  const none = n > counted ? `, ${count(n - counted)} without a result` : '';
  if (counted === 0) return `${whole}${none}.`;
  const interval = exactShareInterval(good, counted, LEVEL);
  return `${whole}${none}; ${count(good)} of them landed: ${percent(good / counted, interval)} (95 % interval by Clopper and Pearson ${percentInterval(interval)}).`;
}

export function flightWords(flights: Flights, row: number, outcomes: readonly string[]): string {
  const parts = DETAILS.flatMap(([key, name, factor, unit]) => {
    const value = flights.column(key)[row] * factor;
    return Number.isFinite(value) ? [`${name} ${value.toFixed(2)} ${unit}`] : [];
  });
  return `Flight ${flights.numbers[row]}: ${outcomes[flights.outcome[row]]}${parts.length > 0 ? `; ${parts.join(', ')}` : ''}.`;
}
