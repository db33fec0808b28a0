/** Counts the flights of many calls against one limit, for progress and report. */
import type { LostFlight, Progress } from '../../fleet/fleet.ts';
import type { FlyCandidate } from './searchConstants.ts';
import type { TuningFlights } from './tuningFlights.ts';

export class FlightCounter {
  flown = 0;
  readonly lost: LostFlight[] = [];
  readonly #begun = performance.now();
  readonly #limit: number;
  readonly #told: ((progress: Progress) => void) | undefined;

  constructor(limit: number, told: ((progress: Progress) => void) | undefined) {
    this.#limit = limit;
    this.#told = told;
  }

  within({ done }: Progress): void {
    const all = this.flown + done;
    // Over all calls: each of them is too short for a pace of its own.
    const rate = all / ((performance.now() - this.#begun) / 1000);
    this.#told?.({ done: all, limit: this.#limit, rate, secondsLeft: (this.#limit - all) / rate });
  }

  counting(flights: TuningFlights): FlyCandidate {
    return async (constants, first, count) => {
      const trial = await flights.fly(constants, first, count);
      if (trial === null) return null;
      this.flown += count;
      this.lost.push(...trial.lost);
      return trial;
    };
  }
}
