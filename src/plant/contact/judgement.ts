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
import { measureContact } from './measurement.ts';

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
  measureContact(out, s, share, p);

  if (out.sink > limits.sink) return SANK;
  if (out.slide > limits.slide) return SLID;
  if (out.tilt > limits.tilt) return LEANED;

  // Direction the vehicle would go over: along the slide, or else along the lean; none when it is still and upright.
  const sliding = out.slide > 1e-6;
  const length = sliding ? out.slide : out.lean;
  if (!(length > 0)) return STANDS;
  const ux = (sliding ? out.slideX : out.leanX) / length;
  const uy = (sliding ? out.slideY : out.leanY) / length;
  const uz = (sliding ? out.slideZ : out.leanZ) / length;

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
  const theta = atan2(ax * ux + ay * uy + az * uz, out.up) + atan2(-uz, nz);
  if (theta >= phi) return TIPPED_OVER;
  // Body rate in local axes along n x u: the rate that tips the vehicle along u.
  const px = ny * uz - nz * uy;
  const py = nz * ux - nx * uz;
  const pz = nx * uy - ny * ux;
  const gx = ax * s.wx + yx * s.wy + zx * s.wz;
  const gy = ay * s.wx + yy * s.wy + zy * s.wz;
  const gz = az * s.wx + yz * s.wy + zz * s.wz;
  const tipRate = gx * px + gy * py + gz * pz;
  const inertia = it + mass * rho * rho;
  const after = (mass * h * out.slide + it * tipRate) / inertia;
  if (after > 0 && 0.5 * inertia * after * after > mass * p.gravity * rho * (1 - cos(phi - theta))) return TIPPED_OVER;
  return STANDS;
}
