/** Feet, nose and base against the ground plane through the pad, and what would lift a standing vehicle. Judges nothing. */
import { r00, r01, r02, r10, r11, r12, r20, r21, r22 } from '../../maths/rotation.ts';
import type { PlantParameters } from '../parameters.ts';
import type { Load, TrueState } from '../state.ts';

/**
 * Height above the ground plane of the lowest foot or the nose tip, m (negative: below).
 * @param share 0..1, the legs' deployment: feet move from the middle of the base to their deployed place
 */
export function clearance(s: TrueState, xcg: number, share: number, p: PlantParameters): number {
  const qw = s.qw;
  const qx = s.qx;
  const qy = s.qy;
  const qz = s.qz;
  const nx = p.groundX;
  const ny = p.groundY;
  const nz = p.groundZ;
  // The ground normal in body axes.
  const bx = nx * r00(qy, qz) + ny * r10(qw, qx, qy, qz) + nz * r20(qw, qx, qy, qz);
  const by = nx * r01(qw, qx, qy, qz) + ny * r11(qx, qz) + nz * r21(qw, qx, qy, qz);
  const bz = nx * r02(qw, qx, qy, qz) + ny * r12(qw, qx, qy, qz) + nz * r22(qx, qy);
  const centre = nx * s.rx + ny * s.ry + nz * s.rz;
  const foot = p.bodyLength + share * (p.footStation - p.bodyLength);
  const radius = share * p.legRadius;
  let lowest: number = 0;
  for (let i = 0; i < p.legCount; i++) {
    const side = by * p.legCos[i] + bz * p.legSin[i];
    if (side < lowest) lowest = side;
  }
  const feet = bx * (xcg - foot) + radius * lowest;
  const nose = bx * xcg;
  return centre + Math.min(feet, nose);
}

/**
 * Height above the ground plane of the lowest point of the body without legs, m: the nose tip, or the rim of the base.
 * @param up the cosine of the axis to the ground's normal
 */
export function hullClearance(s: TrueState, xcg: number, up: number, p: PlantParameters): number {
  const centre = p.groundX * s.rx + p.groundY * s.ry + p.groundZ * s.rz;
  const rim = 0.5 * p.diameter * Math.sqrt(Math.max(0, 1 - up * up));
  return centre + Math.min(up * xcg, -up * (p.bodyLength - xcg) - rim);
}

/** Distance from the centre of mass beyond which nothing of the vehicle can reach, m. */
export function reach(xcg: number, p: PlantParameters): number {
  const aft = Math.max(p.bodyLength, p.footStation) - xcg;
  return Math.max(xcg, Math.abs(aft)) + p.legRadius;
}

/** m/s of the centre of mass along the ground's normal, away from the ground positive. */
export function normalSpeed(s: TrueState, p: PlantParameters): number {
  return s.vx * p.groundX + s.vy * p.groundY + s.vz * p.groundZ;
}

/**
 * N by which thrust along the ground's normal exceeds the weight's part: a standing vehicle lifts off when it is
 * positive.
 */
export function liftSurplus(s: TrueState, load: Load, p: PlantParameters): number {
  const up = r00(s.qy, s.qz) * p.groundX + r10(s.qw, s.qx, s.qy, s.qz) * p.groundY + r20(s.qw, s.qx, s.qy, s.qz) * p.groundZ;
  return (load.ascentThrust + load.landingThrust) * up - load.mass * p.gravity * p.groundZ;
}
