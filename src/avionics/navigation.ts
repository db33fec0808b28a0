/**
 * Dead reckoning (model section 9): attitude from the gyro, speed and height from the accelerometer, all from the
 * flight computer's own samples. Knows no phase and no truth.
 *
 * Each interval turns the attitude by the mean of its two gyro samples and integrates specific force, turned by the
 * attitude at its own sample, by the trapezoid rule to speed and again to height.
 */
import { leaningAttitude, turnBy } from '../maths/quaternion.ts';
import { r00, r01, r02, r10, r11, r12, r20, r21, r22 } from '../maths/rotation.ts';
import type { ComputerParameters } from './parameters.ts';

/** One sample: specific force (0..2, m/s^2) and body rate (3..5, rad/s), then the believed time (6, s). */
export const SAMPLE_TIME = 6;
export const SAMPLE_SIZE = 7;

export class Navigator {
  /** Believed attitude, scalar first. */
  readonly q: Float64Array = new Float64Array(4);
  /** m/s, east, north, up. */
  readonly v: Float64Array = new Float64Array(3);
  /** m above the pad place. */
  height: number = 0;
  /** m/s^2, believed vertical acceleration at the last sample integrated. */
  verticalAcceleration: number = 0;
  private readonly before: Float64Array = new Float64Array(3);
  private readonly after: Float64Array = new Float64Array(3);

  /** Starts from the nominal rail angles, turned by the alignment errors. */
  reset(p: ComputerParameters): void {
    leaningAttitude(this.q, 0, p.railTilt, p.railAzimuth);
    turnBy(this.q, 0, p.alignmentY, p.alignmentZ);
    this.v.fill(0);
    this.height = 0;
    this.verticalAcceleration = 0;
  }

  /** Integrates `dt` seconds between two samples, with the mean of both. */
  integrate(earlier: Float64Array, from: i32, later: Float64Array, to: i32, dt: number, gravity: number): void {
    const a0 = this.before;
    const a1 = this.after;
    level(a0, this.q, earlier, from, gravity);
    const half = 0.5 * dt;
    turnBy(
      this.q,
      half * (earlier[from + 3] + later[to + 3]),
      half * (earlier[from + 4] + later[to + 4]),
      half * (earlier[from + 5] + later[to + 5]),
    );
    level(a1, this.q, later, to, gravity);
    const v = this.v;
    const up = v[2];
    v[0] += half * (a0[0] + a1[0]);
    v[1] += half * (a0[1] + a1[1]);
    v[2] += half * (a0[2] + a1[2]);
    this.height += half * (up + v[2]);
    this.verticalAcceleration = a1[2];
  }

  /** Pulls speed and height toward a barometer's height. */
  blend(height: number, dt: number, speedGain: number, heightGain: number): void {
    const error = height - this.height;
    this.v[2] += speedGain * error * dt;
    this.height += heightGain * error * dt;
  }

  /** Cosine of the believed tilt from the vertical. */
  cosTilt(): number {
    const q = this.q;
    return r20(q[0], q[1], q[2], q[3]);
  }
}

/** Acceleration in the local frame from one sample's specific force: turned by q, gravity taken off. */
function level(out: Float64Array, q: Float64Array, sample: Float64Array, start: i32, gravity: number): void {
  const w = q[0];
  const x = q[1];
  const y = q[2];
  const z = q[3];
  const fx = sample[start];
  const fy = sample[start + 1];
  const fz = sample[start + 2];
  out[0] = r00(y, z) * fx + r01(w, x, y, z) * fy + r02(w, x, y, z) * fz;
  out[1] = r10(w, x, y, z) * fx + r11(x, z) * fy + r12(w, x, y, z) * fz;
  out[2] = r20(w, x, y, z) * fx + r21(w, x, y, z) * fy + r22(x, y) * fz - gravity;
}
