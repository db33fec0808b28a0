/** Metadata of an Arrow message, made by hand: sound, or such as unfolds a few bytes into far more. */
import { Message } from 'apache-arrow';
import { expect, test } from 'vitest';
import { checkMetadata } from '../../src/results/metadataBounds.ts';

/** Where things stand in the bytes; tables are told where their list of slots is, relative to themselves. */
const [MESSAGE, SCHEMA, FIELDS, FIELD, PAIRS, PAIR, TEXT] = [32, 96, 130, 180, 1000, 3900, 3920];

/**
 * A schema message with one field and with so many pairs, which are all the same one.
 * @param pairs entries that are there   @param said how many the list says   @param nested fields within the field, each in the one before
 */
function schemaMessage(pairs: number, said = pairs, nested = 0): Uint8Array {
  const bytes = new Uint8Array(4900);
  const view = new DataView(bytes.buffer);
  const u16 = (place: number, ...values: number[]) => {
    for (const [i, value] of values.entries()) view.setUint16(place + 2 * i, value, true);
  };
  const lead = (place: number, to: number) => view.setUint32(place, to - place, true);
  const slots = (vtable: number, table: number, ...offsets: number[]) => {
    u16(vtable, 4 + 2 * offsets.length, 16, ...offsets);
    view.setInt32(table, table - vtable, true);
  };
  lead(0, MESSAGE);
  slots(8, MESSAGE, 0, 4, 8, 0, 12);
  bytes[MESSAGE + 4] = 1;
  lead(MESSAGE + 8, SCHEMA);
  lead(MESSAGE + 12, PAIRS);
  slots(80, SCHEMA, 0, 4);
  lead(SCHEMA + 4, FIELDS);
  view.setUint32(FIELDS, 1, true);
  lead(FIELDS + 4, FIELD);
  for (let i = 0; i <= nested; i++) {
    const field = FIELD + 32 * i;
    slots(144, field, 0, 0, 0, 0, 0, 4);
    lead(field + 4, field + 16);
    view.setUint32(field + 16, i < nested ? 1 : 0, true);
    lead(field + 20, field + 32);
  }
  view.setUint32(PAIRS, said, true);
  for (let i = 0; i < pairs; i++) lead(PAIRS + 4 + 4 * i, PAIR);
  slots(3880, PAIR, 4, 8);
  lead(PAIR + 4, TEXT);
  lead(PAIR + 8, TEXT);
  view.setUint32(TEXT, 900, true);
  bytes.fill(0x61, TEXT + 4, TEXT + 904);
  return bytes;
}

test('sound metadata passes: what is reached is no longer than all of it', () => {
  expect(Message.decode(schemaMessage(2)).isSchema()).toBe(true);
  expect(() => checkMetadata(schemaMessage(2))).not.toThrow();
});

test.each([
  ['a text that is named over and over', schemaMessage(600), 'unfolds to more than it is long'],
  ['a list that ends beyond the bytes', schemaMessage(2, 2 ** 31), 'names a list beyond its end'],
  ['a field within a field within a field and so on', schemaMessage(0, 0, 20), 'nested too deeply'],
  ['a table beyond the bytes', new Uint8Array(8).fill(0x7f), 'Offset is outside the bounds'],
])('%s is refused before it is unfolded', (_, bytes, words) => {
  expect(() => checkMetadata(bytes)).toThrow(RangeError);
  expect(() => checkMetadata(bytes)).toThrow(words);
});
