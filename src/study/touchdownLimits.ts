/**
 * What an answer holds a touchdown against: the study's own limits, or, where touchdown is simulated and the study has
 * none, what the nominal vehicle's legs stand. Judges no flight.
 */
import { inputIndex } from '../inputs/catalogue.ts';
import { legShare } from '../plant/contact/legShare.ts';
import { survivableSink } from '../plant/contact/survivableSink.ts';
import { nominalInputs } from './nominal.ts';
import type { Study } from './study.ts';

/** m/s, m/s, rad; slide and tilt are Infinity where nothing but the touchdown itself limits them. */
export interface HeldLimits {
  readonly sink: number;
  readonly slide: number;
  readonly tilt: number;
}

export function heldLimits(study: Study): HeldLimits {
  const { sink, slide, tilt } = study.limits;
  return {
    sink: sink ?? nominalLegs(study)?.survivable ?? Number.POSITIVE_INFINITY,
    slide: slide ?? Number.POSITIVE_INFINITY,
    tilt: tilt ?? Number.POSITIVE_INFINITY,
  };
}

/** The nominal legs under the nominal vehicle as it comes down, its landing motor full: the heaviest it lands. */
export interface NominalLegs {
  /** kg, of the vehicle, and m aft of the nose tip, of its centre of mass. */
  readonly mass: number;
  readonly centre: number;
  /** Of each foot with the ground under it: N/m, N s/m. */
  readonly stiffness: number;
  readonly damping: number;
  /** N; Infinity: any. */
  readonly strength: number;
  readonly friction: number;
  /** m/s; the upright sink that they stand. */
  readonly survivable: number;
}

/** @returns null where touchdown is judged by rules */
export function nominalLegs(study: Study): NominalLegs | null {
  const { body, legs } = study.vehicle;
  if (study.touchdown.model === 'rules' || legs.stiffness === null || legs.damping === null) return null;
  const inputs = nominalInputs(study);
  const own = legs.stiffness * inputs[inputIndex('legs.stiffnessFactor')];
  const under =
    study.ground.stiffness === null ? Number.POSITIVE_INFINITY : study.ground.stiffness * inputs[inputIndex('ground.stiffnessFactor')];
  const share = legShare(own, under);
  const stiffness = share * own;
  const damping = share * share * legs.damping * inputs[inputIndex('legs.dampingFactor')];
  const strength = (legs.strength ?? Number.POSITIVE_INFINITY) * inputs[inputIndex('legs.strengthFactor')];
  const airframe = inputs[inputIndex('airframe.mass')];
  const motor = study.landing.casingMass + inputs[inputIndex('landing.propellantMass')];
  const mass = airframe + motor;
  const centre = (airframe * inputs[inputIndex('airframe.station')] + motor * study.landing.station) / mass;
  const survivable = survivableSink(mass / legs.count, stiffness, damping, strength, legs.footStation - body.length);
  return { mass, centre, stiffness, damping, strength, friction: inputs[inputIndex('ground.friction')], survivable };
}
