/** Two sets of constants on the same flights: how they pair off by what is aimed at. Flies nothing. */

import { mcnemar, type PairCounts, pairedDifference } from '../../statistics/proportions/paired.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import { column, hasResult, outcomeIndex } from '../flights/flightColumns.ts';
import { LEVEL } from '../fly/summary.ts';
import { type Aim, sinkQuantile, type Trial } from './tuningFlights.ts';

/** What counts as good for one flight. */
export type Good =
  | { readonly kind: 'landed' }
  /** A touchdown no harder than this, m/s. */
  | { readonly kind: 'sink'; readonly most: number };

/**
 * Landings; or touchdowns softer than the aimed-at quantile of a trial, which must be of other flights than those
 * judged by it.
 */
export function goodFor(aim: Aim, trial: Trial): Good {
  return aim.kind === 'landed' ? aim : { kind: 'sink', most: sinkQuantile(trial, aim.quantile) };
}

export interface TuningPair {
  readonly counts: PairCounts;
  /** Flights without a result by either: in no count. */
  readonly noResult: number;
  /** First minus second, in shares; null without a pair. */
  readonly difference: number | null;
  readonly interval: Interval | null;
  /** McNemar's exact test; 1 without a pair that differs. */
  readonly p: number;
}

/** Pairs off as many flights as both have. @throws Error when the trials are of other flights (our fault) */
export function pairTrials(first: Trial, second: Trial, good: Good): TuningPair {
  if (first.first !== second.first) throw new Error(`trials from flights ${first.first} and ${second.first} are no pairs`);
  const counts = { both: 0, firstOnly: 0, secondOnly: 0, neither: 0 };
  let noResult = 0;
  const [a, b] = [judge(first, good), judge(second, good)];
  for (let i = 0; i < Math.min(first.count, second.count); i++) {
    if (!hasResult(first.flights, i) || !hasResult(second.flights, i)) noResult++;
    else if (a(i)) counts[b(i) ? 'both' : 'firstOnly']++;
    else counts[b(i) ? 'secondOnly' : 'neither']++;
  }
  const any = counts.both + counts.firstOnly + counts.secondOnly + counts.neither > 0;
  return { counts, noResult, ...(any ? pairedDifference(counts, LEVEL) : { difference: null, interval: null }), p: mcnemar(counts).exact };
}

/** Good flights, and flights with a result. */
export function countGood(trial: Trial, good: Good): { readonly good: number; readonly counted: number } {
  const isGood = judge(trial, good);
  let [hits, counted] = [0, 0];
  for (let i = 0; i < trial.count; i++) {
    if (!hasResult(trial.flights, i)) continue;
    counted++;
    if (isGood(i)) hits++;
  }
  return { good: hits, counted };
}

function judge(trial: Trial, good: Good): (i: number) => boolean {
  if (good.kind === 'landed') {
    const landed = outcomeIndex('landed');
    return (i) => trial.flights.outcome[i] === landed;
  }
  const sink = column(trial.flights, 'sink');
  return (i) => sink[i] <= good.most;
}
