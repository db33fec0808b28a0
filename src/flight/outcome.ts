/** How a flight ended: exactly one outcome, the first in the list whose condition holds (model section 14). */
import { LEANED, LEG_GAVE_WAY, SANK, SLID, STANDS, TIPPED_OVER } from '../plant/contact/groundContact.ts';
import type { FlightLoop } from './loop.ts';
import type { Outcome } from './outputs.ts';
import type { FlightSetup } from './setup.ts';

export function outcomeOf(loop: FlightLoop, setup: FlightSetup): Outcome {
  const { watch, motion, computer, ground } = loop;
  if (loop.reason !== '') return 'no result';
  if (ground.verdict === STANDS) {
    const distance = Math.hypot(ground.landingEast, ground.landingNorth);
    return distance <= setup.allowedRadius ? 'landed' : 'outside the field';
  }
  if (watch.lostControlRising) return 'lost control going up';
  const fired = !Number.isNaN(watch.ignitionTime);
  if (!fired && computer.ignition.guardHolding) return 'held by the guard';
  if (!fired || !setup.plant.landingLights) return 'no landing thrust';
  if (watch.lostControlBurning) return 'lost control coming down';
  switch (ground.verdict) {
    case SANK: {
      const slowedBefore = watch.slowestSink <= ground.sinkLimit || ground.contacts > 1;
      return slowedBefore || ground.lastContactTime >= motion.thrustEndTime ? 'lit too high' : 'lit too low';
    }
    case SLID:
      return 'slid';
    case LEANED:
      return 'leaned';
    case LEG_GAVE_WAY:
      return 'leg gave way';
    case TIPPED_OVER:
      return 'tipped over';
  }
}
