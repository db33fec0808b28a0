/** What a logbook taught, as lines that the terminal and the page share. Computes nothing. */
import type { Learning } from '../analysis/learn/learning.ts';
import type { Range } from '../analysis/learn/narrowed.ts';
import type { LandingOdds, NextAttempt } from '../analysis/learn/nextAttempt.ts';
import type { SeenSurprise } from '../analysis/learn/surprise.ts';
import { count, percent, percentInterval, plain, shown } from './words.ts';

/** "34.0 % (28.4 to 40.1 %)". */
export function landingWords({ share, interval }: LandingOdds): string {
  return `${percent(share, interval)} (${percentInterval(interval)})`;
}

/** Middle and 5 to 95 %, in the unit shown. */
export function rangeWords(range: Range | null, unit: string): string {
  if (range === null) return 'a direction';
  const { factor } = shown(unit);
  const [low, middle, high] = range.map((value) => plain(value * factor));
  return `${middle} (${low} to ${high})`;
}

/** What the study foretold of an observation. */
export function foretoldWords({ foretold, happened, unit }: SeenSurprise): string {
  return foretold === null ? `in ${percent(happened, null)} of flights` : `${rangeWords(foretold, unit)} ${shown(unit).unit}`;
}

export function surpriseWords({ surprise, attempts }: Learning): string[] {
  const surprises = surprise.observations.filter((one) => one.surprising);
  const { share, interval } = surprise.joint;
  return [
    `as far out: share of ${count(surprise.flights)} flights of the study, under that attempt’s settings, at least as far to either side; of all: adjusted for ${surprise.observations.length} observations (Holm)`,
    `all together: ${percent(share, interval)} (${percentInterval(interval)}) of simulated logbooks of ${attempts.length} attempt${attempts.length === 1 ? '' : 's'} are farther out`,
    ...surprises.map(oneSurprise),
    ...(surprises.length === 0 ? ['nothing that the study, as spread, would hardly ever do'] : []),
  ];
}

function oneSurprise({ key, attempt, culprits }: SeenSurprise): string {
  const why =
    culprits.length === 0
      ? ''
      : ` Likeliest, together: ${culprits.map(({ input, sds }) => `${input} ${plain(Math.abs(sds))} sd ${sds > 0 ? 'high' : 'low'}`).join(', ')}.`;
  return `seen of ${key} in ${attempt}: the study, as spread, hardly ever does that: the model, a spread or the entry is wrong.${why}`;
}

export function settledWords({ agreement, runs, particles }: Learning): string[] {
  const { typical, expected, largest, bound, settled } = agreement;
  const moved = runs.map(
    (run, i) =>
      `run ${i + 1}: ${count(run.distinct)} of ${count(particles / runs.length)} differ, ${run.stops} stops, ${percent(run.accepted, null)} of moves accepted at the end`,
  );
  return [
    `${settled ? 'yes' : 'NO'}: two runs from different seeds differ by ${plain(typical)} of the spread that is left, on the whole; their own noise lets expect ${plain(expected)}, and up to 0.5 will do`,
    `no input differs by more than ${plain(largest)} times its noise, itself no less than the runs differ by on the whole; below ${plain(bound)} that is chance`,
    ...moved,
    ...(settled ? [] : ['do not act on what follows: learn again with more --particles, or with larger errors where they were optimistic']),
  ];
}

export function nextWords({ rule, before, after, change }: NextAttempt): string[] {
  const lines = [`by rule ${rule} it lands with ${landingWords(after)}; before the logbook that was ${landingWords(before)}`];
  if (change === null) return [...lines, 'no other lighting height did better'];
  const { constant, proposed, now, shift, gain, interval } = change;
  const sure = interval[0] > 0;
  return [
    ...lines,
    `lighting ${plain(Math.abs(shift))} m ${shift > 0 ? 'higher' : 'lower'} (${constant} ${plain(proposed)} in place of ${plain(now)}): ${landingWords(change.odds)}, a difference of ${percent(gain, interval)} (${percentInterval(interval)}) on the same luck${sure ? '' : ', which may be chance'}`,
  ];
}

export interface GrownRow {
  /** Attempts known. */
  readonly known: number;
  /** Name of the last of them; null before any. */
  readonly attempt: string | null;
  readonly odds: LandingOdds;
}

/** The odds of the next attempt as the logbook grew, from none of its attempts to all. */
export function grownRows({ attempts, next }: Learning): GrownRow[] {
  return [next.before, ...next.grown, next.after].map((odds, known) => ({
    known,
    attempt: known === 0 ? null : attempts[known - 1],
    odds,
  }));
}

export const GROWN_HOW =
  'each row: the same next attempt with today’s constants and the same fresh luck, flown from particles that know the attempts up to there and no later one; 95 % intervals, each for itself';

/** Shift of the middle in sds of before, with twice its noise. */
export function shiftWords({ shift, noise }: Learning['narrowed'][number]): string {
  return `${shift >= 0 ? '+' : '−'}${Math.abs(shift).toFixed(2)} ± ${(2 * noise).toFixed(2)}`;
}

/** @param name how a key is called where these words stand */
export function hardlyWords({ hardly }: Learning, name: (key: string) => string): string[] {
  return hardly.length === 0 ? [] : [`hardly moved, so nothing was learnt of them: ${hardly.map(name).join(', ')}`];
}
