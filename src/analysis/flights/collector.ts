/**
 * Keeps, of flights streaming by, the few columns the questions need; the rest goes to the file alone. Memory is eight
 * bytes a number kept.
 */
import { OUTCOMES, outputIndex } from '../../flight/outputs.ts';
import { CATALOGUE, inputIndex, isInputKey } from '../../inputs/catalogue.ts';
import type { FlightColumns, FlightKey } from './flightColumns.ts';

/** What the summary is made from, beside the outcome. */
export const SUMMARY_KEYS = [
  'sink',
  'slide',
  'tilt',
  'landingEast',
  'landingNorth',
  'landingDistance',
  'wind.speed',
  'wind.direction',
  'peakFootForce',
  'greatestLean',
  'slidPath',
  'rebounds',
] as const;

/** Place in a row: inputs in catalogue order, then outputs. */
function columnOf(key: FlightKey): number {
  return isInputKey(key) ? inputIndex(key) : CATALOGUE.length + outputIndex(key);
}

/** Consecutive flights, column by column, as the fleet hands them over. */
interface Rows {
  readonly first: number;
  readonly count: number;
  readonly columns: Float64Array;
}

interface CollectorOptions {
  readonly expected?: number;
  readonly numbered?: boolean;
}

/** Flights that room is had for before any came; untouched memory costs nothing. */
const MOST_AT_ONCE = 1 << 20;

export class Collector {
  readonly #keys: readonly FlightKey[];
  readonly #places: readonly number[];
  #outcome: Uint8Array;
  #number: Float64Array;
  #columns: Float64Array[];
  #rows = 0;
  readonly counts = new Array<number>(OUTCOMES.length).fill(0);

  /**
   * @param keys inputs and outputs to keep beside the outcome   @param expected flights, or more than will come: room for
   * a million of them is had at once, since growing holds the old beside the new
   * @param numbered keep the flights' numbers too
   */
  constructor(keys: readonly FlightKey[], { expected = 1024, numbered = true }: CollectorOptions = {}) {
    const room = Math.min(Math.max(expected, 1), MOST_AT_ONCE);
    this.#keys = keys;
    this.#places = keys.map(columnOf);
    this.#columns = keys.map(() => new Float64Array(room));
    this.#outcome = new Uint8Array(room);
    this.#number = new Float64Array(numbered ? room : 0);
  }

  get rows(): number {
    return this.#rows;
  }

  add({ first, count, columns }: Rows): void {
    this.#makeRoom(this.#rows + count);
    const start = this.#rows;
    const outcomes = (CATALOGUE.length + outputIndex('outcome')) * count;
    for (let i = 0; i < count; i++) {
      const outcome = columns[outcomes + i];
      this.#outcome[start + i] = outcome;
      if (this.#number.length > 0) this.#number[start + i] = first + i;
      this.counts[outcome]++;
    }
    this.#places.forEach((place, c) => {
      this.#columns[c].set(columns.subarray(place * count, (place + 1) * count), start);
    });
    this.#rows += count;
  }

  /** What was kept so far, in flight order; views, valid until more is added. */
  flights(): FlightColumns {
    const columns: Partial<Record<FlightKey, Float64Array>> = {};
    this.#keys.forEach((key, c) => {
      columns[key] = this.#columns[c].subarray(0, this.#rows);
    });
    return { outcome: this.#outcome.subarray(0, this.#rows), number: this.#number.subarray(0, this.#rows), columns };
  }

  #makeRoom(rows: number): void {
    if (rows <= this.#outcome.length) return;
    const size = Math.max(rows, 2 * this.#outcome.length);
    const outcome = new Uint8Array(size);
    outcome.set(this.#outcome);
    this.#outcome = outcome;
    const grown = (old: Float64Array): Float64Array<ArrayBuffer> => {
      const array = new Float64Array(size);
      array.set(old);
      return array;
    };
    if (this.#number.length > 0) this.#number = grown(this.#number);
    this.#columns = this.#columns.map(grown);
  }
}
