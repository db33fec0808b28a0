/** Flights as the questions read them: plain columns, a row per flight in flight order. Knows no file. */
import { OUTCOMES, type Outcome, type OutputKey } from '../../flight/outputs.ts';
import type { InputKey } from '../../inputs/catalogue.ts';

/** A column of flights. */
export type FlightKey = InputKey | OutputKey;

export interface FlightColumns {
  /** Index into OUTCOMES, one per flight. */
  readonly outcome: Uint8Array;
  /** By key of the two tables, SI; NaN where it did not happen. Each as long as `outcome`. */
  readonly columns: Readonly<Partial<Record<FlightKey, Float64Array>>>;
  /** Each flight's number in its study; empty where nobody asks for it. */
  readonly number: Float64Array;
}

const NO_RESULT = OUTCOMES.indexOf('no result');

/** Place of an outcome in a table of counts. */
export function outcomeIndex(outcome: Outcome): number {
  return OUTCOMES.indexOf(outcome);
}

/** Whether row i ended with a result. */
export function hasResult(flights: FlightColumns, i: number): boolean {
  return flights.outcome[i] !== NO_RESULT;
}

/** A column by its key. @throws Error when it is missing or its length is not that of the flights (our fault). */
export function column(flights: FlightColumns, key: FlightKey): Float64Array {
  const values = flights.columns[key];
  if (values === undefined) throw new Error(`the flights bring no column ${key}`);
  if (values.length !== flights.outcome.length) {
    throw new Error(`column ${key} has ${values.length} rows for ${flights.outcome.length} flights`);
  }
  return values;
}

/** The rows of which something holds, in order. */
export function rowsWhere(count: number, holds: (i: number) => boolean): Uint32Array {
  const rows = new Uint32Array(count);
  let n = 0;
  for (let i = 0; i < count; i++) if (holds(i)) rows[n++] = i;
  return rows.slice(0, n);
}

/** A column's values at some rows. */
export function valuesAt(rows: Uint32Array, values: Float64Array): Float64Array {
  const picked = new Float64Array(rows.length);
  for (let i = 0; i < rows.length; i++) picked[i] = values[rows[i]];
  return picked;
}

/** Flights per outcome, in the order of OUTCOMES. @throws Error for an outcome that is none (our fault). */
export function countOutcomes(outcome: Uint8Array): number[] {
  const counts = new Array<number>(OUTCOMES.length).fill(0);
  for (const index of outcome) {
    const count = counts[index];
    if (count === undefined) throw new Error(`outcome ${index} is not one of ${OUTCOMES.length}`);
    counts[index] = count + 1;
  }
  return counts;
}
