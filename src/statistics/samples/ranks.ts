/**
 * Order and ranks of one column of numbers. Every rank-based measure starts here; knows nothing of what the column
 * means.
 */

/** The rows of a column in the order of their values. */
export interface Ordered {
  /** Row numbers from the smallest value to the largest. */
  readonly order: Uint32Array;
  /** The values from the smallest to the largest: to be walked without leaping about in the rows. */
  readonly ascending: Float64Array;
}

/** A column with its order and its average ranks, equal values in row order; made only by {@link ranked}. */
export interface Ranked extends Ordered {
  readonly values: Float64Array;
  /** 1..n by row; equal values share the mean of the places they take up. */
  readonly ranks: Float64Array;
}

/**
 * Order and average ranks of a column.
 * @param values n >= 1 finite numbers; not copied, so leave them alone afterwards.
 * @throws RangeError on an empty column or a value that is not finite: a row without a value has no rank, the caller
 * must leave it out by name. Source of the tie rule: M. G. Kendall, The treatment of ties in ranking problems,
 * Biometrika 33 (1945) 239-251.
 */
export function ranked(values: Float64Array): Ranked {
  return new Ranker(values.length).ranked(values);
}

/** Ranks one column after the other of the same rows in the same memory: each is good until the next. */
export class Ranker {
  readonly #ascending: Float64Array;
  readonly #ranks: Float64Array;
  readonly #sort: Sort;

  constructor(rows: number) {
    this.#ascending = new Float64Array(rows);
    this.#ranks = new Float64Array(rows);
    this.#sort = new Sort(rows);
  }

  /** As {@link ranked}. */
  ranked(values: Float64Array): Ranked {
    const n = values.length;
    if (n === 0) throw new RangeError('a column of no rows has no ranks');
    for (let i = 0; i < n; i++) {
      if (!Number.isFinite(values[i])) throw new RangeError(`row ${i} holds ${values[i]}: only finite numbers have ranks`);
    }
    const [order, ascending] = [this.#sort.order(values), this.#ascending];
    for (let i = 0; i < n; i++) ascending[i] = values[order[i]];
    return { values, order, ranks: ranksOf(ascending, order, this.#ranks), ascending };
  }
}

function ranksOf(ascending: Float64Array, order: Uint32Array, ranks: Float64Array): Float64Array {
  const n = order.length;
  for (let start = 0; start < n; ) {
    const end = tieEnd(ascending, start);
    // places start+1 .. end are shared
    const shared = (start + 1 + end) / 2;
    for (let i = start; i < end; i++) ranks[order[i]] = shared;
    start = end;
  }
  return ranks;
}

/** The place after the last that holds the same value as place `start`. */
export function tieEnd(ascending: Float64Array, start: number): number {
  const value = ascending[start];
  let end = start + 1;
  while (end < ascending.length && ascending[end] === value) end++;
  return end;
}

/**
 * How many rows hold the lower value of a column of two values; null for a column of one or of more. Binary search in
 * its order.
 */
export function endOfTwoValues({ ascending }: Ordered): number | null {
  const n = ascending.length;
  const least = ascending[0];
  if (ascending[n - 1] === least) return null;
  let low = 0;
  let high = n - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (ascending[middle] === least) low = middle;
    else high = middle;
  }
  return ascending[high] === ascending[n - 1] ? high : null;
}

const DIGIT = 11;
const BUCKETS = 1 << DIGIT;
const PASSES = 6;

/**
 * Row numbers in ascending order of value, stable; -0 equals 0. A radix sort on the bits of the numbers, several times
 * as fast as `sort` with a comparison at 100,000 rows, where sorting every input is most of the work of a ranking.
 * Source: D. E. Knuth, The Art of Computer Programming 3, 2nd ed. (1998), 5.2.5, algorithm R.
 */
class Sort {
  readonly #low: Uint32Array;
  readonly #high: Uint32Array;
  readonly #digits: Uint16Array;
  #order: Uint32Array;
  #spare: Uint32Array;

  constructor(rows: number) {
    this.#low = new Uint32Array(rows);
    this.#high = new Uint32Array(rows);
    this.#digits = new Uint16Array(rows);
    this.#order = new Uint32Array(rows);
    this.#spare = new Uint32Array(rows);
  }

  /** Good until the next. */
  order(values: Float64Array): Uint32Array {
    const n = values.length;
    const [low, high, digits] = [this.#low, this.#high, this.#digits];
    let [order, spare] = [this.#order, this.#spare];
    // bits made to sort as whole numbers: negative numbers wholly flipped, others only in their sign
    const number = new Float64Array(1);
    const words = new Uint32Array(number.buffer);
    const lowWord = LITTLE_ENDIAN ? 0 : 1;
    for (let i = 0; i < n; i++) {
      number[0] = values[i] + 0;
      const l = words[lowWord];
      const h = words[1 - lowWord];
      const negative = h >>> 31 === 1;
      low[i] = negative ? ~l : l;
      high[i] = negative ? ~h : h ^ 0x80000000;
      order[i] = i;
    }
    const starts = new Uint32Array(BUCKETS + 1);
    for (let pass = 0; pass < PASSES; pass++) {
      const shift = pass * DIGIT;
      starts.fill(0);
      for (let i = 0; i < n; i++) {
        const digit = digitAt(low[i], high[i], shift);
        digits[i] = digit;
        starts[digit + 1] += 1;
      }
      if (starts[digits[0] + 1] === n) continue; // all rows agree in this digit
      for (let b = 0; b < BUCKETS; b++) starts[b + 1] += starts[b];
      for (let i = 0; i < n; i++) {
        const row = order[i];
        const digit = digits[row];
        const place = starts[digit];
        starts[digit] = place + 1;
        spare[place] = row;
      }
      [order, spare] = [spare, order];
    }
    [this.#order, this.#spare] = [order, spare];
    return order;
  }
}

const LITTLE_ENDIAN = new Uint8Array(new Uint32Array([1]).buffer)[0] === 1;

/** The 11 bits at `shift` of the 64-bit number (high, low). */
function digitAt(low: number, high: number, shift: number): number {
  if (shift >= 32) return (high >>> (shift - 32)) & (BUCKETS - 1);
  const part = low >>> shift;
  const carried = shift + DIGIT > 32 ? high << (32 - shift) : 0;
  return (part | carried) & (BUCKETS - 1);
}
