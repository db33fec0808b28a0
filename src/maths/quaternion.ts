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
  // sin(angle/2)/angle and cos(angle/2) by the square of the angle: up to 0.1 rad, more than a tick's turn, their power
  // series are exact to rounding and wait for no root.
  const square = tx * tx + ty * ty + tz * tz;
  let k = 0.5 - square * (1.0 / 48.0 - square * (1.0 / 3840.0 - square * (1.0 / 645120.0)));
  let c = 1 - square * (1.0 / 8.0 - square * (1.0 / 384.0 - square * (1.0 / 46080.0 - square * (1.0 / 10321920.0))));
  if (square > 0.01) {
    const angle = Math.sqrt(square);
    k = sin(0.5 * angle) / angle;
    c = cos(0.5 * angle);
  }
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
