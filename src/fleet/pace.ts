/** How fast flights are coming in, smoothed for a progress line. Holds no clock: times are handed in, in seconds. */

/** Seconds over which older arrivals fade by a factor e. */
const MEMORY = 5;

export class Pace {
  #last: number;
  #flights = 0;
  #time = 0;

  constructor(now: number) {
    this.#last = now;
  }

  /**
   * Flights and the time they took fade together, so the rate is unbiased from the first arrival on, also when flights
   * arrive in bursts.
   */
  arrived(count: number, now: number): void {
    // A clock that is set back makes no rate of less than nothing.
    const dt = Math.max(0, now - this.#last);
    const fade = Math.exp(-dt / MEMORY);
    this.#flights = this.#flights * fade + count;
    this.#time = this.#time * fade + dt;
    this.#last = now;
  }

  /** Flights per second; 0 before any arrival. */
  get rate(): number {
    return this.#time > 0 ? this.#flights / this.#time : 0;
  }
}
