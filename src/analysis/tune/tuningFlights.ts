/** Flights of one rule with any constants, all candidates on the same luck: flight i has the same inputs and noise whatever the constants. */

import { quantileSorted } from 'd3-array';
import { Fleet, type LostFlight, type Progress } from '../../fleet/fleet.ts';
import type { Variation } from '../../flight/flightMaker.ts';
import { CATALOGUE } from '../../inputs/catalogue.ts';
import { makeSampler, type SamplerPlan } from '../../sampling/sampler.ts';
import type { Study } from '../../study/study.ts';
import { Collector } from '../flights/collector.ts';
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

export interface TuningFlightsOptions {
  readonly rule: string;
  /** Seed of all streams of these flights. */
  readonly seed: string;
  readonly threads?: number;
  readonly chunk?: number;
  readonly stopSignal: AbortSignal;
  /** Told of the flights of a call as they come. */
  readonly onProgress: (progress: Progress) => void;
}

const KEYS = ['sink', 'ignitionCommanded'] as const;

export class TuningFlights {
  readonly threads: number;
  readonly #fleet: Fleet;
  readonly #options: TuningFlightsOptions;
  readonly #plan: SamplerPlan = { kind: 'study', flights: Number.MAX_SAFE_INTEGER };
  readonly #blankRow: (flight: number, row: Float64Array) => void;

  /** Draws independently whatever the study's design, so that any stretch of flights is a sample by itself. */
  constructor(study: Study, options: TuningFlightsOptions) {
    const own: Study = { ...study, seed: options.seed, design: 'independent' };
    this.#options = options;
    this.#fleet = new Fleet({
      study: own,
      ...(options.threads === undefined ? {} : { threads: options.threads }),
      ...(options.chunk === undefined ? {} : { chunk: options.chunk }),
    });
    this.threads = this.#fleet.threads;
    const sampler = makeSampler(own, this.#plan);
    const inputs = new Float64Array(CATALOGUE.length);
    this.#blankRow = (flight, row) => {
      sampler.draw(flight, inputs);
      row.set(inputs);
    };
  }

  /** @returns null when interrupted before all were flown */
  async fly(constants: Readonly<Record<string, number>>, first: number, count: number): Promise<Trial | null> {
    const variation: Variation = { rule: this.#options.rule, constants, plan: this.#plan };
    const collector = new Collector(KEYS);
    const report = await this.#fleet.fly({
      variation,
      first,
      stop: { limit: count, checkEvery: null, enough: () => false },
      onBatch: (batch) => collector.add(batch),
      onProgress: this.#options.onProgress,
      blankRow: this.#blankRow,
      stopSignal: this.#options.stopSignal,
    });
    if (report.stoppedBy === 'interrupted') return null;
    return trialOf(constants, first, collector.flights(), report.lost);
  }

  close(): Promise<void> {
    return this.#fleet.close();
  }
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

/** m/s: sample quantile of the touchdown speeds over all flights; one that never touched or has no result counts as the hardest. */
export function sinkQuantile(trial: Trial, share: number): number {
  const speeds = Float64Array.from(column(trial.flights, 'sink'), (speed) => (Number.isNaN(speed) ? Number.MAX_VALUE : speed)).sort();
  const value = quantileSorted(speeds as ArrayLike<number> as number[], share);
  if (value === undefined) throw new RangeError('a quantile needs flights');
  return value;
}
