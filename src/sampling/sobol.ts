/**
 * Scrambled Sobol' points, any point of any dimension alone. Knows dimensions and streams; which input has which
 * dimension is design.ts.
 *
 * Scrambling: per dimension a random lower-triangular bit matrix and a random digital shift (J. Matousek, On the
 * L2-discrepancy for anchored boxes, J. Complexity 14 (1998) 527-556). Each point is then uniform, every net property
 * of the sequence stays, and the variance of a mean is that of nested uniform scrambling (A. B. Owen, Variance with
 * alternative scramblings of digital nets, ACM Trans. Model. Comput. Simul. 13 (2003) 363-378). The matrix costs
 * nothing a point: it is multiplied into the direction numbers once. The error of a mean is not normal over scrambles,
 * though (rare large ones among very small ones): no interval may be built as if it were.
 */
import type { Stream } from '../maths/streams.ts';
import { SOBOL_DIRECTIONS } from './sobolDirections.ts';

const BITS = 32;
/** Dimensions the table of direction numbers reaches. */
export const SOBOL_DIMENSIONS = SOBOL_DIRECTIONS.length + 1;
/** Points before the sequence repeats. */
export const SOBOL_POINTS = 2 ** BITS;

/**
 * One coordinate of the sequence: direction numbers as 32-bit words, the first digit on top, and the shift below and
 * within 32 digits.
 */
export interface SobolDimension {
  readonly directions: Int32Array;
  readonly shift: number;
  /** In (0, 1): where inside its last cell each point lies. */
  readonly within: number;
}

/**
 * A plain coordinate, its points at the lower corner of their cells as published.
 * @param dimension 0-based
 * @throws RangeError beyond the table.
 */
export function sobolDimension(dimension: number): SobolDimension {
  return { directions: directionNumbers(dimension), shift: 0, within: 0 };
}

/**
 * The same coordinate scrambled by what `random` gives. Its points lie strictly inside (0, 1): the shift goes on below
 * the 32nd digit, so a quantile never sees an end.
 */
export function scrambledSobolDimension(dimension: number, random: Stream): SobolDimension {
  const word = (): number => Math.floor(random() * 2 ** BITS) | 0;
  const { directions: plain } = sobolDimension(dimension);
  const directions = new Int32Array(BITS);
  for (let row = 0; row < BITS; row++) {
    // Digit `row` of the result is digit `row` itself plus a random sum of the digits above it.
    const digit = 1 << (BITS - 1 - row);
    const above = row === 0 ? 0 : -1 << (BITS - row);
    const mask = digit | (word() & above);
    for (let k = 0; k < BITS; k++) if (parity(plain[k] & mask) === 1) directions[k] |= digit;
  }
  const shift = word();
  return { directions, shift, within: (Math.floor(random() * 2 ** 20) + 0.5) / 2 ** 20 };
}

/**
 * Coordinate of a point, in [0, 1); exact in a double.
 * @param index 0-based, whole, below {@link SOBOL_POINTS}, in the usual (Gray code) order of the sequence.
 */
export function sobolPoint(dimension: SobolDimension, index: number): number {
  const { directions } = dimension;
  let gray = (index ^ (index >>> 1)) >>> 0;
  let bits = dimension.shift;
  while (gray !== 0) {
    const k = 31 - Math.clz32(gray);
    bits ^= directions[k];
    gray ^= 1 << k;
  }
  return ((bits >>> 0) + dimension.within) * 2 ** -BITS;
}

/**
 * v_k = m_k/2^k as words, m_k by the recurrence of the polynomial x^s + a_1 x^(s-1) + ... + 1 (Joe and Kuo 2008, eq.
 * 2).
 */
function directionNumbers(dimension: number): Int32Array {
  if (!(dimension >= 0 && dimension < SOBOL_DIMENSIONS)) {
    throw new RangeError(`the Sobol' table has ${SOBOL_DIMENSIONS} dimensions, asked for number ${dimension + 1}`);
  }
  const v = new Int32Array(BITS);
  if (dimension === 0) {
    for (let k = 0; k < BITS; k++) v[k] = 1 << (BITS - 1 - k);
    return v;
  }
  const [a, ...m] = SOBOL_DIRECTIONS[dimension - 1];
  const s = m.length;
  for (let k = 0; k < s; k++) v[k] = m[k] << (BITS - 1 - k);
  for (let k = s; k < BITS; k++) {
    let next = v[k - s] ^ (v[k - s] >>> s);
    for (let j = 1; j < s; j++) if (((a >>> (s - 1 - j)) & 1) === 1) next ^= v[k - j];
    v[k] = next;
  }
  return v;
}

/** Sum of the bits modulo 2. */
function parity(word: number): number {
  let w = word ^ (word >>> 16);
  w ^= w >>> 8;
  w ^= w >>> 4;
  w ^= w >>> 2;
  w ^= w >>> 1;
  return w & 1;
}
