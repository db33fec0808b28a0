/**
 * The derivative of the true state (model sections 1, 3 and 5): air forces, thrust, rigid-body motion, servo. Allocates
 * nothing. Knows no flight computer.
 *
 * Air forces follow the slender-body and crossflow split of L. H. Jorgensen, NASA TN D-6996 (1973) and TR R-474 (1977),
 * with sin a |cos a| for his (1/2) sin 2a cos(a/2); jet damping after W. T. Thomson, Introduction to Space Dynamics
 * (1961).
 */
import { SMALL_ANGLE, tan, tanSeries } from '../maths/elementary/circular.ts';
import * as rotation from '../maths/rotation.ts';
import type { PlantParameters, TrueMotor } from './parameters.ts';
import type { ForceAndMoment, Held, Load, TrueState } from './state.ts';

/** What holds the vehicle. */
export const AT_REST = 0;
export const ON_RAIL = 1;
export const FREE = 2;
export const STANDING = 3;
export type Hold = i32;

/** rad/s toward the command, first-order and limited. */
export function servoRate(command: number, deflection: number, lag: number, limit: number): number {
  const rate = (command - deflection) / lag;
  return rate > limit ? limit : Math.max(rate, -limit);
}

/**
 * Body-frame force and moment of one motor, added to `sum`; `arm` is nozzle station minus centre of mass.
 *
 * The two ways stand apart to their ends: after a call that could come in between, everything is fetched from memory
 * again, at 4 % of a flight.
 */
function addThrust(sum: ForceAndMoment, motor: TrueMotor, thrust: number, arm: number, d1: number, d2: number): void {
  const y = d1 + motor.angleY;
  const z = d2 + motor.angleZ;
  if (Math.abs(y) <= SMALL_ANGLE && Math.abs(z) <= SMALL_ANGLE) addAlong(sum, motor, thrust, arm, tanSeries(y), tanSeries(z));
  else addAlong(sum, motor, thrust, arm, tan(y), tan(z));
}

/** The same for a thrust along (1, ty, tz). */
function addAlong(sum: ForceAndMoment, motor: TrueMotor, thrust: number, arm: number, ty: number, tz: number): void {
  const fx = thrust / Math.sqrt(1 + ty * ty + tz * tz);
  const fy = fx * ty;
  const fz = fx * tz;
  sum.fx += fx;
  sum.fy += fy;
  sum.fz += fz;
  sum.mx += motor.offsetY * fz - motor.offsetZ * fy;
  sum.my += motor.offsetZ * fx + arm * fz;
  sum.mz += -arm * fy - motor.offsetY * fx;
}

/**
 * @param out the derivative; may not be `s`
 * @param s state   @param load mass and thrust at the instant   @param held the tick's held values
 * @param sum scratch
 */
