/** A flown flight's outputs, written in the order of the output table. Decides nothing; outcome.ts does. */
import type { FlightLoop } from './loop.ts';
import { outcomeOf } from './outcome.ts';
import { NO_RESULT_REASONS, OUTCOMES, OUTPUTS, type OutputKey } from './outputs.ts';
import type { FlightSetup } from './setup.ts';

/** What each output is read from, by its key. */
const READ: Readonly<Record<OutputKey, (loop: FlightLoop, setup: FlightSetup) => number>> = {
  outcome: (f, setup) => OUTCOMES.indexOf(outcomeOf(f, setup)),
  noResultReason: (f) => NO_RESULT_REASONS.indexOf(f.reason),
  sink: (f) => f.watch.sink,
  slide: (f) => f.watch.slide,
  tilt: (f) => f.watch.tilt,
  tiltRate: (f) => f.watch.tiltRate,
  contacts: (f) => f.watch.contacts,
  hops: (f) => f.motion.hops,
  legsLocked: (f) => f.watch.legsLocked,
  landingEast: (f) => f.watch.landingEast,
  landingNorth: (f) => f.watch.landingNorth,
  landingDistance: (f) => Math.sqrt(f.watch.landingEast ** 2 + f.watch.landingNorth ** 2),
  contactTime: (f) => f.watch.contactTime,
  flightTime: (f) => f.motion.time,
  apogee: (f) => (Number.isNaN(f.watch.apogeeTime) ? Number.NaN : f.watch.apogee),
  apogeeTime: (f) => f.watch.apogeeTime,
  believedApogee: (f) => f.computer.apogee,
  liftoffTime: (f) => f.motion.liftoffTime,
  liftoffDetectedTime: (f) => f.watch.liftoffDetectedTime,
  railExitSpeed: (f) => f.motion.railExitSpeed,
  ascentBurnoutHeight: (f) => f.motion.ascentBurnoutHeight,
  ignitionTime: (f) => f.watch.ignitionTime,
  ignitionHeight: (f) => f.watch.ignitionHeight,
  believedIgnitionHeight: (f) => f.watch.believedIgnitionHeight,
  ignitionSpeed: (f) => f.watch.ignitionSpeed,
  believedIgnitionSpeed: (f) => f.watch.believedIgnitionSpeed,
  ignitionHeightError: (f) => f.watch.believedIgnitionHeight - f.watch.ignitionHeight,
  ignitionSpeedError: (f) => f.watch.believedIgnitionSpeed - f.watch.ignitionSpeed,
  ignitionTilt: (f) => angle(f.watch.ignitionCos),
  thrustHeight: (f) => f.motion.thrustHeight,
  landingBurnoutHeight: (f) => (f.watch.contactTime < f.motion.thrustEndTime ? Number.NaN : f.motion.landingBurnoutHeight),
  impulseLeft: (f) => f.watch.impulseLeft,
  slowestSink: (f) => f.watch.slowestSink,
  tiltRising: (f) => angle(f.watch.cosRising),
  tiltFalling: (f) => angle(f.watch.cosFalling),
  tiltAscentBurn: (f) => angle(f.watch.cosAscentBurn),
  tiltLandingBurn: (f) => angle(f.watch.cosLandingBurn),
  rollRate: (f) => f.watch.rollRate,
  saturationShare: (f) => (f.computer.controlTicks === 0 ? Number.NaN : f.computer.saturatedTicks / f.computer.controlTicks),
  largestAcceleration: (f) => Math.sqrt(f.watch.largestAccelerationSquared),
  lostControlRising: (f) => Number(f.watch.lostControlRising),
  lostControlBurning: (f) => Number(f.watch.lostControlBurning),
  guardHeld: (f) => Number(f.computer.ignition.guardHeld),
  ignitionCommanded: (f) => Number(!Number.isNaN(f.watch.ignitionTime)),
  landingThrust: (f) => Number(!Number.isNaN(f.motion.thrustStartTime)),
  casingLeft: (f) => Number(!f.motion.burns.casingAboard),
  stalls: (f) => f.stalls.begun,
};

/** rad, of a watched cosine; NaN where there was none. */
function angle(cosine: number): number {
  return cosine === Number.POSITIVE_INFINITY ? Number.NaN : Math.acos(Math.min(1, Math.max(-1, cosine)));
}

const READERS = OUTPUTS.map((row) => READ[row.key]);

/** Writes OUTPUTS.length numbers to row[at..]: outcome and reason as indices, yes/no as 0 or 1, NaN for what did not happen. */
export function recordOutputs(loop: FlightLoop, setup: FlightSetup, row: Float64Array, at: number): void {
  for (let i = 0; i < READERS.length; i++) row[at + i] = READERS[i](loop, setup);
}
