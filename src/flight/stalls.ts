/**
 * When the computer's loop stalls: Poisson in true time from 0, exponential durations. Knows nothing of what a stall
 * does.
 */
import type { Stream } from '../maths/streams.ts';

export class StallSchedule {
  /** Stalls begun up to the last time asked, one still going on among them. */
  begun = 0;
  /** Whether the stall of #start has been counted. */
  #counted = false;
  #stream: Stream | null = null;
  #meanGap = 0;
  #meanDuration = 0;
  #start = Number.POSITIVE_INFINITY;
  #end = Number.POSITIVE_INFINITY;

  /** @param stream null: none ever   @param rate 1/s; 0: none ever   @param duration mean, s */
  reset(stream: Stream | null, rate: number, duration: number): void {
    this.begun = 0;
    this.#counted = false;
    this.#start = Number.POSITIVE_INFINITY;
    this.#end = Number.POSITIVE_INFINITY;
    this.#stream = rate > 0 && duration > 0 ? stream : null;
    if (this.#stream === null) return;
    this.#meanGap = 1 / rate;
    this.#meanDuration = duration;
    this.#drawAfter(this.#stream, 0);
  }

  /** Whether a tick at true time t falls into a stall; times must not decrease. */
  stalled(t: number): boolean {
    const stream = this.#stream;
    if (stream === null) return false;
    while (t >= this.#end) {
      this.#count();
      this.#drawAfter(stream, this.#end);
    }
    if (t < this.#start) return false;
    this.#count();
    return true;
  }

  #count(): void {
    if (!this.#counted) this.begun++;
    this.#counted = true;
  }

  /** The next stall, drawn from the end of the last. */
  #drawAfter(stream: Stream, time: number): void {
    this.#counted = false;
    this.#start = time - this.#meanGap * Math.log(stream());
    this.#end = this.#start - this.#meanDuration * Math.log(stream());
  }
}
