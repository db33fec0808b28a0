/**
 * What the flight computer believes as the falling vehicle passes a true height: read off an unbraked flight, between
 * ticks by a straight line.
 */
import type { FlightLoop, FlightRecorder } from '../../flight/loop.ts';

export interface Belief {
  /** m; m/s, downward; m */
  readonly height: number;
  readonly speed: number;
  readonly apogee: number;
}

export class BeliefAtHeight implements FlightRecorder {
  readonly #height: number;
  #true = Number.NaN;
  #believed = Number.NaN;
  #speed = Number.NaN;
  #found: Belief | null = null;

  /** @param height m, true */
  constructor(height: number) {
    this.#height = height;
  }

  /** null when the flight never fell past the height with its descent recognised. */
  get found(): Belief | null {
    return this.#found;
  }

  tick(loop: FlightLoop): void {
    if (this.#found !== null) return;
    const { computer, motion } = loop;
    const { height, v } = computer.navigator;
    const now = motion.height();
    if (!Number.isNaN(computer.apogee) && this.#true >= this.#height && now < this.#height) {
      const part = (this.#true - this.#height) / (this.#true - now);
      this.#found = {
        height: this.#believed + part * (height - this.#believed),
        speed: this.#speed + part * (-v[2] - this.#speed),
        apogee: computer.apogee,
      };
    }
    this.#true = now;
    this.#believed = height;
    this.#speed = -v[2];
  }

  contact(): void {
    // A height above the ground is passed before.
  }
}
