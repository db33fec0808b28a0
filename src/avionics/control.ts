/**
 * Thrust-vector control: gimbal commands from believed attitude, rate and drift. Knows no truth and not whether a motor
 * burns.
 */
import { atan2, atanSeries } from '../maths/elementary/arc.ts';
import { r00, r01, r02, r10, r11, r12, r20, r21, r22 } from '../maths/rotation.ts';
import { thrustAt } from '../maths/thrustCurve.ts';
import type { ComputerParameters, ExpectedThrust } from './parameters.ts';

/** Factor on all gains: reference torque over expected torque, bounded; the greatest when no thrust is expected. */
export function torqueFactor(p: ComputerParameters, expected: ExpectedThrust, curveTime: number): number {
  if (p.referenceTorque === 0) return 1;
  const thrust = thrustAt(expected.curve, curveTime);
  if (thrust === 0) return p.mostFactor;
  const factor = p.referenceTorque / (thrust * expected.arm);
  return factor > p.mostFactor ? p.mostFactor : Math.max(factor, p.leastFactor);
}

export class AttitudeControl {
  /** rad, toward body y and z; held until the next step. */
  command1: number = 0;
  command2: number = 0;
  /** rad s, about body y and z. */
  integralY: number = 0;
  integralZ: number = 0;
  /** Whether either command was cut at the gimbal's limit. */
  saturated: boolean = false;

  reset(): void {
    this.command1 = 0;
    this.command2 = 0;
    this.resetIntegral();
    this.saturated = false;
  }

  resetIntegral(): void {
    this.integralY = 0;
    this.integralZ = 0;
  }

  /**
   * @param q believed attitude   @param v believed velocity, east and north used   @param rateY rad/s measured   @param
   * rateZ
   * @param factor on all gains   @param integrate whether the integral runs in this phase
   */
  step(p: ComputerParameters, q: Float64Array, v: Float64Array, rateY: number, rateZ: number, factor: number, integrate: boolean): void {
    // Direction to hold: up, leaned against the drift by at most a given tilt.
    let ux = -p.driftDamping * v[0];
    let uy = -p.driftDamping * v[1];
    const lean = Math.sqrt(ux * ux + uy * uy);
    if (lean > p.driftTilt) {
      ux *= p.driftTilt / lean;
      uy *= p.driftTilt / lean;
    }
    const norm = 1 / Math.sqrt(1 + ux * ux + uy * uy);
    const w = q[0];
    const x = q[1];
    const y = q[2];
    const z = q[3];
    const nx = norm * (r00(y, z) * ux + r10(w, x, y, z) * uy + r20(w, x, y, z));
    const ny = norm * (r01(w, x, y, z) * ux + r11(x, z) * uy + r21(w, x, y, z));
    const nz = norm * (r02(w, x, y, z) * ux + r12(w, x, y, z) * uy + r22(x, y));
    const scale = angleOverSine(nx, ny * ny + nz * nz);
    const errorY = -scale * nz;
    const errorZ = scale * ny;
    if (integrate) {
      this.integralY = bounded(this.integralY + errorY * p.tick, p.integralLimit);
      this.integralZ = bounded(this.integralZ + errorZ * p.tick, p.integralLimit);
    }
    const want2 = factor * (p.kp * errorY - p.kd * rateY + p.ki * this.integralY);
    const want1 = -factor * (p.kp * errorZ - p.kd * rateZ + p.ki * this.integralZ);
    this.command1 = bounded(want1, p.gimbalLimit);
    this.command2 = bounded(want2, p.gimbalLimit);
    this.saturated = this.command1 !== want1 || this.command2 !== want2;
  }
}

/**
 * An angle over its sine: of the small ones that are held, by the series of the arc tangent, which waits for no root.
 * @param cosine of the angle   @param square of its sine
 * @returns 0 for a half turn, whose direction nothing says
 */
function angleOverSine(cosine: number, square: number): number {
  if (cosine > 0 && square < 0.19 * cosine * cosine) {
    const per = 1 / cosine;
    return per * (1 - atanSeries(square * per * per));
  }
  const sine = Math.sqrt(square);
  return sine > 0 ? atan2(sine, cosine) / sine : 0;
}

function bounded(value: number, limit: number): number {
  return value > limit ? limit : Math.max(value, -limit);
}
