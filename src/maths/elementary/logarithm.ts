/**
 * ln x and ln(1 + x), the same bits from either compiler and in any engine. Error below 1 unit in the last place.
 *
 * After log and log1p of fdlibm, in the form of musl's src/math/log.c and log1p.c and of AssemblyScript's standard library:
 * Copyright (C) 1993 by Sun Microsystems, Inc. All rights reserved. Developed at SunPro, a Sun Microsystems, Inc. business.
 * Permission to use, copy, modify, and distribute this software is freely granted, provided that this notice is preserved.
 */
import { exponentOf, powerOfTwo } from './powersOfTwo.ts';

const LN2_HIGH = 6.9314718036912381649e-1;
const LN2_LOW = 1.90821492927058770002e-10;
/** The least normal number, and 2^54, which makes a normal number of any below. */
const LEAST_NORMAL = 2.2250738585072014e-308;
const TWO_TO_54 = 18014398509481984.0;
/** 2^-54: smaller ones are lost beside 1. */
const SMALLEST = 5.551115123125783e-17;

/** ln x. 0 gives -Infinity, anything below and NaN give NaN. */
export function log(x: number): number {
  if (!(x > 0)) return x === 0 ? Number.NEGATIVE_INFINITY : Number.NaN;
  if (x === Number.POSITIVE_INFINITY) return x;
  const tiny = x < LEAST_NORMAL;
  const normal = tiny ? x * TWO_TO_54 : x;
  // x = 2^k (1 + f), 1 + f between sqrt(1/2) and sqrt(2).
  const exponent = exponentOf(normal);
  const f = normal * powerOfTwo(-exponent) - 1;
  const k: number = tiny ? exponent - 54 : exponent;
  return nearOne(f, k, 0);
}

/** ln(1 + x) to full accuracy also where x is small. -1 gives -Infinity, anything below and NaN give NaN. */
export function log1p(x: number): number {
  if (!(x > -1)) return x === -1 ? Number.NEGATIVE_INFINITY : Number.NaN;
  if (x === Number.POSITIVE_INFINITY || Math.abs(x) < SMALLEST) return x;
  let k: number = 0;
  let f = x;
  /** What rounding took from 1 + x, over it. */
  let lost: number = 0;
  if (!(x > -0.29289 && x < 0.41421)) {
    const u = 1 + x;
    const exponent = exponentOf(u);
    f = u * powerOfTwo(-exponent) - 1;
    k = exponent;
    if (exponent < 54) lost = (exponent >= 2 ? 1 - (u - x) : x - (u - 1)) / u;
  }
  return nearOne(f, k, lost);
}

/** k ln 2 + ln(1 + f) + low: ln(1 + f) = f - f^2/2 + s (f^2/2 + R(s^2)), s = f/(2 + f). @param f sqrt(1/2) - 1 to sqrt(2) - 1 */
function nearOne(f: number, k: number, low: number): number {
  const halfSquare = 0.5 * f * f;
  const s = f / (2 + f);
  const z = s * s;
  const w = z * z;
  const even = w * (3.999999999940941908e-1 + w * (2.222219843214978396e-1 + w * 1.531383769920937332e-1));
  const odd = z * (6.66666666666673513e-1 + w * (2.857142874366239149e-1 + w * (1.818357216161805012e-1 + w * 1.479819860510658591e-1)));
  return s * (halfSquare + (odd + even)) + (k * LN2_LOW + low) - halfSquare + f + k * LN2_HIGH;
}
