/**
 * Light when a simple on-board model, flown forward every tick, would only just be slow enough in time: it knows the
 * vehicle's nominal mass, thrust curve and drag, and no drawn value. Vertical motion only. Its steps of 20 ms foretell
 * the distance of a real braking curve to about 3 mm, to 6 mm where the descent only just slows enough, and to some
 * centimetres where it never does: the distance to the slowest moment is then loose in itself.
 */
import { type CurveTable, curveTable, impulseIn, pieceAfter } from '../../maths/thrustCurve.ts';
import type { OnboardModel, RuleKind } from './rule.ts';

/** s, step of the on-board integration: a flight computer's budget. */
const STEP = 0.02;

export const predictedStop: RuleKind = {
  kind: 'predictedStop',
  meaning: 'light when the on-board model predicts that the descent will have slowed to `speed` at height `margin`',
  constants: [
    { key: 'margin', unit: 'm', low: -500, high: 500, meaning: 'believed height left when slowed; absorbs the mean error of the belief' },
    { key: 'speed', unit: 'm/s', low: 0, high: 20, meaning: 'descent speed that counts as slowed' },
  ],
  prepare: (constants, onboard, lead) => {
    const { margin, speed: slow } = constants;
    const brake = brakingTable(onboard);
    return (height, speed) => {
      // From now to thrust the vehicle still gains speed; the height already counts the way at today's.
      const gain = onboard.gravity - (onboard.dragConstant / onboard.mass) * speed * speed;
      const drop = brake(speed + gain * lead, slow);
      return height - 0.5 * gain * lead * lead - drop - margin;
    };
  },
};

/**
 * Height lost from the start of thrust until the descent has slowed to `slow`, or to its slowest if it never does.
 * Midpoint steps; mass falls with impulse, and the spent casing leaves.
 */
function brakingTable(o: OnboardModel): (speed: number, slow: number) => number {
  const curve = curveTable(o.time, o.thrust);
  const steps = Math.ceil(o.time[o.time.length - 1] / STEP);
  // Mean thrust of each step, which a middle misses where the curve turns inside it, and mass at its middle do not
  // depend on the flight: worked out once.
  const thrust = new Float64Array(steps);
  const mass = new Float64Array(steps);
  for (let i = 0; i < steps; i++) {
    const t = (i + 0.5) * STEP;
    const piece = pieceAfter(curve, t);
    thrust[i] = (impulseUpTo(curve, t + 0.5 * STEP) - impulseUpTo(curve, t - 0.5 * STEP)) / STEP;
    mass[i] = o.mass - (o.propellantMass * impulseIn(curve, piece, t)) / curve.total - (t > o.ejectDelay ? o.casingMass : 0);
  }
  return (speed, slow) => {
    let s = speed;
    let fallen = 0;
    let slowest = s;
    let fallenAtSlowest = 0;
    for (let i = 0; i < steps; i++) {
      const middle = s + 0.5 * STEP * (o.gravity - (thrust[i] + o.dragConstant * s * Math.abs(s)) / mass[i]);
      const next = s + STEP * (o.gravity - (thrust[i] + o.dragConstant * middle * Math.abs(middle)) / mass[i]);
      if (next <= slow) {
        const part = s > slow ? (s - slow) / (s - next) : 0;
        return fallen + part * STEP * 0.5 * (s + Math.max(slow, next));
      }
      fallen += STEP * 0.5 * (s + next);
      s = next;
      if (s < slowest) {
        slowest = s;
        fallenAtSlowest = fallen;
      }
    }
    return fallenAtSlowest;
  };
}

function impulseUpTo(curve: CurveTable, time: number): number {
  return impulseIn(curve, pieceAfter(curve, time), time);
}
