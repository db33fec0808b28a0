/** Flights of one rule under several sampler plans, over one set of threads: for questions that fly a study with something changed. */
import { Fleet, type LostFlight, type Progress } from '../../fleet/fleet.ts';
import type { Variation } from '../../flight/flightMaker.ts';
import { CATALOGUE } from '../../inputs/catalogue.ts';
import { makeSampler, type SamplerPlan } from '../../sampling/sampler.ts';
import type { Study } from '../../study/study.ts';
import { Collector } from './collector.ts';
import type { FlightColumns, FlightKey } from './flightColumns.ts';

export interface VariedFlightsOptions {
  readonly threads?: number;
  readonly chunk?: number;
  readonly stopSignal?: AbortSignal;
  /** Told of all flights together; the limit may grow when more are announced. */
  readonly onProgress?: (progress: Progress) => void;
}

export interface LostInPlan extends LostFlight {
  readonly plan: string;
}

export class VariedFlights {
  readonly threads: number;
  readonly lost: LostInPlan[] = [];
  readonly #study: Study;
  readonly #rule: string;
  readonly #fleet: Fleet;
  readonly #options: VariedFlightsOptions;
  readonly #variations = new Map<SamplerPlan, Variation>();
  readonly #stopSignal: AbortSignal;
  #announced = 0;
  #flown = 0;
  #seconds = 0;

  /** @param rule name of one of the study's rules */
  constructor(study: Study, rule: string, options: VariedFlightsOptions) {
    this.#study = study;
    this.#rule = rule;
    this.#options = options;
    this.#stopSignal = options.stopSignal ?? new AbortController().signal;
    this.#fleet = new Fleet({
      study,
      ...(options.threads === undefined ? {} : { threads: options.threads }),
      ...(options.chunk === undefined ? {} : { chunk: options.chunk }),
    });
    this.threads = this.#fleet.threads;
  }

  get flown(): number {
    return this.#flown;
  }

  get seconds(): number {
    return this.#seconds;
  }

  /** Says that so many flights are to come, for the progress shown. */
  announce(flights: number): void {
    this.#announced += flights;
  }

  /**
   * Flies `count` flights from number `first`. The same plan object is prepared once.
   * @param name of the plan, for the list of flights lost   @param keys inputs and outputs to keep beside the outcome
   * @returns null when interrupted before all were flown
   */
  async fly(name: string, plan: SamplerPlan, first: number, count: number, keys: readonly FlightKey[]): Promise<FlightColumns | null> {
    let variation = this.#variations.get(plan);
    if (variation === undefined) {
      variation = { rule: this.#rule, plan };
      this.#variations.set(plan, variation);
    }
    const collector = new Collector(keys);
    const before = this.#flown;
    const report = await this.#fleet.fly({
      variation,
      first,
      stop: { limit: count, checkEvery: null, enough: () => false },
      onBatch: (batch) => collector.add(batch),
      onProgress: ({ done, rate }) => {
        const limit = this.#announced;
        this.#options.onProgress?.({ done: before + done, limit, rate, secondsLeft: (limit - before - done) / rate });
      },
      blankRow: (flight, row) => {
        const inputs = new Float64Array(CATALOGUE.length);
        makeSampler(this.#study, plan).draw(flight, inputs);
        row.set(inputs);
      },
      stopSignal: this.#stopSignal,
    });
    this.#flown += report.flown;
    this.#seconds += report.seconds;
    this.lost.push(...report.lost.map((flight) => ({ plan: name, ...flight })));
    return report.stoppedBy === 'interrupted' ? null : collector.flights();
  }

  close(): Promise<void> {
    return this.#fleet.close();
  }
}
