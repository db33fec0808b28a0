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

  /** N; the greatest force on a foot at the state last settled. */
  greatest: number = 0;
  /** The ground's normal in body axes, at the state last seen. */
  nx: number = 1;
  ny: number = 0;
  nz: number = 0;

  /** m; the deployed feet beside the axis, along body y and z. */
  private readonly footY: Float64Array = new Float64Array(MOST_LEGS);
  private readonly footZ: Float64Array = new Float64Array(MOST_LEGS);

  /** In the ground's frame: two directions along it, and its normal. Where a foot holds on; m. */
  private readonly anchorX: Float64Array = new Float64Array(MOST_LEGS);
  private readonly anchorY: Float64Array = new Float64Array(MOST_LEGS);

  /** The turn from the local frame into the ground's, as quaternion (its z is 0) and matrix; its last row is the normal. */
  private tw: number = 1;
  private tx: number = 0;
  private ty: number = 0;
  private t00: number = 1;
  private t01: number = 0;
  private t02: number = 0;
  private t10: number = 0;
  private t11: number = 1;
  private t12: number = 0;
  private t20: number = 0;
  private t21: number = 0;
  private t22: number = 1;

  /** Of the state last seen: from body axes into the ground's frame, but for its last row, the normal; and the arm, m. */
  private m00: number = 1;
  private m01: number = 0;
  private m02: number = 0;
  private m10: number = 0;
  private m11: number = 1;
  private m12: number = 0;
  private arm: number = 0;

  /** What all feet do at the state last weighed: N in the ground's frame, N m in body axes. */
  private fx: number = 0;
  private fy: number = 0;
  private fz: number = 0;
  private mx: number = 0;
  private my: number = 0;
  private mz: number = 0;

  /** A new flight, over ground of this slope. */
  reset(p: PlantParameters): void {
    this.bears.fill(0);
    this.touches.fill(0);
    this.slid.fill(0);
    this.touching = 0;
    for (let i = 0; i < p.legCount; i++) {
      this.footY[i] = p.legRadius * p.legCos[i];
      this.footZ[i] = p.legRadius * p.legSin[i];
    }
    const w = Math.sqrt(0.5 * (1 + p.groundZ));
    const x = (0.5 * p.groundY) / w;
    const y = (-0.5 * p.groundX) / w;
    this.tw = w;
    this.tx = x;
    this.ty = y;
    this.t00 = r00(y, 0);
    this.t01 = r01(w, x, y, 0);
    this.t02 = r02(w, x, y, 0);
    this.t10 = r10(w, x, y, 0);
    this.t11 = r11(x, 0);
    this.t12 = r12(w, x, y, 0);
    this.t20 = p.groundX;
    this.t21 = p.groundY;
    this.t22 = p.groundZ;
  }

  /** Takes the attitude of a state: asked for before anything else about that state. */
  see(s: TrueState, xcg: number, p: PlantParameters): void {
    const tw = this.tw;
    const tx = this.tx;
    const ty = this.ty;
    const w = tw * s.qw - tx * s.qx - ty * s.qy;
    const x = tw * s.qx + tx * s.qw + ty * s.qz;
    const y = tw * s.qy + ty * s.qw - tx * s.qz;
    const z = tw * s.qz + tx * s.qy - ty * s.qx;
    this.m00 = r00(y, z);
    this.m01 = r01(w, x, y, z);
    this.m02 = r02(w, x, y, z);
    this.m10 = r10(w, x, y, z);
    this.m11 = r11(x, z);
    this.m12 = r12(w, x, y, z);
    this.nx = r20(w, x, y, z);
    this.ny = r21(w, x, y, z);
    this.nz = r22(x, y);
    this.arm = xcg - p.footStation;
  }

  /** m above the ground, of a foot. */
  height(i: i32, s: TrueState, p: PlantParameters): number {
    const centre = p.groundX * s.rx + p.groundY * s.ry + p.groundZ * s.rz;
    return centre + this.nx * this.arm + this.ny * this.footY[i] + this.nz * this.footZ[i];
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
      const y = this.footY[i];
      const z = this.footZ[i];
      this.anchorX[i] = this.alongX(s) + this.m00 * this.arm + this.m01 * y + this.m02 * z;
      this.anchorY[i] = this.alongY(s) + this.m10 * this.arm + this.m11 * y + this.m12 * z;
    }
  }

  /** Adds what the feet that touch do to the derivative of a state within a step. */
  push(out: TrueState, s: TrueState, load: Load, p: PlantParameters): void {
    this.see(s, load.xcg, p);
    this.weigh(s, p, false, false);
    this.add(out, load);
  }

  /**
   * Drags the anchors of feet that slide, at an accepted state that was seen, and keeps what all feet do there.
   * @param leaves feet that have come off the ground touch no longer; else `leave` has seen to it
   */
  settle(s: TrueState, p: PlantParameters, leaves: boolean): void {
    this.weigh(s, p, true, leaves);
  }

  /** Adds what the feet do at the state last weighed to its derivative: F/m, and the moment b x R^T F over the inertia. */
  add(out: TrueState, load: Load): void {
    const perMass = 1 / load.mass;
    const perInertia = 1 / load.inertiaTransverse;
    const fx = this.fx * perMass;
    const fy = this.fy * perMass;
    const fz = this.fz * perMass;
    out.vx += this.t00 * fx + this.t10 * fy + this.t20 * fz;
    out.vy += this.t01 * fx + this.t11 * fy + this.t21 * fz;
    out.vz += this.t02 * fx + this.t12 * fy + this.t22 * fz;
    out.wx += this.mx / load.inertiaAxial;
    out.wy += this.my * perInertia;
    out.wz += this.mz * perInertia;
  }

  /** m; the centre of mass in the ground's frame. */
  private alongX(s: TrueState): number {
    return this.t00 * s.rx + this.t01 * s.ry + this.t02 * s.rz;
  }

  private alongY(s: TrueState): number {
    return this.t10 * s.rx + this.t11 * s.ry + this.t12 * s.rz;
  }

  /**
   * Force and moment of all feet that touch, reckoned in the ground's frame; a foot whose spring and dashpot would pull
   * does nothing. @param drags anchors follow feet that slide   @param leaves feet above the ground touch no longer
   */
  private weigh(s: TrueState, p: PlantParameters, drags: boolean, leaves: boolean): void {
    const m00 = this.m00;
    const m01 = this.m01;
    const m02 = this.m02;
    const m10 = this.m10;
    const m11 = this.m11;
    const m12 = this.m12;
    const nx = this.nx;
    const ny = this.ny;
    const nz = this.nz;
    const arm = this.arm;
    const wx = m00 * s.wx + m01 * s.wy + m02 * s.wz;
    const wy = m10 * s.wx + m11 * s.wy + m12 * s.wz;
    const wz = nx * s.wx + ny * s.wy + nz * s.wz;
    const rx = this.alongX(s);
    const ry = this.alongY(s);
    const rz = this.t20 * s.rx + this.t21 * s.ry + this.t22 * s.rz;
    const vx = this.t00 * s.vx + this.t01 * s.vy + this.t02 * s.vz;
    const vy = this.t10 * s.vx + this.t11 * s.vy + this.t12 * s.vz;
    const vz = this.t20 * s.vx + this.t21 * s.vy + this.t22 * s.vz;
    const touches = this.touches;
    const footY = this.footY;
    const footZ = this.footZ;
    const anchorX = this.anchorX;
    const anchorY = this.anchorY;
    const count = p.legCount;
    const grip = p.friction;
    const k = p.footStiffness;
    const c = p.footDamping;
    const kt = 0.5 * k;
    const ct = 0.5 * c;
    let fx: number = 0;
    let fy: number = 0;
    let fz: number = 0;
    let mx: number = 0;
    let my: number = 0;
    let mz: number = 0;
    let greatest: number = 0;
    for (let i = 0; i < count; i++) {
      if (touches[i] === 0) continue;
      const side = footY[i];
      const other = footZ[i];
      // From the centre of mass to the foot.
      const bx = m00 * arm + m01 * side + m02 * other;
      const by = m10 * arm + m11 * side + m12 * other;
      const bz = nx * arm + ny * side + nz * other;
      const height = rz + bz;
      if (leaves && height > 0) {
        touches[i] = 0;
        this.touching--;
        continue;
      }
      const force = -k * height - c * (vz + wx * by - wy * bx);
      if (!(force > 0) && !drags) continue;
      // The bristle: from the anchor to the foot, as long as friction lets it be.
      const x = rx + bx - anchorX[i];
      const y = ry + by - anchorY[i];
      if (!(force > 0)) {
        anchorX[i] += x;
        anchorY[i] += y;
        this.slid[i] += Math.sqrt(x * x + y * y);
        continue;
      }
      const friction = grip * force;
      const most = friction * friction;
      let tx = -kt * x;
      let ty = -kt * y;
      const bent = tx * tx + ty * ty;
      if (bent > most) {
        const scale = friction / Math.sqrt(bent);
        tx *= scale;
        ty *= scale;
        if (drags) {
          const moved = 1 - scale;
          anchorX[i] += moved * x;
          anchorY[i] += moved * y;
          this.slid[i] += moved * Math.sqrt(x * x + y * y);
        }
      }
      tx -= ct * (vx + wy * bz - wz * by);
      ty -= ct * (vy + wz * bx - wx * bz);
      const pull = tx * tx + ty * ty;
      if (pull > most) {
        const scale = friction / Math.sqrt(pull);
        tx *= scale;
        ty *= scale;
      }
      if (drags) greatest = Math.max(greatest, tx * tx + ty * ty + force * force);
      fx += tx;
      fy += ty;
      fz += force;
      mx += by * force - bz * ty;
      my += bz * tx - bx * force;
      mz += bx * ty - by * tx;
    }
    this.fx = fx;
    this.fy = fy;
    this.fz = fz;
    this.mx = m00 * mx + m10 * my + nx * mz;
    this.my = m01 * mx + m11 * my + ny * mz;
    this.mz = m02 * mx + m12 * my + nz * mz;
    if (drags) this.greatest = Math.sqrt(greatest);
  }
}
