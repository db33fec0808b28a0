/** What a contact is like at its instant: sink, slide, tilt, tilt rate. Judges nothing. */
import { atan2 } from '../../maths/elementary/arc.ts';
import { r00, r10, r20 } from '../../maths/rotation.ts';
import type { PlantParameters } from '../parameters.ts';
import type { TrueState } from '../state.ts';
import { normalSpeed } from './clearance.ts';
import type { Contact } from './groundContact.ts';

/** Measures a contact into `out`, by the centre of mass and the ground's normal. */
export function measureContact(out: Contact, s: TrueState, share: number, p: PlantParameters): void {
  const nx = p.groundX;
  const ny = p.groundY;
  const nz = p.groundZ;
  const ax = r00(s.qy, s.qz);
  const ay = r10(s.qw, s.qx, s.qy, s.qz);
  const az = r20(s.qw, s.qx, s.qy, s.qz);
  const up = ax * nx + ay * ny + az * nz;
  const rising = normalSpeed(s, p);
  const tx = s.vx - rising * nx;
  const ty = s.vy - rising * ny;
  const tz = s.vz - rising * nz;
  out.sink = -rising;
  out.slideX = tx;
  out.slideY = ty;
  out.slideZ = tz;
  out.slide = Math.sqrt(tx * tx + ty * ty + tz * tz);
  const lx = ax - up * nx;
  const ly = ay - up * ny;
  const lz = az - up * nz;
  out.up = up;
  out.leanX = lx;
  out.leanY = ly;
  out.leanZ = lz;
  out.lean = Math.sqrt(lx * lx + ly * ly + lz * lz);
  out.tilt = atan2(out.lean, up);
  out.tiltRate = Math.sqrt(s.wy * s.wy + s.wz * s.wz);
  let locked: number = 0;
  for (let i = 0; i < p.legCount; i++) if (share >= 1 && p.legFails[i] === 0) locked++;
  out.legsLocked = locked;
}
