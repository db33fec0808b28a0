/**
 * Gusts: the low-altitude Dryden turbulence of MIL-F-8785C (5 November 1980), 3.7.3.4, as three filters stepped once a
 * tick. Lengths and spectra are both of that document; MIL-HDBK-1797 defines both otherwise and gives the same
 * turbulence only when used whole.
 *
 * Spectra, one-sided in spatial frequency W, whose integral is sigma^2:
 *
 *     u      sigma^2 (2L/pi) / (1 + (L W)^2)                       along the mean wind: one state U
 *     v, w   sigma^2 (L/pi) (1 + 3 (L W)^2) / (1 + (L W)^2)^2      to its left, and up: two states X1, X2
 *
 * White noise through 1/(1 + s) gives U and X1, X1 through another 1/(1 + s) gives X2 (s per L/V), and v = X2 + sqrt3
 * (X1 - X2) has the numerator 1 + sqrt3 s. States have no unit: intensity and length of the present height enter at
 * each step, so a falling vehicle carries its gust from one height's scale into the next without a jump. The step is
 * exact for constant V/L (no step-size error).
 */
import { expm1 } from '../maths/elementary/exponential.ts';
import type { NormalNoise } from '../maths/normalNoise.ts';
import { power } from '../maths/power.ts';

/** State: U; X1, X2 of v; X1, X2 of w. */
export const GUST_STATE_SIZE = 5;

/** m, 20 ft: the height of the wind that sets the intensities. */
export const GUST_WIND_HEIGHT = 6.096;

/** m, 10 ft and 1000 ft: the specification's low-altitude range, at whose ends heights are held. */
const LEAST_HEIGHT = 3.048;
const GREATEST_HEIGHT = 304.8;
const METRES_PER_FOOT = 0.3048;
/** m/s; keeps the gusts moving when air and vehicle stand still. */
const LEAST_SPEED = 1;

/** Vertical length scale L_w = h in m, at a height in m held in 10..1000 ft. */
export function verticalGustLength(height: number): number {
  return Math.min(Math.max(height, LEAST_HEIGHT), GREATEST_HEIGHT);
}

/** sigma_u/sigma_w = sigma_v/sigma_w = 1/(0.177 + 0.000823 h)^0.4, h the vertical length in feet. */
export function horizontalGustRatio(verticalLength: number): number {
  return power(0.177 + 0.000823 * (verticalLength / METRES_PER_FOOT), -0.4);
}

/**
 * Horizontal length scale L_u = L_v = h/(0.177 + 0.000823 h)^1.2 in m; the power is the cube of the intensities' ratio.
 */
export function horizontalGustLength(verticalLength: number, ratio: number): number {
  return verticalLength * ratio * ratio * ratio;
}

/** sigma_w = 0.1 W20 in m/s, W20 the mean wind at 20 ft. */
export function verticalGustIntensity(windAt20ft: number): number {
  return 0.1 * windAt20ft;
}

/** Draws a stationary state: var U = 1; var X1 = 1/2, var X2 = cov = 1/4. Takes five standard normals from `noise`. */
export function startGusts(state: Float64Array, noise: NormalNoise): void {
  noise.prepare(5);
  state[0] = noise.next();
  const v1 = Math.SQRT1_2 * noise.next();
  state[1] = v1;
  state[2] = 0.5 * v1 + Math.sqrt(0.125) * noise.next();
  const w1 = Math.SQRT1_2 * noise.next();
  state[3] = w1;
  state[4] = 0.5 * w1 + Math.sqrt(0.125) * noise.next();
}

