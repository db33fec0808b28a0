/**
 * The memory of one column for one record batch: filled number by number, used again for the next batch. Knows no file.
 */
import { type Data, makeData, type Schema, type Vector } from 'apache-arrow';
import type { Column } from './columns.ts';

export interface ColumnBuffer {
  /** Puts a number at a row: NaN is "missing". @throws RangeError for a number the column cannot hold. */
  put(row: number, value: number): void;
  /** The same for `count` rows from `row` on: numbers `from` and following of the source. */
  fill(row: number, source: Float64Array, from: number, count: number): void;
  /** The first `length` rows as Arrow data; valid until the next `clear`. */
  data(length: number): Data;
  clear(): void;
}

/**
 * @param place the column's place in the schema
 * @param rows rows of a batch at most
 * @param labels the dictionary of a label column or of a constant, the same object for every batch
 */
export function columnBuffer(schema: Schema, column: Column, place: number, rows: number, labels: Vector | null): ColumnBuffer {
  const type = schema.fields[place]?.type;
  if (type === undefined) throw new RangeError(`no column ${place} in the schema`);
  const valid = new Uint8Array(rows / 8);
  const values = memory(column, rows);
  const bits = column.type === 'yesNo';
  let missing = 0;
  const put = (row: number, value: number): void => {
    if (Number.isNaN(value)) {
      if (!column.nullable) throw new RangeError(`${column.key}: not a number, in a column that is never missing`);
      missing++;
      // A fixed number under every gap, so that the same flights always give the same bytes.
      if (!bits) values[row] = 0;
      return;
    }
    if (column.constant !== null) {
      if (value !== column.constant) throw new RangeError(`${column.key}: ${value}, in a column that is always ${column.constant}`);
      return;
    }
    if (column.type !== 'number') checkWhole(column, value);
    if (!bits) values[row] = value;
    else if (value === 1) values[row >> 3] = (values[row >> 3] as number) | (1 << (row & 7));
    valid[row >> 3] = (valid[row >> 3] as number) | (1 << (row & 7));
  };
  // Nearly all columns are plain numbers, nearly none of them missing: copied at once, and eight at a time said to be
  // there.
  const fillNumbers = (row: number, source: Float64Array, from: number, count: number): void => {
    const numbers = source.subarray(from, from + count);
    (values as Float64Array).set(numbers, row);
    if (((row | count) & 7) === 0 && !anyMissing(numbers)) {
      valid.fill(0xff, row >> 3, (row + count) >> 3);
      return;
    }
    for (let i = 0; i < count; i++) put(row + i, numbers[i] as number);
  };
  const fillOthers = (row: number, source: Float64Array, from: number, count: number): void => {
    for (let i = 0; i < count; i++) put(row + i, source[from + i] as number);
  };
  return {
    put,
    fill: column.type === 'number' && column.constant === null ? fillNumbers : fillOthers,
    data: (length) =>
      makeData({
        type,
        length,
        nullCount: missing,
        ...(missing > 0 ? { nullBitmap: valid } : {}),
        data: bits ? values : values.subarray(0, length),
        ...(labels === null ? {} : { dictionary: labels }),
      } as Parameters<typeof makeData>[0]),
    clear: () => {
      missing = 0;
      valid.fill(0);
      values.fill(0);
    },
  };
}

function anyMissing(numbers: Float64Array): boolean {
  for (let i = 0; i < numbers.length; i++) if (Number.isNaN(numbers[i] as number)) return true;
  return false;
}

function memory(column: Column, rows: number): Float64Array | Int32Array | Int8Array | Uint8Array {
  switch (column.type) {
    case 'number':
      return column.constant === null ? new Float64Array(rows) : new Int8Array(rows);
    case 'count':
      return new Int32Array(rows);
    case 'label':
      return new Int8Array(rows);
    case 'yesNo':
      return new Uint8Array(rows / 8);
  }
}

function checkWhole(column: Column, value: number): void {
  const most = column.type === 'yesNo' ? 1 : column.type === 'label' ? (column.labels?.length ?? 0) - 1 : 2 ** 31 - 1;
  if (!Number.isInteger(value) || value < 0 || value > most) {
    throw new RangeError(`${column.key}: ${value} is no ${column.type} from 0 to ${most}`);
  }
}
