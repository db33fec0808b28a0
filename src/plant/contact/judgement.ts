/**
 * Whether a contact is survived, by rules, at the instant it happens; locating that instant is not done here. Rocking
 * after G. W. Housner, Bull. Seismological Soc. America 53(2), 1963: angular momentum about the edge and energy to the
 * balance point; the sink's righting momentum is left out, on the safe side.
 */
import { atan2 } from '../../maths/elementary/arc.ts';
import { cos } from '../../maths/elementary/circular.ts';
import { r00, r01, r02, r10, r11, r12, r20, r21, r22 } from '../../maths/rotation.ts';
import type { PlantParameters } from '../parameters.ts';
import type { Load, TrueState } from '../state.ts';
import { normalSpeed } from './clearance.ts';
import {
  type Contact,
  LEANED,
  LEG_GAVE_WAY,
  SANK,
  SLID,
  STANDS,
  TIPPED_OVER,
  type TouchdownLimits,
  type Verdict,
} from './groundContact.ts';

/** Measures a contact into `out` and says which check fails first. `load` holds mass properties at that instant. */
export function judgeContact(out: Contact, s: TrueState, load: Load, share: number, p: PlantParameters, limits: TouchdownLimits): Verdict {
  const nx = p.groundX;
  const ny = p.groundY;
  const nz = p.groundZ;
  const qw = s.qw;
  const qx = s.qx;
  const qy = s.qy;
  const qz = s.qz;
  const ax = r00(qy, qz);
  const ay = r10(qw, qx, qy, qz);
  const az = r20(qw, qx, qy, qz);
  const up = ax * nx + ay * ny + az * nz;
  const rising = normalSpeed(s, p);
  const tx = s.vx - rising * nx;
  const ty = s.vy - rising * ny;
  const tz = s.vz - rising * nz;
  out.sink = -rising;
  out.slide = Math.sqrt(tx * tx + ty * ty + tz * tz);
  const lx = ax - up * nx;
  const ly = ay - up * ny;
  const lz = az - up * nz;
  const lean = Math.sqrt(lx * lx + ly * ly + lz * lz);
  out.tilt = atan2(lean, up);
  const wx = s.wx;
  const wy = s.wy;
  const wz = s.wz;
  out.tiltRate = Math.sqrt(wy * wy + wz * wz);
  let locked: number = 0;
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

  const yx = r01(qw, qx, qy, qz);
  const yy = r11(qx, qz);
  const yz = r21(qw, qx, qy, qz);
  const zx = r02(qw, qx, qy, qz);
  const zy = r12(qw, qx, qy, qz);
  const zz = r22(qx, qy);
  const side = ux * yx + uy * yy + uz * yz;
  const other = ux * zx + uy * zy + uz * zz;
  for (let i = 0; i < p.legCount; i++) {
    const unlocked = share < 1 || p.legFails[i] === 1;
    if (unlocked && side * p.legCos[i] + other * p.legSin[i] > 0) return LEG_GAVE_WAY;
  }

  const mass = load.mass;
  const it = load.inertiaTransverse;
  const edge = share * p.legRadius * cos(Math.PI / p.legCount);
  const h = p.bodyLength + share * (p.footStation - p.bodyLength) - load.xcg;
  const rho = Math.sqrt(h * h + edge * edge);
  const phi = atan2(edge, h);
  const theta = atan2(ax * ux + ay * uy + az * uz, up) + atan2(-uz, nz);
  if (theta >= phi) return TIPPED_OVER;
  // Body rate in local axes along n x u: the rate that tips the vehicle along u.
  const px = ny * uz - nz * uy;
  const py = nz * ux - nx * uz;
  const pz = nx * uy - ny * ux;
  const gx = ax * wx + yx * wy + zx * wz;
  const gy = ay * wx + yy * wy + zy * wz;
  const gz = az * wx + yz * wy + zz * wz;
  const tipRate = gx * px + gy * py + gz * pz;
  const inertia = it + mass * rho * rho;
  const after = (mass * h * out.slide + it * tipRate) / inertia;
  if (after > 0 && 0.5 * inertia * after * after > mass * p.gravity * rho * (1 - cos(phi - theta))) return TIPPED_OVER;
  return STANDS;
}
