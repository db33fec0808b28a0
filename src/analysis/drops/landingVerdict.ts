/**
 * Can the landing motor land the vehicle at all, and if not, why: impulse and thrust against what the fall brings.
 * Flies nothing.
 */

import { OUTCOMES, type Outcome } from '../../flight/outputs.ts';
import { greatest } from '../../maths/extremes.ts';
import { impulseOf } from '../../maths/thrustCurve.ts';
import { burnTimeFactor, impulseFactor } from '../../study/motorFactors.ts';
import { nominalInputs } from '../../study/nominal.ts';
import type { Study } from '../../study/study.ts';
import { heldLimits } from '../../study/touchdownLimits.ts';
import type { Drop } from './drop.ts';
import type { NominalFlights } from './nominalFlights.ts';

/** Why a landing motor can or cannot do it, on the nominal flight. */
export interface LandingVerdict {
  /** Drops whose touchdown is within the sink limit. */
  readonly soft: number;
  /** Of those, drops that stand: nothing else failed either. Where is not asked. */
  readonly stands: number;
  /** What became of the others that are soft, most frequent first. */
  readonly lost: readonly { readonly outcome: Outcome; readonly count: number }[];
  /** m/s: of all drops, and the limit. */
  readonly bestSink: number;
  readonly sinkLimit: number;
  /**
   * kg falling; N s of landing impulse; N s the fall brings to the ground unbraked; N s gravity adds while the motor
   * burns.
   */
  readonly mass: number;
  readonly impulse: number;
  readonly fallMomentum: number;
  readonly weightImpulse: number;
  /** J: of the fall at the ground. */
  readonly fallEnergy: number;
  /** N: greatest thrust and weight. */
  readonly peakThrust: number;
  readonly weight: number;
}

export function landingVerdict(study: Study, flights: NominalFlights, drops: readonly Drop[], nominal: Drop): LandingVerdict {
  const { time, thrust } = study.landing.curve;
  const inputs = nominalInputs(study);
  const factor = impulseFactor(study.landing, 'landing', inputs);
  const stretch = burnTimeFactor(study.landing, 'landing', inputs);
  const mass =
    flights.nominal('airframe.mass') + study.ascent.casingMass + study.landing.casingMass + flights.nominal('landing.propellantMass');
  const weight = mass * flights.onboard.gravity;
  const soft = drops.filter((drop) => drop.soft);
  return {
    soft: soft.length,
    stands: soft.filter(({ outcome }) => stands(outcome)).length,
    lost: OUTCOMES.map((outcome) => ({ outcome, count: soft.filter((drop) => drop.outcome === outcome).length }))
      .filter(({ outcome, count }) => count > 0 && !stands(outcome))
      .sort((a, b) => b.count - a.count),
    bestSink: Math.min(...drops.map((drop) => drop.sink)),
    sinkLimit: heldLimits(study).sink,
    mass,
    impulse: impulseOf(time, thrust) * factor,
    fallMomentum: mass * nominal.fallSpeed,
    weightImpulse: weight * (time[time.length - 1] - time[0]) * stretch,
    fallEnergy: 0.5 * mass * nominal.fallSpeed ** 2,
    peakThrust: (greatest(thrust) * factor) / stretch,
    weight,
  };
}

/** The touchdown was survived, in the field or not. */
const stands = (outcome: Outcome): boolean => outcome === 'landed' || outcome === 'outside the field';
