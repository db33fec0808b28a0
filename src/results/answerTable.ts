/** A small table of answers as an Arrow file in memory. Knows no answer: columns come with their words. */
import { FORMAT_VERSION, programVersion } from './header.ts';

export interface AnswerColumn {
  readonly key: string;
  /** SI unit as printed; '' for a plain number or words. */
  readonly unit: string;
  readonly meaning: string;
  /** Words, or numbers with null for what does not exist. */
  readonly values: readonly string[] | readonly (number | null)[];
}

/**
 * @param name of the table, written as `alight.table`   @param metadata what the file says of its making
 * @throws RangeError unless there is a column and all are of one length, at least one row
 */
export async function answerTable(
  name: string,
  columns: readonly AnswerColumn[],
  metadata: Readonly<Record<string, string>>,
): Promise<Uint8Array> {
  const { Field, Float64, RecordBatch, Schema, Struct, Table, Utf8, makeData, tableToIPC, vectorFromArray } = await import('apache-arrow');
  const length = columns[0]?.values.length ?? 0;
  if (length === 0 || columns.some(({ values }) => values.length !== length)) {
    throw new RangeError('a table of answers needs columns of one length, with rows');
  }
  const isWords = (values: AnswerColumn['values']): values is readonly string[] => typeof values[0] === 'string';
  const fields = columns.map(({ key, unit, meaning, values }) => {
    const words = isWords(values);
    const about = new Map([
      ['unit', unit],
      ['meaning', meaning],
    ]);
    return new Field(key, words ? new Utf8() : new Float64(), !words, about);
  });
  const about = new Map([
    ['alight.table', name],
    ['alight.format', String(FORMAT_VERSION)],
    ['alight.version', programVersion()],
    ...Object.entries(metadata).map(([key, value]) => [`alight.${key}`, value] as const),
  ]);
  const schema = new Schema(fields, about);
  const children = columns.map(({ values }, i) => vectorFromArray([...values], fields[i].type).data[0]);
  const batch = new RecordBatch(schema, makeData({ type: new Struct(fields), length, nullCount: 0, children }));
  return tableToIPC(new Table(schema, batch), 'file');
}
