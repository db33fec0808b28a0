/** Thrust, mass flow and mass properties at one instant (model section 2). Knows no air and no attitude. */
import { impulseIn, thrustIn } from '../maths/thrustCurve.ts';
import type { PlantParameters, TrueMotor } from './parameters.ts';
import type { Load } from './state.ts';

/** Where the two burns stand: the piece of each curve that holds, and what is still aboard. */
export class Burns {
  ascentStart: number = 0;
  /** Infinity until the landing motor is lit. */
  landingStart: number = Number.POSITIVE_INFINITY;
  ascentPiece: i32 = -1;
  landingPiece: i32 = -1;
  /** False once the spent ascent casing has left. */
  casingAboard: boolean = true;
}

/** kg of propellant left: in proportion to the impulse still to come, whatever the impulse factor. */
function propellantLeft(motor: TrueMotor, piece: i32, curveTime: number): number {
  return motor.propellantMass * (1 - impulseIn(motor.curve, piece, curveTime) / motor.curve.total);
}

/**
 * Writes thrusts, mass flows, mass, centre of mass and inertias at `time` into `load`.
 * Motor parts are solid cylinders about the motor's middle; inertias are about the vehicle's centre of mass.
 */
export function loadAt(load: Load, p: PlantParameters, burns: Burns, time: number): void {
  const a = p.ascent;
  const l = p.landing;
  let thrustA: number = 0;
  let flowA: number = 0;
  let massA: number = 0;
  if (burns.casingAboard) {
    const curveTime = (time - burns.ascentStart) / a.burnTimeFactor;
    const f0 = thrustIn(a.curve, burns.ascentPiece, curveTime);
    thrustA = a.thrustScale * f0;
    flowA = (a.propellantMass * f0) / (a.burnTimeFactor * a.curve.total);
    massA = a.casingMass + propellantLeft(a, burns.ascentPiece, curveTime);
  }
  let thrustL: number = 0;
  let flowL: number = 0;
  let massL = l.casingMass + l.propellantMass;
  if (burns.landingPiece >= 0) {
    const curveTime = (time - burns.landingStart) / l.burnTimeFactor;
    const f0 = thrustIn(l.curve, burns.landingPiece, curveTime);
    thrustL = l.thrustScale * f0;
    flowL = (l.propellantMass * f0) / (l.burnTimeFactor * l.curve.total);
    massL = l.casingMass + propellantLeft(l, burns.landingPiece, curveTime);
  }
  const m0 = p.airframeMass;
  const x0 = p.airframeStation;
  const mass = m0 + massA + massL;
  const xcg = (m0 * x0 + massA * a.station + massL * l.station) / mass;
  const b0 = x0 - xcg;
  const bA = a.station - xcg;
  const bL = l.station - xcg;
  load.ascentThrust = thrustA;
  load.landingThrust = thrustL;
  load.ascentFlow = flowA;
  load.landingFlow = flowL;
  load.mass = mass;
  load.xcg = xcg;
  load.inertiaAxial = p.airframeInertiaAxial + massA * a.gyrationAxial + massL * l.gyrationAxial;
  load.inertiaTransverse =
    p.airframeInertiaTransverse + m0 * b0 * b0 + massA * (a.gyrationTransverse + bA * bA) + massL * (l.gyrationTransverse + bL * bL);
}
