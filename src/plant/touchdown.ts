/**
 * Feet and nose against the ground plane through the pad, and whether a contact is survived. Locating the instant is the flight
 * loop's work. Rocking after G. W. Housner, Bull. Seismological Soc. America 53(2), 1963: angular momentum about the edge and
 * energy to the balance point; the sink's righting momentum is left out, on the safe side.
 */
import type { PlantParameters } from './parameters.ts';
import type { Load, TrueState } from './state.ts';

export interface TouchdownLimits {
  readonly sink: number;
  readonly slide: number;
  readonly tilt: number;
}

/** The check that failed first, or none. */
export const STANDS = 0;
export const SANK = 1;
export const SLID = 2;
export const LEANED = 3;
export const LEG_GAVE_WAY = 4;
export const TIPPED_OVER = 5;
export type Verdict = typeof STANDS | typeof SANK | typeof SLID | typeof LEANED | typeof LEG_GAVE_WAY | typeof TIPPED_OVER;

/** A contact as measured; one per worker, overwritten. m/s, rad, rad/s. */
export interface Contact {
  sink: number;
  slide: number;
  tilt: number;
  tiltRate: number;
  legsLocked: number;
}

export function emptyContact(): Contact {
  return { sink: 0, slide: 0, tilt: 0, tiltRate: 0, legsLocked: 0 };
}

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
  const bx = nx * (1 - 2 * (qy * qy + qz * qz)) + ny * 2 * (qx * qy + qw * qz) + nz * 2 * (qx * qz - qw * qy);
  const by = nx * 2 * (qx * qy - qw * qz) + ny * (1 - 2 * (qx * qx + qz * qz)) + nz * 2 * (qy * qz + qw * qx);
  const bz = nx * 2 * (qx * qz + qw * qy) + ny * 2 * (qy * qz - qw * qx) + nz * (1 - 2 * (qx * qx + qy * qy));
  const centre = nx * s.rx + ny * s.ry + nz * s.rz;
  const foot = p.bodyLength + share * (p.footStation - p.bodyLength);
  const radius = share * p.legRadius;
  let lowest = 0;
  for (let i = 0; i < p.legCount; i++) {
    const side = by * p.legCos[i] + bz * p.legSin[i];
    if (side < lowest) lowest = side;
  }
  const feet = bx * (xcg - foot) + radius * lowest;
  const nose = bx * xcg;
  return centre + Math.min(feet, nose);
}

/** Distance from the centre of mass beyond which nothing of the vehicle can reach, m. */
export function reach(xcg: number, p: PlantParameters): number {
  const aft = Math.max(p.bodyLength, p.footStation) - xcg;
  return Math.max(xcg, Math.abs(aft)) + p.legRadius;
}

/** Measures a contact into `out` and says which check fails first. `load` holds mass properties at that instant. */
export function judgeContact(out: Contact, s: TrueState, load: Load, share: number, p: PlantParameters, limits: TouchdownLimits): Verdict {
  const nx = p.groundX;
  const ny = p.groundY;
  const nz = p.groundZ;
  const qw = s.qw;
  const qx = s.qx;
  const qy = s.qy;
  const qz = s.qz;
  const ax = 1 - 2 * (qy * qy + qz * qz);
  const ay = 2 * (qx * qy + qw * qz);
  const az = 2 * (qx * qz - qw * qy);
  const up = ax * nx + ay * ny + az * nz;
  const normalSpeed = s.vx * nx + s.vy * ny + s.vz * nz;
  const tx = s.vx - normalSpeed * nx;
  const ty = s.vy - normalSpeed * ny;
  const tz = s.vz - normalSpeed * nz;
  out.sink = -normalSpeed;
  out.slide = Math.sqrt(tx * tx + ty * ty + tz * tz);
  const lx = ax - up * nx;
  const ly = ay - up * ny;
  const lz = az - up * nz;
  const lean = Math.sqrt(lx * lx + ly * ly + lz * lz);
  out.tilt = Math.atan2(lean, up);
  const wx = s.wx;
  const wy = s.wy;
  const wz = s.wz;
  out.tiltRate = Math.sqrt(wy * wy + wz * wz);
  let locked = 0;
  for (let i = 0; i < p.legCount; i++) if (share >= 1 && p.legFails[i] === 0) locked++;
  out.legsLocked = locked;

  if (out.sink > limits.sink) return SANK;
  if (out.slide > limits.slide) return SLID;
  if (out.tilt > limits.tilt) return LEANED;

  // Direction the vehicle would go over: along the slide, or else along the lean; none when it is still and upright.
  const sliding = out.slide > 1e-6;
  const length = sliding ? out.slide : lean;
  if (!(length > 0)) return STANDS;
  const ux = (sliding ? tx : lx) / length;
  const uy = (sliding ? ty : ly) / length;
  const uz = (sliding ? tz : lz) / length;

  const r01 = 2 * (qx * qy - qw * qz);
  const r11 = 1 - 2 * (qx * qx + qz * qz);
  const r21 = 2 * (qy * qz + qw * qx);
  const r02 = 2 * (qx * qz + qw * qy);
  const r12 = 2 * (qy * qz - qw * qx);
  const r22 = 1 - 2 * (qx * qx + qy * qy);
  const uy1 = ux * r01 + uy * r11 + uz * r21;
  const uz1 = ux * r02 + uy * r12 + uz * r22;
  for (let i = 0; i < p.legCount; i++) {
    const unlocked = share < 1 || p.legFails[i] === 1;
    if (unlocked && uy1 * p.legCos[i] + uz1 * p.legSin[i] > 0) return LEG_GAVE_WAY;
  }

  const mass = load.mass;
  const it = load.inertiaTransverse;
  const edge = share * p.legRadius * Math.cos(Math.PI / p.legCount);
  const h = p.bodyLength + share * (p.footStation - p.bodyLength) - load.xcg;
  const rho = Math.sqrt(h * h + edge * edge);
  const phi = Math.atan2(edge, h);
  const theta = Math.atan2(ax * ux + ay * uy + az * uz, up) + Math.atan2(-uz, nz);
  if (theta >= phi) return TIPPED_OVER;
  // Body rate in local axes along n x u: the rate that tips the vehicle along u.
  const px = ny * uz - nz * uy;
  const py = nz * ux - nx * uz;
  const pz = nx * uy - ny * ux;
  const gx = ax * wx + r01 * wy + r02 * wz;
  const gy = ay * wx + r11 * wy + r12 * wz;
  const gz = az * wx + r21 * wy + r22 * wz;
  const tipRate = gx * px + gy * py + gz * pz;
  const inertia = it + mass * rho * rho;
  const after = (mass * h * out.slide + it * tipRate) / inertia;
  if (after > 0 && 0.5 * inertia * after * after > mass * p.gravity * rho * (1 - Math.cos(phi - theta))) return TIPPED_OVER;
  return STANDS;
}
