/**
 * The feet on the ground (model section 18): each a spring and a dashpot along the ground's normal that cannot pull,
 * and a bristle along the ground that holds until friction gives (after P. A. Cundall and O. D. L. Strack,
 * Geotechnique 29, 1979). Places, forces and anchors; what they mean for the flight is springContact.ts.
 */
import { r00, r01, r02, r10, r11, r12, r20, r21, r22 } from '../../maths/rotation.ts';
import { MOST_LEGS, type PlantParameters } from '../parameters.ts';
import type { Load, TrueState } from '../state.ts';

export class Feet {
  /** 1 where a leg is out and locked, and where its foot touches. */
  readonly bears: Float64Array = new Float64Array(MOST_LEGS);
  readonly touches: Float64Array = new Float64Array(MOST_LEGS);
  /** Feet that touch. */
  touching: i32 = 0;
  /** m; how far each foot has slid. */
  readonly slid: Float64Array = new Float64Array(MOST_LEGS);

  /** The ground's normal in body axes, from `see`. */
  nx: number = 1;
  ny: number = 0;
  nz: number = 0;
  /** N; of the foot last asked for: along the normal, and the whole in the local frame. */
  pressed: number = 0;
  fx: number = 0;
  fy: number = 0;
  fz: number = 0;

  private readonly anchorX: Float64Array = new Float64Array(MOST_LEGS);
  private readonly anchorY: Float64Array = new Float64Array(MOST_LEGS);
  private readonly anchorZ: Float64Array = new Float64Array(MOST_LEGS);

  /** Of the state last seen: the rotation matrix, and how far ahead of the feet the centre of mass lies, m. */
  private m00: number = 1;
  private m01: number = 0;
  private m02: number = 0;
  private m10: number = 0;
  private m11: number = 1;
  private m12: number = 0;
  private m20: number = 0;
  private m21: number = 0;
  private m22: number = 1;
  private arm: number = 0;

  reset(): void {
    this.bears.fill(0);
    this.touches.fill(0);
    this.slid.fill(0);
    this.touching = 0;
  }

  /** Takes the attitude of a state: asked for before anything else about that state. */
  see(s: TrueState, xcg: number, p: PlantParameters): void {
    const qw = s.qw;
    const qx = s.qx;
    const qy = s.qy;
    const qz = s.qz;
    this.m00 = r00(qy, qz);
    this.m01 = r01(qw, qx, qy, qz);
    this.m02 = r02(qw, qx, qy, qz);
    this.m10 = r10(qw, qx, qy, qz);
    this.m11 = r11(qx, qz);
    this.m12 = r12(qw, qx, qy, qz);
    this.m20 = r20(qw, qx, qy, qz);
    this.m21 = r21(qw, qx, qy, qz);
    this.m22 = r22(qx, qy);
    this.arm = xcg - p.footStation;
    const nx = p.groundX;
    const ny = p.groundY;
    const nz = p.groundZ;
    this.nx = nx * this.m00 + ny * this.m10 + nz * this.m20;
    this.ny = nx * this.m01 + ny * this.m11 + nz * this.m21;
    this.nz = nx * this.m02 + ny * this.m12 + nz * this.m22;
  }

  /** m above the ground, of a foot. */
  height(i: i32, s: TrueState, p: PlantParameters): number {
    const centre = p.groundX * s.rx + p.groundY * s.ry + p.groundZ * s.rz;
    return centre + this.nx * this.arm + p.legRadius * (this.ny * p.legCos[i] + this.nz * p.legSin[i]);
  }

  /** m above the ground, of the lowest foot of a leg that bears and does not touch yet; Infinity without one. */
  lowestFree(s: TrueState, p: PlantParameters): number {
    let lowest = Number.POSITIVE_INFINITY;
    for (let i = 0; i < p.legCount; i++) {
      if (this.bears[i] === 1 && this.touches[i] === 0) lowest = Math.min(lowest, this.height(i, s, p));
    }
    return lowest;
  }

  /** The legs that lock, of those whose feet are still above the ground. */
  lock(s: TrueState, p: PlantParameters): void {
    for (let i = 0; i < p.legCount; i++) this.bears[i] = p.legFails[i] === 0 && this.height(i, s, p) > 0 ? 1 : 0;
  }

  /** Legs that bear. */
  bearing(p: PlantParameters): i32 {
    let bearing: i32 = 0;
    for (let i = 0; i < p.legCount; i++) if (this.bears[i] === 1) bearing++;
    return bearing;
  }

  /** Feet that have come off the ground touch no longer: their force was zero before. */
  leave(s: TrueState, p: PlantParameters): void {
    for (let i = 0; i < p.legCount; i++) {
      if (this.touches[i] === 0 || this.height(i, s, p) <= 0) continue;
      this.touches[i] = 0;
      this.touching--;
    }
  }

