/**
 * Whether the metadata of an Arrow message is within bounds, before the Arrow library unfolds it: a checksum that is
 * right says only that nothing changed since somebody wrote it. In sound metadata every table, list and text has bytes
 * of its own, so all that is reached from its root is no longer than it is; where one is reached over and over, a few
 * bytes unfold into gigabytes. Layout: the Arrow project's Message.fbs and Schema.fbs, and FlatBuffers' own. Knows no
 * column.
 */

/** What stands behind a slot of a table: another, a list of them, or a list of so many bytes each (a text: of 1). */
type Slot = { readonly table: Shape } | { readonly tables: Shape } | { readonly each: number };
/** Slots that lead somewhere; all others hold plain numbers. A union's shape goes by the number in its slot of kinds. */
interface Shape {
  readonly slots: Readonly<Record<number, Slot>>;
  readonly union?: { readonly kind: number; readonly slot: number; readonly shapes: Readonly<Record<number, Shape>> };
}

const TEXT: Slot = { each: 1 };
const PLAIN: Shape = { slots: {} };
const PAIR: Shape = { slots: { 0: TEXT, 1: TEXT } };
/** Of the types only time stamps and unions lead on. */
const TYPES: Readonly<Record<number, Shape>> = { 10: { slots: { 1: TEXT } }, 14: { slots: { 1: { each: 4 } } } };
const FIELD: Shape & { readonly slots: Record<number, Slot> } = {
  slots: { 0: TEXT, 4: { table: { slots: { 1: { table: PLAIN } } } }, 6: { tables: PAIR } },
  union: { kind: 2, slot: 3, shapes: TYPES },
};
FIELD.slots[5] = { tables: FIELD };
const SCHEMA: Shape = { slots: { 1: { tables: FIELD }, 2: { tables: PAIR }, 3: { each: 8 } } };
const BATCH: Shape = { slots: { 1: { each: 16 }, 2: { each: 16 }, 3: { table: PLAIN }, 4: { each: 8 } } };
const DICTIONARY: Shape = { slots: { 1: { table: BATCH } } };
const MESSAGE: Shape = { slots: { 4: { tables: PAIR } }, union: { kind: 1, slot: 2, shapes: { 1: SCHEMA, 2: DICTIONARY, 3: BATCH } } };

/** Tables within tables at most; a column of ours is three deep. */
const DEEPEST = 12;
/** Bytes that an entry of a list of tables takes, and a table at least. */
const ENTRY = 4;

/** @throws RangeError when it reaches beyond its bytes, or unfolds to more than it is long */
export function checkMetadata(bytes: Uint8Array): void {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let left = bytes.byteLength;
  const spend = (cost: number): void => {
    left -= cost;
    if (left < 0) throw new RangeError('its metadata unfolds to more than it is long');
  };
  /** Where a slot's number stands; 0 for one that is left out. */
  const placeOf = (table: number, slot: number): number => {
    const vtable = table - view.getInt32(table, true);
    const offset = 4 + 2 * slot + 2 <= view.getUint16(vtable, true) ? view.getUint16(vtable + 4 + 2 * slot, true) : 0;
    return offset === 0 ? 0 : table + offset;
  };
  const follow = (place: number): number => place + view.getUint32(place, true);
  const list = (place: number, each: number): number => {
    const count = view.getUint32(place, true);
    if (place + 4 + count * each > bytes.byteLength) throw new RangeError('its metadata names a list beyond its end');
    spend(count * each);
    return count;
  };
  const table = (place: number, shape: Shape, depth: number): void => {
    if (depth > DEEPEST) throw new RangeError('its metadata is nested too deeply');
    spend(ENTRY);
    for (const [slot, what] of Object.entries(shape.slots)) {
      const found = placeOf(place, Number(slot));
      if (found === 0) continue;
      const there = follow(found);
      if ('table' in what) table(there, what.table, depth + 1);
      else if ('each' in what) list(there, what.each);
      else {
        const count = list(there, ENTRY);
        for (let i = 0; i < count; i++) table(follow(there + 4 + ENTRY * i), what.tables, depth + 1);
      }
    }
    if (shape.union === undefined) return;
    const { kind, slot, shapes } = shape.union;
    const [kindAt, found] = [placeOf(place, kind), placeOf(place, slot)];
    if (kindAt !== 0 && found !== 0) table(follow(found), shapes[view.getUint8(kindAt)] ?? PLAIN, depth + 1);
  };
  table(follow(0), MESSAGE, 0);
}
