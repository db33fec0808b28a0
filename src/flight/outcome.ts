/**
 * How a flight ended: exactly one outcome, the first in the list whose condition holds (model section 14). Numbers
 * only; each is a place in the lists of outputs.ts, which has the words.
 */
import { LEANED, LEG_GAVE_WAY, SANK, SLID, STANDS } from '../plant/contact/groundContact.ts';
import type { FlightLoop } from './loop.ts';
import type { FlightParameters } from './parameters.ts';
import { FINISHED } from './reasons.ts';

/** Outcomes. */
export const NO_RESULT = 0;
export const LANDED = 1;
export const OUTSIDE = 2;
export const LOST_RISING = 3;
export const FLIPPED = 4;
export const HELD_BY_GUARD = 5;
export const NO_LANDING_THRUST = 6;
export const LOST_BURNING = 7;
export const LIT_TOO_HIGH = 8;
export const LIT_TOO_LOW = 9;
export const DID_SLIDE = 10;
export const DID_LEAN = 11;
export const LEG_FAILED = 12;
export const TIPPED = 13;

export function outcomeOf(loop: FlightLoop, p: FlightParameters): i32 {
  const watch = loop.watch;
  const ground = loop.ground;
  if (loop.reason !== FINISHED) return NO_RESULT;
  if (ground.verdict === STANDS) {
    const distance = Math.sqrt(ground.landingEast * ground.landingEast + ground.landingNorth * ground.landingNorth);
    return distance <= p.allowedRadius ? LANDED : OUTSIDE;
  }
  if (watch.lostControlRising) return LOST_RISING;
  if (watch.flipped) return FLIPPED;
  const fired = !Number.isNaN(watch.ignitionTime);
  if (!fired && loop.computer.ignition.guardHolding) return HELD_BY_GUARD;
  if (!fired || !p.plant.landingLights) return NO_LANDING_THRUST;
  if (watch.lostControlBurning) return LOST_BURNING;
  switch (ground.verdict) {
    case SANK: {
      const slowedBefore = watch.slowestSink <= ground.sinkLimit || ground.contacts > 1;
      return slowedBefore || ground.lastContactTime >= loop.motion.thrustEndTime ? LIT_TOO_HIGH : LIT_TOO_LOW;
    }
    case SLID:
      return DID_SLIDE;
    case LEANED:
      return DID_LEAN;
    case LEG_GAVE_WAY:
      return LEG_FAILED;
    default:
      return TIPPED;
  }
}
