/**
 * A piecewise-linear curve of thrust against time with its exact running impulse (quadratic in each piece). Both the
 * plant and the flight computer look things up in one; neither learns anything of the other from it.
 */

export class CurveTable {
  /** Number of points, >= 2. */
  points: i32 = 0;
  /** s, increasing. */
  time: Float64Array = new Float64Array(0);
  /** N */
  thrust: Float64Array = new Float64Array(0);
  /** N s burnt up to each point. */
  impulse: Float64Array = new Float64Array(0);
  /** N/s in the piece that starts at each point; the last is 0. */
  slope: Float64Array = new Float64Array(0);
  /** N s */
  total: number = 0;
}

/** N s burnt up to each point: trapezoids, exact for what is linear between the points. As many thrusts as times. */
function runningImpulse(time: readonly number[], thrust: readonly number[]): Float64Array {
  const impulse = new Float64Array(time.length);
  for (let k = 1; k < time.length; k++) impulse[k] = impulse[k - 1] + 0.5 * (time[k] - time[k - 1]) * (thrust[k - 1] + thrust[k]);
  return impulse;
}

/** N s of a whole curve. @param time s   @param thrust N, as many; at least one point */
export function impulseOf(time: readonly number[], thrust: readonly number[]): number {
  return runningImpulse(time, thrust)[time.length - 1];
}

/** @param time s, increasing   @param thrust N, as many; at least two points   @throws RangeError otherwise. */
export function curveTable(time: readonly number[], thrust: readonly number[]): CurveTable {
  const points = time.length;
  if (points < 2 || thrust.length !== points) throw new RangeError(`a curve needs two points or more, got ${points} and ${thrust.length}`);
  const impulse = runningImpulse(time, thrust);
  const slope = new Float64Array(points);
  for (let k = 1; k < points; k++) {
    const width = time[k] - time[k - 1];
    if (!(width > 0)) throw new RangeError(`curve times must increase, got ${time[k - 1]} then ${time[k]}`);
    slope[k - 1] = (thrust[k] - thrust[k - 1]) / width;
  }
  return { points, time: Float64Array.from(time), thrust: Float64Array.from(thrust), impulse, slope, total: impulse[points - 1] };
}

/** The piece that holds just after `time`: -1 before the first point, the last point's index from there on. */
export function pieceAfter(curve: CurveTable, time: number): i32 {
  let piece = curve.points - 1;
  while (piece >= 0 && time < curve.time[piece]) piece--;
  return piece;
}

/** N, in the named piece (extended to its ends, so that a jump belongs to one side only); 0 outside the curve. */
export function thrustIn(curve: CurveTable, piece: i32, time: number): number {
  if (piece < 0 || piece >= curve.points - 1) return 0;
  return curve.thrust[piece] + curve.slope[piece] * (time - curve.time[piece]);
}

/** N s burnt up to `time`, which lies in the named piece; exact. */
export function impulseIn(curve: CurveTable, piece: i32, time: number): number {
  if (piece < 0) return 0;
  if (piece >= curve.points - 1) return curve.total;
  const dt = time - curve.time[piece];
  return curve.impulse[piece] + dt * (curve.thrust[piece] + 0.5 * curve.slope[piece] * dt);
}

/** N at any time; zero outside the curve. */
export function thrustAt(curve: CurveTable, time: number): number {
  return thrustIn(curve, pieceAfter(curve, time), time);
}
