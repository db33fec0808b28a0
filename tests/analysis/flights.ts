/** Makes small sets of flights for the tests of this folder. */
import type { FlightColumns } from '../../src/analysis/flights/flightColumns.ts';
import { OUTCOMES, type Outcome } from '../../src/flight/outputs.ts';

/** Counts in the order of OUTCOMES; unnamed outcomes are 0. */
export function counts(of: Partial<Record<Outcome, number>>): number[] {
  return OUTCOMES.map((outcome) => of[outcome] ?? 0);
}

/** One row per flight; a missing number did not happen. Flights are numbered from `first`. */
export function flights(
  rows: readonly { readonly outcome: Outcome; readonly [key: string]: number | Outcome }[],
  keys: readonly string[],
  first = 0,
): FlightColumns {
  const columns: Record<string, Float64Array> = {};
  for (const key of keys) columns[key] = Float64Array.from(rows, (row) => (typeof row[key] === 'number' ? row[key] : Number.NaN));
  return {
    outcome: Uint8Array.from(rows, (row) => OUTCOMES.indexOf(row.outcome)),
    columns,
    number: Float64Array.from(rows, (_, i) => first + i),
  };
}
