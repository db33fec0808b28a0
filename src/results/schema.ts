/** The columns of a flights file as an Arrow schema; everything a column means stands in its field's metadata. */
import { Bool, type DataType, Dictionary, Field, Float64, Int8, Int32, Schema, Utf8 } from 'apache-arrow';
import type { Column } from './columns.ts';
import { type FlightsHeader, headerMetadata } from './header.ts';

/** Dictionary ids are the columns' places: fixed, so that the same study always gives the same bytes. */
function arrowType(column: Column, place: number): DataType {
  switch (column.type) {
    case 'number':
      return column.constant === null ? new Float64() : new Dictionary(new Float64(), new Int8(), place, false);
    case 'count':
      return new Int32();
    case 'yesNo':
      return new Bool();
    case 'label':
      return new Dictionary(new Utf8(), new Int8(), place, false);
  }
}

/** The one schema of a file; every batch must carry this very object. */
export function flightsSchema(columns: readonly Column[], header: FlightsHeader): Schema {
  const fields = columns.map(
    (column, place) =>
      new Field(
        column.key,
        arrowType(column, place),
        column.nullable,
        new Map([
          ['kind', column.kind],
          ['unit', column.unit],
          ['meaning', column.meaning],
          ...(column.group === '' ? [] : [['group', column.group] as const]),
        ]),
      ),
  );
  return new Schema(fields, headerMetadata(header));
}
