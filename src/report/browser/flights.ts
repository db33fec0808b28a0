/** The flights that a page carries, unpacked: the reverse of flightsInPage.ts, in the reader's browser. */
import type { PageData } from './pageData.ts';

export interface Flights {
  /** Flights in the page, and flown in all. */
  readonly count: number;
  readonly flown: number;
  /** Places in the page's list of outcomes. */
  readonly outcome: Uint8Array;
  readonly numbers: Uint32Array;
  /** By key, SI; NaN where it did not happen. @throws Error for a key the page does not carry (our fault) */
  column(key: string): Float64Array;
}

export function unpackFlights(packed: PageData['flights']): Flights {
  const outcomeBytes = bytesOf(packed.outcomes);
  const numberBytes = bytesOf(packed.numbers);
  const count = outcomeBytes.byteLength;
  const columns = new Map(
    packed.columns.map(({ key, low, step, data }) => {
      const view = bytesOf(data);
      const values = Float64Array.from({ length: count }, (_, i) => {
        const whole = view.getUint16(2 * i, true);
        return whole === packed.none ? Number.NaN : low + step * whole;
      });
      return [key, values];
    }),
  );
  return {
    count,
    flown: packed.flown,
    outcome: Uint8Array.from({ length: count }, (_, i) => outcomeBytes.getUint8(i)),
    numbers: Uint32Array.from({ length: count }, (_, i) => numberBytes.getUint32(4 * i, true)),
    column: (key) => {
      const values = columns.get(key);
      if (values === undefined) throw new Error(`the page has no column ${key}`);
      return values;
    },
  };
}

function bytesOf(text: string): DataView {
  return new DataView(Uint8Array.from(atob(text), (c) => c.charCodeAt(0)).buffer);
}
