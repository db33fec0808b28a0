/**
 * How a flights file can be trusted: it is written in sections (the schema; then each record batch, the first with the
 * dictionaries), and before each stands a label of its length, its rows and its checksum. After the last one stands an
 * end label. So whatever is cut off, the sections before the cut can be read, and nothing is handed to the Arrow
 * library before its checksum is right. Readers of the Arrow file format go by the table of contents at its end and
 * never see the labels. Knows no column.
 */
import { crc32 } from 'node:zlib';

/** Bytes of a label; a multiple of 8, as everything in an Arrow file. */
export const LABEL_BYTES = 24;
const MARKS = { section: 'alight:S', end: 'alight:E' } as const;
export type LabelKind = keyof typeof MARKS;

export interface Label {
  readonly kind: LabelKind;
  /** Of a section: its rows. Of the end: all rows. */
  readonly rows: number;
  /** Of a section: its bytes, without the label. Of the end: how many sections there are. */
  readonly length: number;
  /** CRC-32 of the section's bytes; 0 at the end. */
  readonly sum: number;
}

/**
 * Fills in a label: mark, rows, length, checksum, and a checksum of these, little-endian.
 * @throws RangeError unless rows and length fit 32 bits
 */
export function writeLabel(bytes: Uint8Array, { kind, rows, length, sum }: Label): void {
  if (rows >= 2 ** 32 || length >= 2 ** 32) throw new RangeError(`a section of ${rows} rows and ${length} bytes is too large`);
  const view = new DataView(bytes.buffer, bytes.byteOffset, LABEL_BYTES);
  bytes.set(Buffer.from(MARKS[kind], 'latin1'));
  view.setUint32(8, rows, true);
  view.setUint32(12, length, true);
  view.setUint32(16, sum, true);
  view.setUint32(20, crc32(bytes.subarray(0, 20)), true);
}

/** @returns null when these bytes are no sound label */
export function readLabel(bytes: Uint8Array): Label | null {
  if (bytes.byteLength < LABEL_BYTES) return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset, LABEL_BYTES);
  const mark = Buffer.from(bytes.subarray(0, 8)).toString('latin1');
  const kind = mark === MARKS.section ? 'section' : mark === MARKS.end ? 'end' : null;
  if (kind === null || view.getUint32(20, true) !== crc32(bytes.subarray(0, 20))) return null;
  return { kind, rows: view.getUint32(8, true), length: view.getUint32(12, true), sum: view.getUint32(16, true) };
}

/** One section, its checksum right. */
export interface Section {
  /** Offset of its first byte in the file. */
  readonly at: number;
  readonly rows: number;
  readonly bytes: Uint8Array;
}

/** How the sections ended: with all of them there, with the file cut off, or with what cannot be trusted. */
export type SectionsEnd = { readonly kind: 'whole' } | { readonly kind: 'cut' } | { readonly kind: 'damaged'; readonly why: string };

/**
 * The sections of a file one after the other, each checked.
 * @param first offset of the first label   @param read bytes of the file   @param onSection told of each sound section
 */
export function readSections(
  size: number,
  first: number,
  read: (offset: number, length: number) => Uint8Array,
  onSection: (section: Section) => void,
): SectionsEnd {
  let offset = first;
  let rows = 0;
  for (let count = 0; ; count++) {
    if (offset + LABEL_BYTES > size) return { kind: 'cut' };
    const label = readLabel(read(offset, LABEL_BYTES));
    offset += LABEL_BYTES;
    const where = `after row ${rows}`;
    if (label === null) return { kind: 'damaged', why: `${where} stands something else than flights` };
    if (label.kind === 'end') {
      return label.rows === rows && label.length === count
        ? { kind: 'whole' }
        : { kind: 'damaged', why: `it holds ${rows} rows, and says ${label.rows}` };
    }
    if (offset + label.length > size) return { kind: 'cut' };
    const bytes = read(offset, label.length);
    if (crc32(bytes) !== label.sum) return { kind: 'damaged', why: `the checksum of what stands ${where} is wrong` };
    onSection({ at: offset, rows: label.rows, bytes });
    rows += label.rows;
    offset += label.length;
  }
}
