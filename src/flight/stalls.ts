/**
 * When the computer's loop stalls: Poisson in true time from 0, exponential durations. Knows nothing of what a stall
 * does.
 */

import { Alea, type AleaSeed } from '../maths/alea.ts';
import { log } from '../maths/elementary/logarithm.ts';

export class StallSchedule {
  /** Stalls begun up to the last time asked, one still going on among them. */
  begun: number = 0;
  /** Whether the stall of `start` has been counted. */
  private counted: boolean = false;
  private readonly stream: Alea = new Alea();
  /** Whether there are any. */
  private some: boolean = false;
  private meanGap: number = 0;
  private meanDuration: number = 0;
  private start: number = Number.POSITIVE_INFINITY;
  private end: number = Number.POSITIVE_INFINITY;

  /** @param seed of the stream they are drawn from   @param rate 1/s; 0: none ever   @param duration mean, s */
  reset(seed: AleaSeed, rate: number, duration: number): void {
    this.begun = 0;
    this.counted = false;
    this.start = Number.POSITIVE_INFINITY;
    this.end = Number.POSITIVE_INFINITY;
    this.some = rate > 0 && duration > 0;
    if (!this.some) return;
    this.stream.start(seed);
    this.meanGap = 1 / rate;
    this.meanDuration = duration;
    this.drawAfter(0);
  }

  /** Whether a tick at true time t falls into a stall; times must not decrease. */
  stalled(t: number): boolean {
    if (!this.some) return false;
    while (t >= this.end) {
      this.count();
      this.drawAfter(this.end);
    }
    if (t < this.start) return false;
    this.count();
    return true;
  }

  private count(): void {
    if (!this.counted) this.begun++;
    this.counted = true;
  }

  /** The next stall, drawn from the end of the last. */
  private drawAfter(time: number): void {
    this.counted = false;
    this.start = time - this.meanGap * log(this.stream.next());
    this.end = this.start - this.meanDuration * log(this.stream.next());
  }
}
