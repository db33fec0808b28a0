/** Attitude quaternions, scalar first, turning body vectors into local ones. Knows neither truth nor belief. */
import { cos, sin } from './elementary/circular.ts';

/**
 * Attitude of a body standing on its tail (body x up, y east, z north), leaned by `tilt` toward the compass `azimuth`;
 * rad. Written to out[start .. start+3].
 */
export function leaningAttitude(out: Float64Array, start: i32, tilt: number, azimuth: number): void {
  const c = cos(tilt / 2);
  const s = sin(tilt / 2);
  // The lean, about the horizontal axis (-cos azimuth, sin azimuth, 0), times the upright (1, -1, -1, -1)/2.
  const lx = -cos(azimuth) * s;
  const ly = sin(azimuth) * s;
  out[start] = (c + lx + ly) / 2;
  out[start + 1] = (-c + lx - ly) / 2;
  out[start + 2] = (-c + lx + ly) / 2;
  out[start + 3] = (-c - lx + ly) / 2;
}

/** q <- q (x) exp of the rotation vector (tx, ty, tz) in body axes, rad. */
export function turnBy(q: Float64Array, tx: number, ty: number, tz: number): void {
  const square = tx * tx + ty * ty + tz * tz;
  const angle = Math.sqrt(square);
  // sin(angle/2)/angle; below 1e-4 the series is exact to 1e-18.
  const k = angle > 1e-4 ? sin(0.5 * angle) / angle : 0.5 - square / 48;
  const c = cos(0.5 * angle);
  const ex = k * tx;
  const ey = k * ty;
  const ez = k * tz;
  const w = q[0];
  const x = q[1];
  const y = q[2];
  const z = q[3];
  q[0] = w * c - x * ex - y * ey - z * ez;
  q[1] = w * ex + x * c + y * ez - z * ey;
  q[2] = w * ey - x * ez + y * c + z * ex;
  q[3] = w * ez + x * ey - y * ex + z * c;
}
