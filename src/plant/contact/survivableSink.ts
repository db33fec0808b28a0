/**
 * The sink that the legs stand (model section 20): a vehicle that comes down upright on all of them, without gravity,
 * thrust or slide, m x'' = -k x - c x' on each. Pure functions of one leg's numbers; the peaks are the damped
 * oscillator's in closed form.
 */
import { atan2 } from '../../maths/elementary/arc.ts';
import { exp } from '../../maths/elementary/exponential.ts';
import { log } from '../../maths/elementary/logarithm.ts';

/** N per m/s of sink: the greatest force on a foot. @param m kg on it, k N/m, c N s/m */
export function forcePerSink(m: number, k: number, c: number): number {
  const w0 = Math.sqrt(k / m);
  const b = c / (2 * m);
  // Above half of critical damping the dashpot's force at the touch itself is the greatest.
  if (b >= 0.5 * w0) return c;
  const w = Math.sqrt(w0 * w0 - b * b);
  return Math.sqrt(k * m) * exp((-b * (3 * atan2(w, b) - Math.PI)) / w);
}

/** m per m/s of sink: how far a foot goes in. @param m kg on it, k N/m, c N s/m */
export function depthPerSink(m: number, k: number, c: number): number {
  const w0 = Math.sqrt(k / m);
  const b = c / (2 * m);
  return exp(-b * turnTime(w0, b)) / w0;
}

/** s from the touch to the deepest place. */
function turnTime(w0: number, b: number): number {
  if (b < w0) {
    const w = Math.sqrt(w0 * w0 - b * b);
    return atan2(w, b) / w;
  }
  const w = Math.sqrt(b * b - w0 * w0);
  return w === 0 ? 1 / b : log((b + w) / (b - w)) / (2 * w);
}

/**
 * m/s; the least of the sinks at which a leg breaks and at which the base reaches the ground.
 * @param strength N, Infinity without one   @param room m from the base to the feet
 */
export function survivableSink(m: number, k: number, c: number, strength: number, room: number): number {
  return Math.min(strength / forcePerSink(m, k, c), room / depthPerSink(m, k, c));
}
