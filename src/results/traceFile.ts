/**
 * Writes the full time history of one flight, as Arrow or as CSV by the name's ending. Knows no flight: columns come
 * with their words.
 */
import { extname } from 'node:path';
import { UserError } from '../errors.ts';
import { FORMAT_VERSION, programVersion } from './header.ts';
import { writeWhole } from './wholeFile.ts';

export interface TraceColumn {
  readonly key: string;
  /** SI unit as printed; '' for a plain number. */
  readonly unit: string;
  readonly meaning: string;
}

export interface TraceTable {
  readonly columns: readonly TraceColumn[];
  /** One array a column, all of one length; NaN: no value at that time. */
  readonly values: readonly Float64Array[];
  /** What the file says of its making, e.g. title, seed, flight, rule. Arrow only; CSV has no place for it. */
  readonly metadata: Readonly<Record<string, string>>;
}

/** The kinds of trace file, by ending. */
export const TRACE_ENDINGS: readonly string[] = ['.arrow', '.csv'];

/** What a name's ending makes of a trace file. @throws UserError for another ending */
export function traceKind(path: string, others: readonly string[] = []): 'arrow' | 'trace' {
  const ending = extname(path).toLowerCase();
  if (!TRACE_ENDINGS.includes(ending)) {
    throw new UserError(`${path}: read the ending '${ending}'; expected ${[...TRACE_ENDINGS, ...others].join(' or ')}`);
  }
  return ending === '.csv' ? 'trace' : 'arrow';
}

/**
 * Writes the file whole or not at all.
 * @throws UserError for another ending (before anything is written) or when the place cannot be written to; RangeError
 * when the
 *   arrays do not match the columns
 */
export async function writeTrace(path: string, trace: TraceTable): Promise<void> {
  const kind = traceKind(path);
  const length = trace.values[0]?.length ?? 0;
  if (trace.values.length !== trace.columns.length || trace.values.some((v) => v.length !== length)) {
    throw new RangeError('a trace needs one array a column, all of one length');
  }
  writeWhole(path, kind === 'trace' ? traceCsv(trace) : await traceArrow(trace));
}

/**
 * One line of names with their units, such as `height (m)`, then one line a time; RFC 4180, lines ended by a newline
 * alone. Numbers are the shortest that read back as the same double; a missing one is an empty cell.
 */
export function traceCsv({ columns, values }: TraceTable): string {
  const lines = [columns.map(({ key, unit }) => quoted(unit === '' ? key : `${key} (${unit})`)).join(',')];
  const length = values[0]?.length ?? 0;
  for (let i = 0; i < length; i++) {
    lines.push(values.map((v) => (Number.isNaN(v[i]) ? '' : String(v[i]))).join(','));
  }
  return `${lines.join('\n')}\n`;
}

const quoted = (cell: string): string => (/[",\r\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell);

async function traceArrow({ columns, values, metadata }: TraceTable): Promise<Uint8Array> {
  const { Field, Float64, makeData, RecordBatch, Schema, Struct, Table, tableToIPC } = await import('apache-arrow');
  const fields = columns.map(
    ({ key, unit, meaning }) =>
      new Field(
        key,
        new Float64(),
        true,
        new Map([
          ['unit', unit],
          ['meaning', meaning],
        ]),
      ),
  );
  const about = new Map([
    ['alight.trace', String(FORMAT_VERSION)],
    ['alight.version', programVersion()],
    ...Object.entries(metadata).map(([key, value]) => [`alight.${key}`, value] as const),
  ]);
  const schema = new Schema(fields, about);
  const length = values[0]?.length ?? 0;
  const children = values.map((data) => {
    const { bitmap, missing } = validity(data);
    return makeData({ type: new Float64(), length, data, nullCount: missing, ...(missing > 0 ? { nullBitmap: bitmap } : {}) });
  });
  const batch = new RecordBatch(schema, makeData({ type: new Struct(fields), length, nullCount: 0, children }));
  return tableToIPC(new Table(schema, batch), 'file');
}

/** One bit a number, lowest first: 1 where there is one. */
function validity(values: Float64Array): { bitmap: Uint8Array; missing: number } {
  const bitmap = new Uint8Array(8 * Math.ceil(values.length / 64));
  let missing = 0;
  values.forEach((value, i) => {
    if (Number.isNaN(value)) missing++;
    else bitmap[i >> 3] = (bitmap[i >> 3] as number) | (1 << (i & 7));
  });
  return { bitmap, missing };
}
