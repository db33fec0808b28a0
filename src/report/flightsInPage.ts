/**
 * The flights as the page carries them, so that its script can choose among them: a few columns, sixteen bits a number,
 * in base64. All of them up to a limit, then evenly spaced ones.
 */
import { column, type FlightColumns } from '../analysis/flights/flightColumns.ts';

/** Flights in a page at most: about 1.3 MB of text. */
const MOST = 50_000;

/** Columns in the page, as a flight's details and the pictures need them. */
export const PAGE_KEYS = ['sink', 'slide', 'tilt', 'landingEast', 'landingNorth', 'ignitionHeightError', 'apogee'] as const;

/** Stands for "did not happen". */
const NONE = 65_535;

export interface PackedColumn {
  readonly key: string;
  /** Values are low + step times the stored whole number. */
  readonly low: number;
  readonly step: number;
  /** Unsigned 16-bit, little end first. */
  readonly data: string;
}

export interface FlightsInPage {
  /** Rows of the flights flown that are in the page, ascending. */
  readonly rows: Uint32Array;
  readonly flown: number;
  readonly packed: {
    readonly none: number;
    readonly flown: number;
    /** Flight numbers, unsigned 32-bit, little end first. */
    readonly numbers: string;
    /** Places in OUTCOMES, a byte each. */
    readonly outcomes: string;
    readonly columns: readonly PackedColumn[];
  };
}

/** @param flights with PAGE_KEYS */
export function flightsInPage(flights: FlightColumns, most = MOST): FlightsInPage {
  const flown = flights.outcome.length;
  const rows = evenly(flown, most);
  const columns = PAGE_KEYS.map((key) => {
    const values = column(flights, key);
    return packed(
      key,
      Float64Array.from(rows, (i) => values[i]),
    );
  });
  return {
    rows,
    flown,
    packed: {
      none: NONE,
      flown,
      numbers: base64(wholeNumbers(Float64Array.from(rows, (i) => flights.number[i]))),
      outcomes: base64(Uint8Array.from(rows, (i) => flights.outcome[i])),
      columns,
    },
  };
}

/** At most `most` of 0..count-1, evenly spaced, so that a sample keeps the order and any slow change in it. */
export function evenly(count: number, most: number): Uint32Array {
  if (count <= most) return Uint32Array.from({ length: count }, (_, i) => i);
  return Uint32Array.from({ length: most }, (_, i) => Math.floor((i * count) / most));
}

function packed(key: string, values: Float64Array): PackedColumn {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    if (Number.isNaN(value)) continue;
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  const any = low <= high;
  const step = any && high > low ? (high - low) / (NONE - 1) : 1;
  const bytes = new Uint8Array(2 * values.length);
  const view = new DataView(bytes.buffer);
  values.forEach((value, i) => {
    view.setUint16(2 * i, Number.isNaN(value) ? NONE : Math.round((value - low) / step), true);
  });
  return { key, low: any ? low : 0, step, data: base64(bytes) };
}

function wholeNumbers(values: Float64Array): Uint8Array {
  const bytes = new Uint8Array(4 * values.length);
  const view = new DataView(bytes.buffer);
  values.forEach((value, i) => {
    view.setUint32(4 * i, value, true);
  });
  return bytes;
}

function base64(bytes: Uint8Array): string {
  return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString('base64');
}
