/**
 * Every power of two a double can hold, and a double's own: scaling by one is exact, so this is how exponents are put
 * on and taken off.
 */

/** The least exponent, that of the smallest number above 0. */
const LEAST = -1074;
const MOST = 1023;

const POWERS = new Float64Array(MOST - LEAST + 1);
let power: number = Number.MIN_VALUE;
for (let i = 0; i < POWERS.length; i++) {
  POWERS[i] = power;
  power *= 2;
}

/** 2 to the n, exact. @param n -1074..1023, whole */
export function powerOfTwo(n: i32): number {
  return POWERS[n - LEAST];
}

/** y times 2 to the n, for y in 0.5..2 and n in -1075..1024. */
export function scaled(y: number, n: i32): number {
  if (n > MOST) return 2 * y * POWERS[n - 1 - LEAST];
  if (n < LEAST) return 0.5 * y * POWERS[n + 1 - LEAST];
  return y * POWERS[n - LEAST];
}

const CELL = new DataView(new ArrayBuffer(8));

/**
 * The upper half of a number's 64 bits: sign, eleven bits of exponent, the first twenty of the fraction. The only
 * function with a statement of asc's own, in the comment: this way through memory and its checks costs a fiftieth of a
 * flight.
 */
export function upperWord(x: number): i32 {
  // asc: return (reinterpret<i64>(x) >> 32) as i32;
  CELL.setFloat64(0, x, true);
  return CELL.getInt32(4, true);
}

/**
 * The exponent n of a normal x = 2^n m with m in [sqrt(1/2), sqrt(2)), those rounded to 1e-6. @param x from 2.3e-308,
 * finite
 */
export function exponentOf(x: number): i32 {
  // 0x3fe6a09e is the upper half of sqrt(1/2).
  return ((upperWord(x) + (0x3ff00000 - 0x3fe6a09e)) >> 20) - 1023;
}
