/**
 * Bisection, one halving at a time: the caller asks for the middle and says on which side of the change it lies. Holds
 * no function, so that the step can use it without a closure.
 */
export class Bracket {
  /** The change lies in (low, high]. */
  low: number = 0;
  high: number = 0;

  start(low: number, high: number): void {
    this.low = low;
    this.high = high;
  }

  width(): number {
    return this.high - this.low;
  }

  middle(): number {
    return 0.5 * (this.low + this.high);
  }

  /** @param changed whether the change has happened at the middle */
  narrow(changed: boolean): void {
    if (changed) this.high = this.middle();
    else this.low = this.middle();
  }
}
