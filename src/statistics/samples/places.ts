/**
 * What stands at a place of a column in ascending order, without ordering all of it: of a million values the few that
 * bound classes are found in two walks. Whole orders and ranks are ranks.ts.
 */

/** Equal values, and the places they take up in ascending order: from `start`, the first being 0, up to before `end`. */
export interface Tie {
  readonly value: number;
  readonly start: number;
  readonly end: number;
}

/**
 * The tie over a place of an ascending list, by binary search.
 * @param valueAt of each place 0..n-1, ascending
 */
export function tieOf(place: number, n: number, valueAt: (place: number) => number): Tie {
  const value = valueAt(place);
  // The first place whose value passes, among low..high.
  const first = (low: number, high: number, passes: (k: number) => boolean): number => {
    while (low < high) {
      const middle = (low + high) >> 1;
      if (passes(middle)) high = middle;
      else low = middle + 1;
    }
    return low;
  };
  const start = place === 0 || valueAt(place - 1) < value ? place : first(0, place, (k) => !(valueAt(k) < value));
  const end = place + 1 === n || valueAt(place + 1) > value ? place + 1 : first(place + 1, n, (k) => valueAt(k) > value);
  return { value, start, end };
}

/**
 * Stretches of equal width between the least and the greatest value. Values are put stretch by stretch, and only a
 * stretch that is asked about is put in order.
 */
const STRETCHES = 4096;

/** A column to be asked what stands where. */
export class Places {
  readonly #least: number;
  readonly #perUnit: number;
  /** Place of each stretch's first value; one more for the end. */
  readonly #starts = new Uint32Array(STRETCHES + 1);
  readonly #values: Float64Array;
  readonly #ordered = new Uint8Array(STRETCHES);

  /** @param values n >= 1 finite numbers @throws RangeError otherwise */
  constructor(values: Float64Array) {
    const n = values.length;
    if (n === 0) throw new RangeError('a column of no rows has no places');
    let [least, most] = [Infinity, -Infinity];
    for (let i = 0; i < n; i++) {
      const value = values[i];
      if (!Number.isFinite(value)) throw new RangeError(`row ${i} holds ${value}: only finite numbers have places`);
      if (value < least) least = value;
      if (value > most) most = value;
    }
    this.#least = least;
    const perUnit = STRETCHES / (most - least);
    // Values that are one, or nearly, or farther apart than a number can say: all in one stretch.
    this.#perUnit = Number.isFinite(perUnit) ? perUnit : 0;
    const starts = this.#starts;
    for (let i = 0; i < n; i++) starts[this.#stretchOf(values[i]) + 1] += 1;
    for (let s = 0; s < STRETCHES; s++) starts[s + 1] += starts[s];
    const next = starts.slice(0, STRETCHES);
    this.#values = new Float64Array(n);
    for (let i = 0; i < n; i++) {
      const stretch = this.#stretchOf(values[i]);
      const place = next[stretch];
      next[stretch] = place + 1;
      this.#values[place] = values[i];
    }
  }

  /** @param place 0..n-1 */
  tieAt(place: number): Tie {
    const starts = this.#starts;
    let [low, high] = [0, STRETCHES];
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (starts[middle] <= place) low = middle;
      else high = middle;
    }
    const within = this.#inOrder(low);
    const { value, start, end } = tieOf(place - starts[low], within.length, (k) => within[k]);
    return { value, start: starts[low] + start, end: starts[low] + end };
  }

  /** Grows with the value, so that equal values share one. */
  #stretchOf(value: number): number {
    return this.#perUnit === 0 ? 0 : Math.min(STRETCHES - 1, Math.floor((value - this.#least) * this.#perUnit));
  }

  #inOrder(stretch: number): Float64Array {
    const within = this.#values.subarray(this.#starts[stretch], this.#starts[stretch + 1]);
    if (this.#ordered[stretch] === 0) within.sort();
    this.#ordered[stretch] = 1;
    return within;
  }
}
