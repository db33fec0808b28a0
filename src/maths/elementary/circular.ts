/**
 * Sine, cosine and tangent, the same bits from either compiler and in any engine. Error below 1 unit in the last place
 * up to a million radians; beyond, below 1e-16 of the argument, since a turn is then taken as the double nearest to 2
 * pi.
 *
 * After sin, cos, tan and their argument reduction of fdlibm, in the form of musl's src/math and of AssemblyScript's
 * standard library: Copyright (C) 1993 by Sun Microsystems, Inc. All rights reserved. Developed at SunPro, a Sun
 * Microsystems, Inc. business. Permission to use, copy, modify, and distribute this software is freely granted,
 * provided that this notice is preserved.
 */

const QUARTER_PI = 7.85398163397448278999e-1;
const QUARTER_PI_LOW = 3.06161699786838301793e-17;
const PER_HALF_PI = 6.36619772367581382433e-1;
/**
 * pi/2 in three parts of 33 bits, so that their products with a count of quarter turns are exact, and what follows
 * each.
 */
const FIRST = 1.57079632673412561417;
const FIRST_REST = 6.07710050650619224932e-11;
const SECOND = 6.0771005063039659766e-11;
const SECOND_REST = 2.02226624879595063154e-21;
const THIRD = 2.0222662487111664558e-21;
const THIRD_REST = 8.47842766036889956997e-32;
const TURN = 6.283185307179586;
/** rad; up to here the three parts give the remainder to a double's accuracy. */
const FAR = 1e6;
/** 2^16 and 2^49: by how much a remainder may have cancelled before the next part is needed. */
const NEEDS_SECOND = 65536.0;
const NEEDS_THIRD = 562949953421312.0;

/** What {@link reduce} leaves: the remainder and what rounding took from it. */
let rest: number = 0;
let restLow: number = 0;

/** sin x. Not finite gives NaN. */
export function sin(x: number): number {
  if (Math.abs(x) <= QUARTER_PI) return sineNear(x, 0);
  const quarter = reduce(x);
  const y = (quarter & 1) === 0 ? sineNear(rest, restLow) : cosineNear(rest, restLow);
  return quarter < 2 ? y : -y;
}

/** cos x. Not finite gives NaN. */
export function cos(x: number): number {
  if (Math.abs(x) <= QUARTER_PI) return cosineNear(x, 0);
  const quarter = reduce(x);
  const y = (quarter & 1) === 0 ? cosineNear(rest, restLow) : sineNear(rest, restLow);
  return quarter === 0 || quarter === 3 ? y : -y;
}

/** tan x. Not finite gives NaN. */
export function tan(x: number): number {
  if (Math.abs(x) <= QUARTER_PI) return tangentNear(x, 0, false);
  const quarter = reduce(x);
  return tangentNear(rest, restLow, (quarter & 1) === 1);
}

/** Up to here, rad, {@link tanSeries} holds. */
export const SMALL_ANGLE = 0.15;

/** tan x of a small angle by its power series: good to rounding, and its parts need not wait for each other. */
export function tanSeries(x: number): number {
  const x2 = x * x;
  const x4 = x2 * x2;
  const first = 1.0 / 3.0 + x2 * (2.0 / 15.0);
  const second = 17.0 / 315.0 + x2 * (62.0 / 2835.0);
  const third = 1382.0 / 155925.0 + x2 * (21844.0 / 6081075.0) + x4 * (929569.0 / 638512875.0);
  return x + x * x2 * (first + x4 * (second + x4 * third));
}

/**
 * x less the nearest whole number of quarter turns, left in `rest` and `restLow`. @returns that number modulo 4; 0 for
 * no finite x
 */
function reduce(x: number): i32 {
  if (!Number.isFinite(x)) {
    rest = Number.NaN;
    return 0;
  }
  const near = Math.abs(x) > FAR ? x % TURN : x;
  const size = Math.abs(near);
  const n = Math.floor(near * PER_HALF_PI + 0.5);
  let r = near - n * FIRST;
  let w = n * FIRST_REST;
  let y = r - w;
  if (size > NEEDS_SECOND * Math.abs(y)) {
    const before = r;
    w = n * SECOND;
    r = before - w;
    w = n * SECOND_REST - (before - r - w);
    y = r - w;
    if (size > NEEDS_THIRD * Math.abs(y)) {
      const second = r;
      w = n * THIRD;
      r = second - w;
      w = n * THIRD_REST - (second - r - w);
      y = r - w;
    }
  }
  rest = y;
  restLow = r - y - w;
  return (n as i32) & 3;
}

/** sin(x + low) for |x| up to pi/4. */
function sineNear(x: number, low: number): number {
  const z = x * x;
  const w = z * z;
  const r =
    8.33333333332248946124e-3 +
    z * (-1.98412698298579493134e-4 + z * 2.75573137070700676789e-6) +
    z * w * (-2.50507602534068634195e-8 + z * 1.58969099521155010221e-10);
  const v = z * x;
  return x - (z * (0.5 * low - v * r) - low - v * -1.66666666666666324348e-1);
}

/** cos(x + low) for |x| up to pi/4. */
function cosineNear(x: number, low: number): number {
  const z = x * x;
  const w = z * z;
  const r =
    z * (4.16666666666666019037e-2 + z * (-1.38888888888741095749e-3 + z * 2.48015872894767294178e-5)) +
    w * w * (-2.75573143513906633035e-7 + z * (2.0875723212981748279e-9 + z * -1.13596475577881948265e-11));
  const half = 0.5 * z;
  const one = 1 - half;
  return one + (1 - one - half + (z * r - x * low));
}

/** tan(x + low) for |x| up to pi/4, or minus its inverse. */
function tangentNear(from: number, fromLow: number, inverse: boolean): number {
  let x = from;
  let low = fromLow;
  const big = Math.abs(x) >= 0.6744;
  const negative = x < 0;
  if (big) {
    // tan(pi/4 - y) from tan y, which is small.
    x = QUARTER_PI - Math.abs(x) + (QUARTER_PI_LOW - (negative ? -low : low));
    low = 0;
  }
  const z = x * x;
  const w = z * z;
  const odd =
    1.33333333333201242699e-1 +
    w *
      (2.18694882948595424599e-2 +
        w * (3.59207910759131235356e-3 + w * (5.88041240820264096874e-4 + w * (7.817944429395570923e-5 + w * -1.85586374855275456654e-5))));
  const even =
    z *
    (5.39682539762260521377e-2 +
      w *
        (8.86323982359930005737e-3 +
          w *
            (1.45620945432529025516e-3 +
              w * (2.46463134818469906812e-4 + w * (7.14072491382608190305e-5 + w * 2.59073051863633712884e-5)))));
  const cube = z * x;
  const r = low + z * (cube * (odd + even) + low) + 3.33333333333334091986e-1 * cube;
  const t = x + r;
  if (big) {
    const v: number = inverse ? -1 : 1;
    const far = v - 2 * (x - ((t * t) / (t + v) - r));
    return negative ? -far : far;
  }
  if (!inverse) return t;
  // -1/t with t in two parts, since its rounding error would be doubled.
  const high = upper(t);
  const a = -1 / t;
  const aHigh = upper(a);
  return aHigh + a * (1 + aHigh * high + aHigh * (r - (high - x)));
}

/** The upper half of a double's digits (T. J. Dekker, Numer. Math. 18 (1971) 224-242). */
function upper(x: number): number {
  const c = 134217729.0 * x;
  return c - (c - x);
}
