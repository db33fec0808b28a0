/** What is watched on the way through a flight, for its record. Judges nothing. */

/** NaN until it happens. */
export class Watch {
  apogee: number = 0;
  apogeeTime: number = Number.NaN;
  /** Least cosine of the true tilt from the vertical in each part of the flight; Infinity until that part begins. */
  cosRising: number = 1;
  cosFalling: number = Number.POSITIVE_INFINITY;
  cosAscentBurn: number = 1;
  cosLandingBurn: number = Number.POSITIVE_INFINITY;
  rollRate: number = 0;
  largestAccelerationSquared: number = 0;
  slowestSink: number = Number.NaN;
  /** Of the lowest point above the ground, in the landing burn: where the descent was slowest, and where it first stopped. */
  slowestHeight: number = Number.NaN;
  stopHeight: number = Number.NaN;
  /** m/s^2 away from the ground, in the landing burn. */
  greatestDeceleration: number = 0;
  heightMiss: number = Number.NaN;
  lostControlRising: boolean = false;
  lostControlBurning: boolean = false;
  /** Turned over between ascent burnout and the start of the landing thrust, where nothing steers. */
  flipped: boolean = false;
  ignitionTime: number = Number.NaN;
  ignitionHeight: number = Number.NaN;
  ignitionSpeed: number = Number.NaN;
  ignitionCos: number = Number.POSITIVE_INFINITY;
  believedIgnitionHeight: number = Number.NaN;
  believedIgnitionSpeed: number = Number.NaN;
  liftoffDetectedTime: number = Number.NaN;
  impulseLeft: number = Number.NaN;

  /** For the next flight: everything as in a new one. */
  reset(): void {
    this.apogee = 0;
    this.apogeeTime = Number.NaN;
    this.cosRising = 1;
    this.cosFalling = Number.POSITIVE_INFINITY;
    this.cosAscentBurn = 1;
    this.cosLandingBurn = Number.POSITIVE_INFINITY;
    this.rollRate = 0;
    this.largestAccelerationSquared = 0;
    this.slowestSink = Number.NaN;
    this.slowestHeight = Number.NaN;
    this.stopHeight = Number.NaN;
    this.greatestDeceleration = 0;
    this.heightMiss = Number.NaN;
    this.lostControlRising = false;
    this.lostControlBurning = false;
    this.flipped = false;
    this.ignitionTime = Number.NaN;
    this.ignitionHeight = Number.NaN;
    this.ignitionSpeed = Number.NaN;
    this.ignitionCos = Number.POSITIVE_INFINITY;
    this.believedIgnitionHeight = Number.NaN;
    this.believedIgnitionSpeed = Number.NaN;
    this.liftoffDetectedTime = Number.NaN;
    this.impulseLeft = Number.NaN;
  }
}