/**
 * Moves the state on by `dt` and writes the gust (u along the mean wind, v to its left, w up; m/s) to `out`. Takes five
 * standard normals from `noise`, whatever the scale: a caller with no gusts need not call.
 * @param height m above the ground
 * @param airspeed m/s, without the gust
 * @param wind m/s, mean wind at that height
 * @param windAt20ft m/s, mean wind at {@link GUST_WIND_HEIGHT}
 * @param scale on all three intensities
 * @param dt s, > 0
 *
 * With a = V dt/L and s the time before the step's end in L/V, the noises are integrals of one white noise over 0..a,
 * weighted by exp(-s) for X1 and s exp(-s) for X2. So var n1 = Q = (1 - e^-2a)/2, and n2 given n1 has, times Q, the
 * mean and variance of s under the density exp(-2s)/Q on 0..a: mean 1/2 - a e^-2a/(2Q), variance 1/4 - (a e^-a/(2Q))^2.
 */
export function stepGusts(
  state: Float64Array,
  height: number,
  airspeed: number,
  wind: number,
  windAt20ft: number,
  scale: number,
  dt: number,
  noise: NormalNoise,
  out: Float64Array,
): void {
  noise.prepare(5);
  const lengthW = verticalGustLength(height);
  const ratio = horizontalGustRatio(lengthW);
  const path = Math.max(Math.max(airspeed, wind), LEAST_SPEED) * dt;
  const sigmaW = scale * verticalGustIntensity(windAt20ft);
  const sigmaU = sigmaW * ratio;
  const sqrt3 = Math.sqrt(3);
  const along = path / horizontalGustLength(lengthW, ratio);
  const fade = fadeOver(along);
  state[0] = (1 + fade) * state[0] + Math.SQRT2 * Math.sqrt(-0.5 * fade * (2 + fade)) * noise.next();
  stepPair(state, 1, along, fade, noise);
  const upward = path / lengthW;
  stepPair(state, 3, upward, fadeOver(upward), noise);
  out[0] = sigmaU * state[0];
  out[1] = sigmaU * (state[2] + sqrt3 * (state[1] - state[2]));
  out[2] = sigmaW * (state[4] + sqrt3 * (state[3] - state[4]));
}

/**
 * e to the -a, less 1. For the small a of a tick by its series, whose parts need not wait for each other: good to 1e-15
 * up to a = 0.1.
 */
function fadeOver(a: number): number {
  if (a >= 0.1) return expm1(-a);
  const a2 = a * a;
  const a4 = a2 * a2;
  const first = 1 - a * 0.5 + a2 * (1.0 / 6.0 - a * (1.0 / 24.0));
  const later = 1.0 / 120.0 - a * (1.0 / 720.0) + a2 * (1.0 / 5040.0 - a * (1.0 / 40320.0)) + a4 * (1.0 / 362880.0);
  return -a * (first + a4 * later);
}

/**
 * Moves X1 and X2, which stand at `place` and after it, on by `a` filter lengths, over which they fade by `decayLess1`.
 */
function stepPair(state: Float64Array, place: i32, a: number, decayLess1: number, noise: NormalNoise): void {
  const decay = 1 + decayLess1;
  const q = -0.5 * decayLess1 * (2 + decayLess1);
  const root = Math.sqrt(q);
  const half = (0.5 * a * decay) / q;
  const n1 = root * noise.next();
  const x1 = state[place];
  state[place + 1] = decay * (a * x1 + state[place + 1]) + n1 * (0.5 - half * decay) + root * spread(a, half) * noise.next();
  state[place] = decay * x1 + n1;
}

/**
 * Square root of 1/4 - half^2, half = a e^-a/(2Q) = a/(2 sinh a). For small a the difference is of order a^2 and
 * cancels: there the series of (1 - (a/sinh a)^2)/4, good to 1e-13 of the sum up to a = 0.1 (so is the difference from
 * there on).
 */
function spread(a: number, half: number): number {
  if (a >= 0.1) return Math.sqrt(0.25 - half * half);
  const a2 = a * a;
  const a4 = a2 * a2;
  return a * Math.sqrt(1.0 / 12.0 - a2 * (1.0 / 60.0) + a4 * (1.0 / 378.0 - a2 * (1.0 / 2700.0) + a4 * (1.0 / 20790.0)));
}
