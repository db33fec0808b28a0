/**
 * exp and expm1, the same bits from either compiler and in any engine: nothing but sums, products and quotients of
 * doubles. Error below 1 unit in the last place.
 *
 * exp after the optimized routines of Arm Limited, in the form of musl's src/math/exp.c and of AssemblyScript's
 * standard library; licence and table in exponentialTable.ts. expm1 after fdlibm, in the form of musl's
 * src/math/expm1.c: Copyright (C) 1993 by Sun Microsystems, Inc. All rights reserved. Developed at SunPro, a Sun
 * Microsystems, Inc. business. Permission to use, copy, modify, and distribute this software is freely granted,
 * provided that this notice is preserved.
 */
import { EXPONENTIALS } from './exponentialTable.ts';
import { powerOfTwo, scaled } from './powersOfTwo.ts';

/** 128/ln 2, and ln 2/128 in two parts, the first with room at its end: its product with a whole number is exact. */
const PER_STEP = 128.0 * Math.LOG2E;
const STEP_HIGH = 0.005415212348111709;
const STEP_LOW = 1.2864023111638346e-14;
/** ln 2 likewise. */
const LN2_HIGH = 6.9314718036912381649e-1;
const LN2_LOW = 1.90821492927058770002e-10;
const HALF_LN2 = 0.34657359027997264;
/** Beyond these the result is no finite number, or none above 0. */
const OVERFLOW = 709.782712893383973096;
const UNDERFLOW = -745.13321910194110842;

/** e to the x. NaN gives NaN. */
export function exp(x: number): number {
  if (!(x <= OVERFLOW)) return x + Number.POSITIVE_INFINITY;
  if (x < UNDERFLOW) return 0;
  // x = (k/128) ln 2 + r with |r| at most half a step; 2 to the k/128 from the table, exp r - 1 from a polynomial.
  const whole = Math.floor(PER_STEP * x + 0.5);
  const r = x - whole * STEP_HIGH - whole * STEP_LOW;
  const k = whole as i32;
  const place = 2 * (k & 127);
  const square = r * r;
  const more =
    EXPONENTIALS[place] +
    r +
    square * (0.49999999999996786 + r * 0.16666666666665886) +
    square * square * (0.0416666808410674 + r * 0.008333335853059549);
  const base = EXPONENTIALS[place + 1];
  return scaled(base + base * more, k >> 7);
}

/** e to the x, less 1, to full accuracy also where x is small. NaN gives NaN. */
export function expm1(x: number): number {
  if (!(x <= OVERFLOW)) return x + Number.POSITIVE_INFINITY;
  // From here on e to the x is lost beside the 1.
  if (x < -39) return -1;
  const near = Math.abs(x) < HALF_LN2;
  const n = near ? 0 : Math.floor(Math.LOG2E * x + 0.5);
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