export function rates(out: TrueState, s: TrueState, load: Load, held: Held, p: PlantParameters, hold: Hold, sum: ForceAndMoment): void {
  const d1 = s.d1;
  const d2 = s.d2;
  out.d1 = servoRate(held.command1, d1, p.servoLag, p.servoRate);
  out.d2 = servoRate(held.command2, d2, p.servoLag, p.servoRate);
  if (hold === AT_REST || hold === STANDING) {
    out.rx = 0;
    out.ry = 0;
    out.rz = 0;
    out.vx = 0;
    out.vy = 0;
    out.vz = 0;
    stopTurning(out);
    return;
  }
  const qw = s.qw;
  const qx = s.qx;
  const qy = s.qy;
  const qz = s.qz;
  const r00 = rotation.r00(qy, qz);
  const r01 = rotation.r01(qw, qx, qy, qz);
  const r02 = rotation.r02(qw, qx, qy, qz);
  const r10 = rotation.r10(qw, qx, qy, qz);
  const r11 = rotation.r11(qx, qz);
  const r12 = rotation.r12(qw, qx, qy, qz);
  const r20 = rotation.r20(qw, qx, qy, qz);
  const r21 = rotation.r21(qw, qx, qy, qz);
  const r22 = rotation.r22(qx, qy);

  const vx = s.vx;
  const vy = s.vy;
  const vz = s.vz;
  const ax = vx - held.windX;
  const ay = vy - held.windY;
  const az = vz - held.windZ;
  const ua = r00 * ax + r10 * ay + r20 * az;
  const va = r01 * ax + r11 * ay + r21 * az;
  const wa = r02 * ax + r12 * ay + r22 * az;
  const wx = s.wx;
  const wy = s.wy;
  const wz = s.wz;

  const mass = load.mass;
  const xcg = load.xcg;
  const share = held.legShare;
  const halfRho = 0.5 * (held.density + held.densitySlope * (s.rz - held.z));
  const crossSpeed = Math.sqrt(va * va + wa * wa);
  const speed = Math.sqrt(ua * ua + va * va + wa * wa);
  const absU = ua < 0 ? -ua : ua;
  const fromNose = ua > 0;

  // Strength (m^2) and lever of the three lateral forces: body slope, crossflow, legs.
  const c1 = p.area * (fromNose ? p.normalNose : p.normalTail);
  const b1 = (fromNose ? p.normalNoseStation : p.normalTailStation) - xcg;
  const c2 = p.crossflow;
  const b2 = p.crossflowStation - xcg;
  const c3 = p.area * share * p.normalLegs;
  const b3 = p.normalLegsStation - xcg;
  const k1 = halfRho * c1 * absU;
  const k2 = halfRho * c2 * crossSpeed;
  const k3 = halfRho * c3 * absU;
  const k = k1 + k2 + k3;
  const kb = k1 * b1 + k2 * b2 + k3 * b3;
  const damping = halfRho * speed * (c1 * b1 * b1 + c2 * b2 * b2 + c3 * b3 * b3);

  const axial = (fromNose ? p.axialNose : p.axialTail) + share * p.axialLegs;
  sum.fx = -halfRho * p.area * axial * absU * ua;
  sum.fy = -k * va;
  sum.fz = -k * wa;
  sum.mx = halfRho * p.area * p.diameter * (ua * absU * p.rollAsymmetry + 0.5 * speed * p.diameter * p.rollDamping * wx);
  sum.my = -kb * wa - damping * wy;
  sum.mz = kb * va - damping * wz;

  const thrustA = load.ascentThrust;
  if (thrustA > 0) {
    const arm = p.ascent.nozzleStation - xcg;
    addThrust(sum, p.ascent, thrustA, arm, d1, d2);
    const jet = load.ascentFlow * arm * arm;
    sum.my -= jet * wy;
    sum.mz -= jet * wz;
  }
  const thrustL = load.landingThrust;
  if (thrustL > 0) {
    const arm = p.landing.nozzleStation - xcg;
    addThrust(sum, p.landing, thrustL, arm, d1, d2);
    const jet = load.landingFlow * arm * arm;
    sum.my -= jet * wy;
    sum.mz -= jet * wz;
  }

  out.rx = vx;
  out.ry = vy;
  out.rz = vz;
  if (hold === ON_RAIL) {
    const along = sum.fx / mass - p.gravity * r20;
    out.vx = along * r00;
    out.vy = along * r10;
    out.vz = along * r20;
    stopTurning(out);
    return;
  }
  const perMass = 1 / mass;
  const fx = sum.fx * perMass;
  const fy = sum.fy * perMass;
  const fz = sum.fz * perMass;
  out.vx = r00 * fx + r01 * fy + r02 * fz;
  out.vy = r10 * fx + r11 * fy + r12 * fz;
  out.vz = r20 * fx + r21 * fy + r22 * fz - p.gravity;
  out.qw = -0.5 * (qx * wx + qy * wy + qz * wz);
  out.qx = 0.5 * (qw * wx + qy * wz - qz * wy);
  out.qy = 0.5 * (qw * wy + qz * wx - qx * wz);
  out.qz = 0.5 * (qw * wz + qx * wy - qy * wx);
  const ia = load.inertiaAxial;
  const it = load.inertiaTransverse;
  out.wx = sum.mx / ia;
  const perInertia = 1 / it;
  const coupling = (it - ia) * wx;
  out.wy = (sum.my + coupling * wz) * perInertia;
  out.wz = (sum.mz - coupling * wy) * perInertia;
}

function stopTurning(out: TrueState): void {
  out.qw = 0;
  out.qx = 0;
  out.qy = 0;
  out.qz = 0;
  out.wx = 0;
  out.wy = 0;
  out.wz = 0;
}

/** m/s^2 along the axis of a vehicle resting on its rail: positive means it lifts off. */
export function axialAcceleration(
  s: TrueState,
  load: Load,
  held: Held,
  p: PlantParameters,
  scratch: TrueState,
  sum: ForceAndMoment,
): number {
  rates(scratch, s, load, held, p, ON_RAIL, sum);
  const up = rotation.r20(s.qw, s.qx, s.qy, s.qz);
  return sum.fx / load.mass - p.gravity * up;
}
