/** How long a run took, how fast it was and where its results are: the same lines under every command that flies. */
import type { RunFacts } from '../fleet/session.ts';
import { count, duration } from '../report/words.ts';
import { olderStay } from './options.ts';

/** @param flights of the results, some of them flown before a run went on; null where other lines say how many */
export function flownText(run: RunFacts, flights: number | null): string {
  const { seconds, threads, flightsPerSecond } = run;
  const now = flightsOf(run);
  const some = flights !== null && now < flights ? `, ${count(now)} of them now,` : '';
  const flown = flights === null ? '' : `${count(flights)} flights${some} in `;
  return `${flown}${duration(seconds)} on ${threads} thread${threads === 1 ? '' : 's'}: ${count(Math.round(flightsPerSecond))} flights/s`;
}

/** @param place where the results are   @param out where they were asked to be */
export function flownTo(place: string, out: string, run: RunFacts, flights: number | null): string[] {
  return [`${flownText(run, flights)}. Results in ${place}`, ...olderStay(place, out)];
}

/** Flights in all, from how fast they were flown. */
export function flightsOf({ seconds, flightsPerSecond }: RunFacts): number {
  return Math.round(seconds * flightsPerSecond);
}
