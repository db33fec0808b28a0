/**
 * exp and expm1, the same bits from either compiler and in any engine: nothing but additions, products and quotients of doubles.
 * Error below 1 unit in the last place.
 *
 * After exp and expm1 of fdlibm, in the form of musl's src/math/exp.c and expm1.c and of AssemblyScript's standard library:
 * Copyright (C) 1993 by Sun Microsystems, Inc. All rights reserved. Developed at SunPro, a Sun Microsystems, Inc. business.
 * Permission to use, copy, modify, and distribute this software is freely granted, provided that this notice is preserved.
 */
import { powerOfTwo, scaled } from './powersOfTwo.ts';

/** ln 2 in two parts; the first has room at its end, so that its product with an exponent is exact. */
const LN2_HIGH = 6.9314718036912381649e-1;
const LN2_LOW = 1.90821492927058770002e-10;
const PER_LN2 = Math.LOG2E;
/** Beyond these the result is no finite number, or none above 0. */
const OVERFLOW = 709.782712893383973096;
const UNDERFLOW = -745.13321910194110842;

/** e to the x. NaN gives NaN. */
export function exp(x: number): number {
  if (!(x <= OVERFLOW)) return x + Number.POSITIVE_INFINITY;
  if (x < UNDERFLOW) return 0;
  // x = n ln 2 + r with |r| at most half of ln 2; exp r = 1 + 2r/(2 - c), c a polynomial in r.
  const n = Math.floor(PER_LN2 * x + 0.5);
  const high = x - n * LN2_HIGH;
  const low = n * LN2_LOW;
  const r = high - low;
  const s = r * r;
  const c =
    r -
    s *
      (1.66666666666666019037e-1 +
        s *
          (-2.77777777770155933842e-3 + s * (6.61375632143793436117e-5 + s * (-1.6533902205465251539e-6 + s * 4.13813679705723846039e-8))));
  return scaled(1 + ((r * c) / (2 - c) - low + high), n as i32);
}

/** e to the x, less 1, to full accuracy also where x is small. NaN gives NaN. */
export function expm1(x: number): number {
  if (!(x <= OVERFLOW)) return x + Number.POSITIVE_INFINITY;
  // From here on e to the x is lost beside the 1.
  if (x < -39) return -1;
  const n = Math.floor(PER_LN2 * x + 0.5);
  const high = x - n * LN2_HIGH;
  const low = n * LN2_LOW;
  const r = high - low;
  /** What rounding took from r. */
  const lost = high - r - low;
  const half = 0.5 * r;
  const s = r * half;
  const q =
    1 +
    s *
      (-3.33333333333331316428e-2 +
        s *
          (1.58730158725481460165e-3 +
            s * (-7.93650757867487942473e-5 + s * (4.00821782732936239552e-6 + s * -2.01099218183624371326e-7))));
  const t = 3 - q * half;
  let e = s * ((q - t) / (6 - r * t));
  const k = n as i32;
  if (k === 0) return r - (r * e - s);
  e = r * (e - lost) - lost - s;
  if (k === -1) return 0.5 * (r - e) - 0.5;
  if (k === 1) return r < -0.25 ? -2 * (e - (r + 0.5)) : 1 + 2 * (r - e);
  if (k < 0 || k > 56) return scaled(r - e + 1, k) - 1;
  const less = powerOfTwo(-k);
  return (k < 20 ? r + (1 - less - e) : r + (1 - (e + less))) * powerOfTwo(k);
}
