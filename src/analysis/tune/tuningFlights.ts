/**
 * Flights of one rule with any constants, all candidates on the same luck: flight i has the same inputs and noise
 * whatever the constants.
 */

import { quantileSorted } from 'd3-array';
import type { LostFlight } from '../../fleet/fleet.ts';
import type { Session } from '../../fleet/session.ts';
import { flightsOf } from '../../fleet/work.ts';
import type { SamplerPlan } from '../../sampling/sampler.ts';
import type { Study } from '../../study/study.ts';
import { collectFlights } from '../flights/collectFlights.ts';
import { column, countOutcomes, type FlightColumns, outcomeIndex } from '../flights/flightColumns.ts';

/** What makes constants good: landings, or a soft `quantile` of the touchdown speeds. */
export type Aim = { readonly kind: 'landed' } | { readonly kind: 'sink'; readonly quantile: number };

/** Flights of one candidate, in order; numbers start with `first`. */
export interface Trial {
  readonly constants: Readonly<Record<string, number>>;
  readonly first: number;
  readonly flights: FlightColumns;
  readonly count: number;
  readonly landed: number;
  readonly fired: number;
  readonly lost: readonly LostFlight[];
}

const KEYS = ['sink', 'ignitionCommanded'] as const;

/** Candidate constants, flights first .. first + count - 1; null when interrupted. */
export type FlyCandidate = (constants: Readonly<Record<string, number>>, first: number, count: number) => Promise<Trial | null>;

/**
 * Flies candidates of one rule on luck of their own. Draws independently whatever the study's design, so that any
 * stretch of flights is a sample by itself.
 * @param seed of all streams of these flights   @param decides what is found decides which candidate flies next
 */
export function candidatesOf(session: Session, study: Study, rule: string, seed: string, decides: boolean): FlyCandidate {
  const own: Study = { ...study, seed, design: 'independent' };
  const plan: SamplerPlan = { kind: 'study', flights: Number.MAX_SAFE_INTEGER };
  return async (constants, first, count) => {
    const flown = await collectFlights(session, flightsOf(own, { rule, constants, plan }), first, count, KEYS, decides);
    return flown === null ? null : trialOf(constants, first, flown.flights, flown.lost);
  };
}

function trialOf(constants: Readonly<Record<string, number>>, first: number, flights: FlightColumns, lost: readonly LostFlight[]): Trial {
  const landed = countOutcomes(flights.outcome)[outcomeIndex('landed')];
  const fired = column(flights, 'ignitionCommanded').reduce((sum, value) => sum + (value === 1 ? 1 : 0), 0);
  return { constants, first, flights, count: flights.outcome.length, landed, fired, lost };
}

/** The trial's first flights, as if no more had been flown. */
export function firstFlights(trial: Trial, count: number): Trial {
  const { outcome, number, columns } = trial.flights;
  const cut = {
    outcome: outcome.subarray(0, count),
    number: number.subarray(0, count),
    columns: Object.fromEntries(Object.entries(columns).map(([key, values]) => [key, values.subarray(0, count)])),
  };
  const { constants, first, lost } = trial;
  return trialOf(
    constants,
    first,
    cut,
    lost.filter(({ flight }) => flight < first + count),
  );
}

/**
 * m/s: sample quantile of the touchdown speeds over all flights; one that never touched or has no result counts as the
 * hardest.
 */
export function sinkQuantile(trial: Trial, share: number): number {
  const speeds = Float64Array.from(column(trial.flights, 'sink'), (speed) => (Number.isNaN(speed) ? Number.MAX_VALUE : speed)).sort();
  const value = quantileSorted(speeds as ArrayLike<number> as number[], share);
  if (value === undefined) throw new RangeError('a quantile needs flights');
  return value;
}
