/**
 * ln x and ln(1 + x), the same bits from either compiler and in any engine. Error below 1 unit in the last place.
 *
 * log after the optimized routines of Arm Limited, in the form of musl's src/math/log.c and of AssemblyScript's
 * standard library; licence and table in logarithmTable.ts. log1p after fdlibm, in the form of musl's src/math/log1p.c:
 * Copyright (C) 1993 by Sun Microsystems, Inc. All rights reserved. Developed at SunPro, a Sun Microsystems, Inc.
 * business. Permission to use, copy, modify, and distribute this software is freely granted, provided that this notice
 * is preserved.
 */
import { LOGARITHMS } from './logarithmTable.ts';
import { exponentOf, powerOfTwo, upperWord } from './powersOfTwo.ts';

/** ln 2 in two parts; the first has room at its end, so that its product with an exponent is exact. */
const LN2_HIGH = 0.6931471805598903;
const LN2_LOW = 5.497923018708371e-14;
/** The least normal number, and 2^54, which makes a normal number of any below. */
const LEAST_NORMAL = 2.2250738585072014e-308;
const TWO_TO_54 = 18014398509481984.0;
/** 2^-54: smaller ones are lost beside 1. */
const SMALLEST = 5.551115123125783e-17;
const TWO_TO_27 = 134217728.0;
/** The upper word of 0.6875, where the table begins. */
const TABLE_START = 0x3fe60000;

/** ln x. 0 gives -Infinity, anything below and NaN give NaN. */
export function log(x: number): number {
  if (x >= 0.9375 && x < 1.06469) return logNearOne(x - 1);
  if (!(x > 0)) return x === 0 ? Number.NEGATIVE_INFINITY : Number.NaN;
  if (x === Number.POSITIVE_INFINITY) return x;
  const tiny = x < LEAST_NORMAL;
  const normal = tiny ? x * TWO_TO_54 : x;
  // x = 2^k z with z in the table's range; ln x = k ln 2 + ln c + ln(1 + r), r = z/c - 1.
  const from = upperWord(normal) - TABLE_START;
  const exponent = from >> 20;
  const place = 4 * ((from >> 13) & 127);
  const z = normal * powerOfTwo(-exponent);
  const r = (z - LOGARITHMS[place + 2] - LOGARITHMS[place + 3]) * LOGARITHMS[place];
  const k: number = tiny ? exponent - 54 : exponent;
  const w = k * LN2_HIGH + LOGARITHMS[place + 1];
  const high = w + r;
  const low = w - high + r + k * LN2_LOW;
  const square = r * r;
  return (
    low +
    square * -0.5000000000000001 +
    r * square * (0.33333333331825593 + r * -0.2499999999622955 + square * (0.20000304511814496 + r * -0.16667054827627667)) +
    high
  );
}

/** ln(1 + r) for r from -1/16 to 0.0647. */
function logNearOne(r: number): number {
  const square = r * r;
  const cube = r * square;
  const y =
    cube *
    (0.3333333333333352 +
      r * -0.24999999999998432 +
      square * 0.19999999999320328 +
      cube *
        (-0.16666666669929706 +
          r * 0.14285715076560868 +
          square * -0.12499997863982555 +
          cube * (0.11110712032936046 + r * -0.10000486757818193 + square * 0.09181994006195467 + cube * -0.08328363062289341)));
  // r - r^2/2 in two parts.
  const shifted = r * TWO_TO_27;
  const upper = r + shifted - shifted;
  const half = upper * upper * -0.5;
  const high = r + half;
  const low = r - high + half + -0.5 * (r - upper) * (upper + r);
  return y + low + high;
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

/**
 * k ln 2 + ln(1 + f) + low: ln(1 + f) = f - f^2/2 + s (f^2/2 + R(s^2)), s = f/(2 + f). @param f sqrt(1/2) - 1 to
 * sqrt(2) - 1
 */
function nearOne(f: number, k: number, low: number): number {
  const halfSquare = 0.5 * f * f;
  const s = f / (2 + f);
  const z = s * s;
  const w = z * z;
  const even = w * (3.999999999940941908e-1 + w * (2.222219843214978396e-1 + w * 1.531383769920937332e-1));
  const odd = z * (6.66666666666673513e-1 + w * (2.857142874366239149e-1 + w * (1.818357216161805012e-1 + w * 1.479819860510658591e-1)));
  return s * (halfSquare + (odd + even)) + (k * LN2_LOW + low) - halfSquare + f + k * LN2_HIGH;
}
