/**
 * How air and thrust turn the vehicle at one instant: centre of pressure, the slopes of the moment by attitude, rate
 * and gimbal. All by differences of the model's own forces (plant/rates.ts), so that nothing is written twice. Flies
 * nothing.
 */
import type { PlantParameters } from '../../plant/parameters.ts';
import { FREE, rates } from '../../plant/rates.ts';
import { ForceAndMoment, Held, type Load, TrueState } from '../../plant/state.ts';
import type { Instant } from './instants.ts';

/** rad from the vertical; beyond it a vehicle has turned over. Any choice between lying and upside down would do. */
export const TURNED_OVER = (120 * Math.PI) / 180;

/** rad, rad/s and rad: by how much things are moved to see their effect. */
const NUDGE = 1e-5;
/** Of the airspeed: the least flow across the axis at which a centre of pressure is asked for. */
const LEAST_ACROSS = 1e-3;

export interface Turning {
  /** N m per rad, positive when the air turns the vehicle back. */
  readonly stiffness: number;
  /** N m per rad/s. */
  readonly damping: number;
  /** N m per rad of gimbal. */
  readonly steering: number;
  /** N m of the air at this instant's own angle of attack, either sense. */
  readonly airMoment: number;
  /** kg m^2 */
  readonly inertia: number;
}

export interface AirCentre {
  /** m aft of the nose tip: centre of pressure at the instant's angle of attack, and centre of mass. */
  readonly pressure: number;
  readonly mass: number;
  /** Calibres: positive when the air turns the vehicle into the flow it has, nose or tail first. */
  readonly margin: number;
}

/**
 * Moment about body z and force along body y of a vehicle in the plane of its flow. @param turned rad, about z   @param
 * rate rad/s
 */
function inPlane(
  i: Instant,
  p: PlantParameters,
  load: Load,
  turned: number,
  rate: number,
  gimbal: number,
): { moment: number; force: number } {
  const s = new TrueState();
  // The local frame is the body's here: to turn the body one way is to turn the flow the other.
  s.vx = i.along * Math.cos(turned) + i.across * Math.sin(turned);
  s.vy = i.across * Math.cos(turned) - i.along * Math.sin(turned);
  s.wz = rate;
  s.d1 = gimbal;
  const held = new Held();
  held.density = i.density;
  held.legShare = i.legShare;
  const sum = new ForceAndMoment();
  rates(new TrueState(), s, load, held, p, FREE, sum);
  return { moment: sum.mz, force: sum.fy };
}

const unpowered = (load: Readonly<Load>): Load => ({ ...load, ascentThrust: 0, landingThrust: 0, ascentFlow: 0, landingFlow: 0 });

export function turning(i: Instant, p: PlantParameters): Turning {
  const load = { ...i.load };
  const slope = (turned: number, rate: number, gimbal: number): number => {
    const ahead = inPlane(i, p, load, turned, rate, gimbal).moment;
    return (ahead - inPlane(i, p, load, -turned, -rate, -gimbal).moment) / (2 * NUDGE);
  };
  return {
    stiffness: -slope(NUDGE, 0, 0),
    damping: -slope(0, NUDGE, 0),
    steering: Math.abs(slope(0, 0, NUDGE)),
    airMoment: Math.abs(inPlane(i, p, unpowered(i.load), 0, 0, 0).moment),
    inertia: i.load.inertiaTransverse,
  };
}

/**
 * null where no air force acts across the axis. @param share of the legs' deployment; as at the instant when left out
 */
export function airCentre(i: Instant, p: PlantParameters, share: number = i.legShare): AirCentre | null {
  const speed = Math.hypot(i.along, i.across);
  const across = Math.max(i.across, LEAST_ACROSS * speed);
  const { moment, force } = inPlane({ ...i, across, legShare: share }, p, unpowered(i.load), 0, 0, 0);
  if (force === 0) return null;
  // A force F along y at a lever b aft of the centre of mass turns by -b F about z.
  const lever = -moment / force;
  const mass = i.load.xcg;
  return { pressure: mass + lever, mass, margin: (i.along > 0 ? lever : -lever) / p.diameter };
}
