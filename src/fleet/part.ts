/**
 * A part of a run: of every stretch of units its share flies here, the others fly elsewhere. What stands in for those
 * is made of its own rows: whatever asks something of all rows finds rows of the right kind, and its answers count for
 * nothing. Knows no file.
 */
import type { Batch } from './fleet.ts';
import type { Work } from './work.ts';

/** Number 1 .. `parts`. */
export interface Part {
  readonly number: number;
  readonly parts: number;
}

/** Of so many units in a row: those after `from`, up to `to`. All parts together take each once. */
export function shareOf({ number, parts }: Part, count: number): { readonly from: number; readonly to: number } {
  return { from: Math.floor((count * (number - 1)) / parts), to: Math.floor((count * number) / parts) };
}

/** Units in a batch of stand-ins. */
const MOST = 1024;

/**
 * Stands in for `count` units from number `first`.
 * @param model a unit's own rows to be repeated, column by column
 */
export function* standIns(model: UnitRows, first: number, count: number): Generator<Batch> {
  const { rows, rowLength, columns } = model;
  for (let done = 0; done < count; done += MOST) {
    const units = Math.min(MOST, count - done);
    const all = new Float64Array(rowLength * rows * units);
    for (let c = 0; c < rowLength; c++) {
      const own = columns.subarray(c * rows, (c + 1) * rows);
      for (let unit = 0; unit < units; unit++) all.set(own, (c * units + unit) * rows);
    }
    yield { first: first + done, count: units, rowsOf: new Float64Array(units).fill(rows), columns: all, standIn: true };
  }
}

/** The rows of one unit. */
export interface UnitRows {
  readonly rows: number;
  readonly rowLength: number;
  readonly columns: Float64Array;
}

/** The rows of a batch's last unit. */
export function lastOf({ rowsOf, columns }: Batch, rowLength: number): UnitRows {
  const rows = rowsOf[rowsOf.length - 1];
  const all = columns.length / rowLength;
  const own = new Float64Array(rowLength * rows);
  for (let c = 0; c < rowLength; c++) own.set(columns.subarray((c + 1) * all - rows, (c + 1) * all), c * rows);
  return { rows, rowLength, columns: own };
}

/** Where a part has no unit of a stretch. */
export function lostModel(work: Work, unit: number): UnitRows {
  const columns = new Float64Array(work.rowLength).fill(Number.NaN);
  work.lostRow(unit, columns);
  return { rows: 1, rowLength: work.rowLength, columns };
}
