/**
 * Arc tangent and arc cosine, the same bits from either compiler and in any engine. Error below 1 unit in the last
 * place.
 *
 * After atan, atan2 and acos of fdlibm, in the form of musl's src/math and of AssemblyScript's standard library:
 * Copyright (C) 1993 by Sun Microsystems, Inc. All rights reserved. Developed at SunPro, a Sun Microsystems, Inc.
 * business. Permission to use, copy, modify, and distribute this software is freely granted, provided that this notice
 * is preserved.
 */

const HALF_PI = 1.570796326794896558;
const HALF_PI_LOW = 6.12323399573676603587e-17;
const PI_LOW = 1.2246467991473531772e-16;

/** rad in -pi/2..pi/2. */
export function atan(x: number): number {
  const size = Math.abs(x);
  // Beyond 2^66 nothing is left to tell from a right angle.
  if (size > 7.378697629483821e19) return x > 0 ? HALF_PI : -HALF_PI;
  const angle = atanOf(size);
  return x < 0 ? -angle : x === 0 ? x : angle;
}

/** The arc tangent of x from 0 on: of (x - c)/(1 + x c), which is small, beside that of the nearest of four c. */
function atanOf(x: number): number {
  if (x < 0.4375) return x - x * atanSeries(x * x);
  let t: number = 0;
  let high: number = 0;
  let low: number = 0;
  if (x < 0.6875) {
    t = (2 * x - 1) / (2 + x);
    high = 4.63647609000806093515e-1;
    low = 2.26987774529616870924e-17;
  } else if (x < 1.1875) {
    t = (x - 1) / (x + 1);
    high = 7.85398163397448278999e-1;
    low = 3.06161699786838301793e-17;
  } else if (x < 2.4375) {
    t = (x - 1.5) / (1 + 1.5 * x);
    high = 9.82793723247329054082e-1;
    low = 1.39033110312309984516e-17;
  } else {
    t = -1 / x;
    high = HALF_PI;
    low = HALF_PI_LOW;
  }
  return high - (t * atanSeries(t * t) - low - t);
}

/** 1 - atan(x)/x for |x| below 0.4375. @param z x^2 */
export function atanSeries(z: number): number {
  const w = z * z;
  const odd =
    z *
    (3.33333333333329318027e-1 +
      w *
        (1.42857142725034663711e-1 +
          w *
            (9.09088713343650656196e-2 +
              w * (6.66107313738753120669e-2 + w * (4.97687799461593236017e-2 + w * 1.62858201153657823623e-2)))));
  const even =
    w *
    (-1.99999999998764832476e-1 +
      w *
        (-1.1111110405462355788e-1 + w * (-7.69187620504482999495e-2 + w * (-5.83357013379057348645e-2 + w * -3.6531572744216915527e-2))));
  return odd + even;
}

/**
 * The angle of the point (x, y), rad in -pi..pi; 0 for the origin, whatever the signs of its zeros. NaN or both
 * infinite gives NaN.
 */
export function atan2(y: number, x: number): number {
  if (y === 0) return x < 0 ? Math.PI : Number.isNaN(x) ? x : 0;
  if (x === 0) return y > 0 ? HALF_PI : y < 0 ? -HALF_PI : y;
  const angle = atan(Math.abs(y / x));
  const whole = x < 0 ? Math.PI - (angle - PI_LOW) : angle;
  return y < 0 ? -whole : whole;
}

/** The angle of a cosine, rad in 0..pi; a cosine beyond 1 either way counts as 1. NaN gives NaN. */
export function acos(cosine: number): number {
  if (cosine >= 1) return 0;
  if (cosine <= -1) return Math.PI;
  if (Math.abs(cosine) < 0.5) return HALF_PI - (cosine - (HALF_PI_LOW - cosine * acosSeries(cosine * cosine)));
  if (cosine < 0) {
    const z = 0.5 * (1 + cosine);
    const root = Math.sqrt(z);
    return 2 * (HALF_PI - (root + (acosSeries(z) * root - HALF_PI_LOW)));
  }
  const z = 0.5 * (1 - cosine);
  const root = Math.sqrt(z);
  // The root in two parts.
  const c = 134217729.0 * root;
  const high = c - (c - root);
  const low = (z - high * high) / (root + high);
  return 2 * (high + (acosSeries(z) * root + low));
}

/** (asin(x) - x)/x^3 times x^2, for z = x^2 up to 1/4. */
function acosSeries(z: number): number {
  const above =
    z *
    (1.66666666666666657415e-1 +
      z *
        (-3.25565818622400915405e-1 +
          z *
            (2.01212532134862925881e-1 +
              z * (-4.00555345006794114027e-2 + z * (7.91534994289814532176e-4 + z * 3.4793310759602116757e-5)))));
  const below =
    1 + z * (-2.40339491173441421878 + z * (2.02094576023350569471 + z * (-6.8828397160545329303e-1 + z * 7.70381505559019352791e-2)));
  return above / below;
}
