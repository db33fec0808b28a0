/** A flown flight's outputs: one field a row of the output table, by its key. Decides nothing; outcome.ts does. */
import { acos, atan2 } from '../maths/elementary/arc.ts';
import type { FlightLoop } from './loop.ts';
import { outcomeOf } from './outcome.ts';
import type { FlightParameters } from './parameters.ts';

/** Outcome and reason as places in their lists, yes and no as 1 and 0, NaN for what did not happen. */
export class FlightRecord {
  outcome: number = 0;
  noResultReason: number = 0;
  sink: number = 0;
  slide: number = 0;
  tilt: number = 0;
  tiltRate: number = 0;
  contacts: number = 0;
  hops: number = 0;
  legsLocked: number = 0;
  landingEast: number = 0;
  landingNorth: number = 0;
  landingDistance: number = 0;
  contactTime: number = 0;
  flightTime: number = 0;
  believedFinalHeight: number = 0;
  believedFinalSpeed: number = 0;
  apogee: number = 0;
  apogeeTime: number = 0;
  believedApogee: number = 0;
  liftoffTime: number = 0;
  liftoffDetectedTime: number = 0;
  railExitSpeed: number = 0;
  ascentBurnoutHeight: number = 0;
  ignitionTime: number = 0;
  ignitionHeight: number = 0;
  believedIgnitionHeight: number = 0;
  ignitionSpeed: number = 0;
  believedIgnitionSpeed: number = 0;
  ignitionHeightError: number = 0;
  ignitionSpeedError: number = 0;
  ignitionTilt: number = 0;
  thrustHeight: number = 0;
  landingBurnoutHeight: number = 0;
  impulseLeft: number = 0;
  slowestSink: number = 0;
  heightMiss: number = 0;
  tiltRising: number = 0;
  tiltFalling: number = 0;
  tiltAscentBurn: number = 0;
  tiltLandingBurn: number = 0;
  rollRate: number = 0;
  saturationShare: number = 0;
  largestAcceleration: number = 0;
  lostControlRising: number = 0;
  lostControlBurning: number = 0;
  guardHeld: number = 0;
  ignitionCommanded: number = 0;
  landingThrust: number = 0;
  casingLeft: number = 0;
  stalls: number = 0;
  peakFootForce: number = 0;
  peakSpecificForce: number = 0;
  slidPath: number = 0;
  greatestLean: number = 0;
  rebounds: number = 0;
}

/** Fills in the record of the flight that the loop has just flown. */
export function writeRecord(r: FlightRecord, loop: FlightLoop, p: FlightParameters): void {
  const watch = loop.watch;
  const motion = loop.motion;
  const ground = loop.ground;
  const computer = loop.computer;
  r.outcome = outcomeOf(loop, p);
  r.noResultReason = loop.reason;
  r.sink = ground.sink;
  r.slide = ground.slide;
  r.tilt = ground.tilt;
  r.tiltRate = ground.tiltRate;
  r.contacts = ground.contacts;
  r.hops = motion.hops;
  r.legsLocked = ground.legsLocked;
  r.landingEast = ground.landingEast;
  r.landingNorth = ground.landingNorth;
  r.landingDistance = Math.sqrt(ground.landingEast * ground.landingEast + ground.landingNorth * ground.landingNorth);
  r.contactTime = ground.contactTime;
  r.flightTime = motion.time;
  r.believedFinalHeight = computer.navigator.height;
  r.believedFinalSpeed = -computer.navigator.v[2];
  r.apogee = Number.isNaN(watch.apogeeTime) ? Number.NaN : watch.apogee;
  r.apogeeTime = watch.apogeeTime;
  r.believedApogee = computer.apogee;
  r.liftoffTime = motion.liftoffTime;
  r.liftoffDetectedTime = watch.liftoffDetectedTime;
  r.railExitSpeed = motion.railExitSpeed;
  r.ascentBurnoutHeight = motion.ascentBurnoutHeight;
  r.ignitionTime = watch.ignitionTime;
  r.ignitionHeight = watch.ignitionHeight;
  r.believedIgnitionHeight = watch.believedIgnitionHeight;
  r.ignitionSpeed = watch.ignitionSpeed;
  r.believedIgnitionSpeed = watch.believedIgnitionSpeed;
  r.ignitionHeightError = watch.believedIgnitionHeight - watch.ignitionHeight;
  r.ignitionSpeedError = watch.believedIgnitionSpeed - watch.ignitionSpeed;
  r.ignitionTilt = angle(watch.ignitionCos);
  r.thrustHeight = motion.thrustHeight;
  r.landingBurnoutHeight = ground.contactTime < motion.thrustEndTime ? Number.NaN : motion.landingBurnoutHeight;
  r.impulseLeft = watch.impulseLeft;
  r.slowestSink = watch.slowestSink;
  r.heightMiss = watch.heightMiss;
  r.tiltRising = angle(watch.cosRising);
  r.tiltFalling = angle(watch.cosFalling);
  r.tiltAscentBurn = angle(watch.cosAscentBurn);
  r.tiltLandingBurn = angle(watch.cosLandingBurn);
  r.rollRate = watch.rollRate;
  r.saturationShare = computer.controlTicks === 0 ? Number.NaN : computer.saturatedTicks / computer.controlTicks;
  r.largestAcceleration = Math.sqrt(watch.largestAccelerationSquared);
  r.lostControlRising = yes(watch.lostControlRising);
  r.lostControlBurning = yes(watch.lostControlBurning);
  r.guardHeld = yes(computer.ignition.guardHeld);
  r.ignitionCommanded = yes(!Number.isNaN(watch.ignitionTime));
  r.landingThrust = yes(!Number.isNaN(motion.thrustStartTime));
  r.casingLeft = yes(!motion.burns.casingAboard);
  r.stalls = loop.stalls.begun;
  r.peakFootForce = ground.peakFootForce;
  r.peakSpecificForce = ground.peakSpecificForce;
  r.slidPath = ground.slidPath;
  r.greatestLean = atan2(ground.leanSin, ground.leanCos);
  r.rebounds = ground.rebounds;
}

/** rad, of a watched cosine; NaN where there was none. */
function angle(cosine: number): number {
  return cosine === Number.POSITIVE_INFINITY ? Number.NaN : acos(cosine);
}

function yes(so: boolean): number {
  return so ? 1 : 0;
}
