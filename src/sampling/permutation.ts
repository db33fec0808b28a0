/**
 * A random-looking order of 0..n-1, any element alone, without a table of n numbers. For one dimension of a Latin
 * hypercube.
 *
 * A Feistel network on the fewest bits that hold n, six at least (M. Luby and C. Rackoff, SIAM J. Comput. 17 (1988)
 * 373-386), walked along its cycle until it comes back below n (J. Black and P. Rogaway, Ciphers with arbitrary finite
 * domains, CT-RSA 2002, LNCS 2271, 114-130).
 */
import type { Stream } from '../maths/streams.ts';

const ROUNDS = 10;
/**
 * On fewer, the orders of five or six places are measurably not equally frequent (parity of the network, few distinct
 * rounds).
 */
const FEWEST_BITS = 6;

/** Largest n: places are 32-bit words, and one bit is kept from the sign. */
export const LARGEST_PERMUTATION = 2 ** 31;

/**
 * What stands at each place: a bijection of 0..n-1, different for each stream.
 * @throws RangeError unless n is whole, 1..2^31.
 */
export function permutation(n: number, random: Stream): (place: number) => number {
  if (!(Number.isInteger(n) && n >= 1 && n <= LARGEST_PERMUTATION)) {
    throw new RangeError(`a permutation needs a whole number of places from 1 to ${LARGEST_PERMUTATION}, got ${n}`);
  }
  const keys = Int32Array.from({ length: ROUNDS }, () => Math.floor(random() * 2 ** 32) | 0);
  const bits = Math.max(FEWEST_BITS, 32 - Math.clz32(n - 1));
  const rightBits = (bits + 1) >>> 1;
  const leftBits = bits - rightBits;
  const rightMask = (1 << rightBits) - 1;
  const leftMask = (1 << leftBits) - 1;

  return (place) => {
    let x = place;
    do {
      let left = x >>> rightBits;
      let right = x & rightMask;
      for (let r = 0; r < ROUNDS; r += 2) {
        left ^= mix(right ^ keys[r]) & leftMask;
        right ^= mix(left ^ keys[r + 1]) & rightMask;
      }
      x = (left << rightBits) | right;
    } while (x >= n);
    return x;
  };
}

/** Every bit of the word into every bit of the result: the finaliser of MurmurHash3 (A. Appleby, public domain). */
function mix(word: number): number {
  let h = word ^ (word >>> 16);
  h = Math.imul(h, 0x85ebca6b);
  h ^= h >>> 13;
  h = Math.imul(h, 0xc2b2ae35);
  return h ^ (h >>> 16);
}
