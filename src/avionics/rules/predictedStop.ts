/**
 * Light when a simple on-board model, flown forward every tick, would only just be slow enough in time: it knows the
 * vehicle's nominal mass, thrust curve and drag, and no drawn value. Vertical motion only. Its steps of 20 ms foretell
 * the distance of a real braking curve to about 3 mm, to 6 mm where the descent only just slows enough, and to some
 * centimetres where it never does: the distance to the slowest moment is then loose in itself.
 */
import { type CurveTable, curveTable, impulseIn, pieceAfter } from '../../maths/thrustCurve.ts';
import type { ConstantValues, OnboardModel, RuleKind } from './rule.ts';

/** s, step of the on-board integration: a flight computer's budget. */
const STEP = 0.02;

export class PredictedStop {
  /** m, and m/s: the rule's constants. */
  margin: number = 0;
  speed: number = 0;
  /** s: how far ahead heights are judged. */
  lead: number = 0;
  gravity: number = 0;
  /** kg/m, and kg at the ignition command. */
  dragConstant: number = 0;
  mass: number = 0;
  /**
   * Mean thrust (N) of each step, which a middle misses where the curve turns inside it, and mass (kg) at its middle:
   * they do not depend on the flight.
   */
  steps: i32 = 0;
  meanThrust: Float64Array = new Float64Array(0);
  massAt: Float64Array = new Float64Array(0);
}

export function predictedStopMargin(c: PredictedStop, height: number, speed: number): number {
  // From now to thrust the vehicle still gains speed; the height already counts the way at today's.
  const gain = c.gravity - (c.dragConstant / c.mass) * speed * speed;
  const drop = braking(c, speed + gain * c.lead);
  return height - 0.5 * gain * c.lead * c.lead - drop - c.margin;
}

/**
 * Height lost from the start of thrust until the descent has slowed as asked, or to its slowest if it never does.
 * Midpoint steps.
 */
function braking(c: PredictedStop, from: number): number {
  const slow = c.speed;
  let speed = from;
  let fallen: number = 0;
  let slowest = from;
  let fallenAtSlowest: number = 0;
  for (let i = 0; i < c.steps; i++) {
    const thrust = c.meanThrust[i];
    const mass = c.massAt[i];
    const middle = speed + 0.5 * STEP * (c.gravity - (thrust + c.dragConstant * speed * Math.abs(speed)) / mass);
    const next = speed + STEP * (c.gravity - (thrust + c.dragConstant * middle * Math.abs(middle)) / mass);
    if (next <= slow) {
      const part = speed > slow ? (speed - slow) / (speed - next) : 0;
      return fallen + part * STEP * 0.5 * (speed + Math.max(slow, next));
    }
    fallen += STEP * 0.5 * (speed + next);
    speed = next;
    if (speed < slowest) {
      slowest = speed;
      fallenAtSlowest = fallen;
    }
  }
  return fallenAtSlowest;
}

export function predictedStopKind(): RuleKind {
  return {
    kind: 'predictedStop',
    meaning: 'light when the on-board model predicts that the descent will have slowed to `speed` at height `margin`',
    constants: [
      { key: 'margin', unit: 'm', low: -500, high: 500, meaning: 'believed height left when slowed; absorbs the mean error of the belief' },
      { key: 'speed', unit: 'm/s', low: 0, high: 20, meaning: 'descent speed that counts as slowed' },
    ],
  };
}

/** `lead` s: how far ahead heights are judged. */
export function setPredictedStop(c: PredictedStop, constants: ConstantValues, onboard: OnboardModel, lead: number): void {
  c.margin = constants.margin;
  c.speed = constants.speed;
  c.lead = lead;
  setModel(c, onboard);
}

/** Mass falls with impulse, and the spent casing leaves. */
function setModel(c: PredictedStop, o: OnboardModel): void {
  const curve = curveTable(o.time, o.thrust);
  const steps = Math.ceil(o.time[o.time.length - 1] / STEP);
  const thrust = new Float64Array(steps);
  const mass = new Float64Array(steps);
  for (let i = 0; i < steps; i++) {
    const t = (i + 0.5) * STEP;
    const piece = pieceAfter(curve, t);
    thrust[i] = (impulseUpTo(curve, t + 0.5 * STEP) - impulseUpTo(curve, t - 0.5 * STEP)) / STEP;
    mass[i] = o.mass - (o.propellantMass * impulseIn(curve, piece, t)) / curve.total - (t > o.ejectDelay ? o.casingMass : 0);
  }
  c.gravity = o.gravity;
  c.dragConstant = o.dragConstant;
  c.mass = o.mass;
  c.steps = steps;
  c.meanThrust = thrust;
  c.massAt = mass;
}

function impulseUpTo(curve: CurveTable, time: number): number {
  return impulseIn(curve, pieceAfter(curve, time), time);
}
