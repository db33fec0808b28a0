/** A flight's record as numbers in the order of the output table. */
import { OUTPUTS, type OutputKey } from './outputs.ts';
import { FlightRecord } from './record.ts';

const KEYS = OUTPUTS.map(({ key }) => key);

// The compiler sees that a row has a field; that a field has a row, only whoever counts.
const ROWLESS = Object.keys(new FlightRecord()).filter((key) => !KEYS.includes(key as OutputKey));
if (ROWLESS.length > 0) throw new Error(`no row in the table of outputs for ${ROWLESS.join(', ')}`);

/**
 * Writes the record to row[start ..]: outcome and reason as indices, yes and no as 1 and 0, NaN for what did not
 * happen.
 */
export function putRecord(record: FlightRecord, row: Float64Array, start: number): void {
  for (let i = 0; i < KEYS.length; i++) row[start + i] = record[KEYS[i]];
}