  /** Feet up to `height` m above the ground begin to touch where they are. */
  touch(height: number, s: TrueState, p: PlantParameters): void {
    for (let i = 0; i < p.legCount; i++) {
      if (this.bears[i] === 0 || this.touches[i] === 1 || this.height(i, s, p) > height) continue;
      this.touches[i] = 1;
      this.touching++;
      const y = p.legRadius * p.legCos[i];
      const z = p.legRadius * p.legSin[i];
      this.anchorX[i] = s.rx + this.m00 * this.arm + this.m01 * y + this.m02 * z;
      this.anchorY[i] = s.ry + this.m10 * this.arm + this.m11 * y + this.m12 * z;
      this.anchorZ[i] = s.rz + this.m20 * this.arm + this.m21 * y + this.m22 * z;
    }
  }

  /**
   * The force on a foot that touches, into `pressed` and `fx`, `fy`, `fz`; all zero where spring and dashpot would pull.
   * @param drags an accepted state: the anchor follows a foot that slides
   */
  press(i: i32, s: TrueState, p: PlantParameters, drags: boolean): void {
    const x = this.arm;
    const y = p.legRadius * p.legCos[i];
    const z = p.legRadius * p.legSin[i];
    const nx = p.groundX;
    const ny = p.groundY;
    const nz = p.groundZ;
    // Speed of the foot beside the centre of mass's, in body axes: w x b.
    const ux = s.wy * z - s.wz * y;
    const uy = s.wz * x - s.wx * z;
    const uz = s.wx * y - s.wy * x;
    const vx = s.vx + this.m00 * ux + this.m01 * uy + this.m02 * uz;
    const vy = s.vy + this.m10 * ux + this.m11 * uy + this.m12 * uz;
    const vz = s.vz + this.m20 * ux + this.m21 * uy + this.m22 * uz;
    const rx = s.rx + this.m00 * x + this.m01 * y + this.m02 * z;
    const ry = s.ry + this.m10 * x + this.m11 * y + this.m12 * z;
    const rz = s.rz + this.m20 * x + this.m21 * y + this.m22 * z;
    const rising = nx * vx + ny * vy + nz * vz;
    const pressed = -p.footStiffness * (nx * rx + ny * ry + nz * rz) - p.footDamping * rising;
    if (!(pressed > 0) && !drags) {
      this.pressed = 0;
      this.fx = 0;
      this.fy = 0;
      this.fz = 0;
      return;
    }
    const force = Math.max(pressed, 0);
    const friction = p.friction * force;
    const kt = 0.5 * p.footStiffness;
    const ct = 0.5 * p.footDamping;
    // The bristle: from the anchor to the foot along the ground, as long as friction lets it be.
    let xi = rx - this.anchorX[i];
    let yi = ry - this.anchorY[i];
    let zi = rz - this.anchorZ[i];
    const off = nx * xi + ny * yi + nz * zi;
    xi -= off * nx;
    yi -= off * ny;
    zi -= off * nz;
    const longest = friction / kt;
    const square = xi * xi + yi * yi + zi * zi;
    if (square > longest * longest) {
      const length = Math.sqrt(square);
      const scale = longest / length;
      if (drags) {
        this.slid[i] += length - longest;
        this.anchorX[i] += (1 - scale) * xi;
        this.anchorY[i] += (1 - scale) * yi;
        this.anchorZ[i] += (1 - scale) * zi;
      }
      xi *= scale;
      yi *= scale;
      zi *= scale;
    }
    let tx = -kt * xi - ct * (vx - rising * nx);
    let ty = -kt * yi - ct * (vy - rising * ny);
    let tz = -kt * zi - ct * (vz - rising * nz);
    const pull = tx * tx + ty * ty + tz * tz;
    if (pull > friction * friction) {
      const scale = friction / Math.sqrt(pull);
      tx *= scale;
      ty *= scale;
      tz *= scale;
    }
    this.pressed = force;
    this.fx = force * nx + tx;
    this.fy = force * ny + ty;
    this.fz = force * nz + tz;
  }

  /** Adds what the feet that touch do to a state's derivative: F/m, and the moment b x R^T F over the inertia. */
  push(out: TrueState, s: TrueState, load: Load, p: PlantParameters): void {
    this.see(s, load.xcg, p);
    const x = this.arm;
    let fx: number = 0;
    let fy: number = 0;
    let fz: number = 0;
    let mx: number = 0;
    let my: number = 0;
    let mz: number = 0;
    for (let i = 0; i < p.legCount; i++) {
      if (this.touches[i] === 0) continue;
      this.press(i, s, p, false);
      if (this.pressed === 0) continue;
      const y = p.legRadius * p.legCos[i];
      const z = p.legRadius * p.legSin[i];
      const bx = this.m00 * this.fx + this.m10 * this.fy + this.m20 * this.fz;
      const by = this.m01 * this.fx + this.m11 * this.fy + this.m21 * this.fz;
      const bz = this.m02 * this.fx + this.m12 * this.fy + this.m22 * this.fz;
      fx += this.fx;
      fy += this.fy;
      fz += this.fz;
      mx += y * bz - z * by;
      my += z * bx - x * bz;
      mz += x * by - y * bx;
    }
    const perMass = 1 / load.mass;
    const perInertia = 1 / load.inertiaTransverse;
    out.vx += fx * perMass;
    out.vy += fy * perMass;
    out.vz += fz * perMass;
    out.wx += mx / load.inertiaAxial;
    out.wy += my * perInertia;
    out.wz += mz * perInertia;
  }
}
