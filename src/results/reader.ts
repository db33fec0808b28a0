/**
 * Opens a flights file and reads columns from it, only those asked for: of a million flights a few columns need little
 * memory. Every byte is held against its checksum first; a file whose end is missing is read as far as it goes. Refuses
 * what is damaged or not ours with one line. Missing values come as NaN, labels as their place in our own tables.
 */
import { closeSync, fstatSync, openSync, readSync, type Stats } from 'node:fs';
import { type FileHandle, open, stat } from 'node:fs/promises';
import { DataType, type Field, Message, Precision, RecordBatchReader, type Schema, type Vector } from 'apache-arrow';
import { UserError } from '../errors.ts';
import { type Column, flightColumns } from './columns.ts';
import { fileFault } from './fileFault.ts';
import { type ReadHeader, readHeader } from './header.ts';
import { checkMetadata } from './metadataBounds.ts';
import { LABEL_BYTES, readLabel, readSections, type Section } from './sections.ts';

const MAGIC = 'ARROW1';
/** Magic and padding: where the first label stands. */
const FIRST = 8;

/** Some consecutive rows of the columns asked for, in the order asked. */
export interface RowsRead {
  /** Place of the first of them in the file, from 0. */
  readonly start: number;
  readonly count: number;
  readonly columns: readonly Float64Array[];
}

/** Values that a column's places can name, a byte each. */
const MOST_LISTED = 256;

/** Where a record batch's buffers lie in the file. */
interface Block {
  readonly start: number;
  readonly count: number;
  /**
   * PART numbers a column: missing values, offset and bytes of its bitmap, offset and bytes of its values. Plain numbers,
   * since of ten million flights there are a million columns of batches.
   */
  readonly parts: Float64Array;
}

const PART = 5;

interface Found {
  readonly place: number;
  readonly column: Column;
  /** For labels: the file's numbering to ours. For a number stored once: its values. */
  readonly renumber: Uint8Array | Float64Array | null;
}

/**
 * Opens a flights file; `close` it afterwards.
 * @throws UserError when it cannot be read, is no Arrow file, is damaged, cut off before its first flights, not ours or
 * of another version
 */
export async function openFlights(path: string): Promise<FlightsFile> {
  let handle: FileHandle;
  try {
    // Opening a pipe would wait for a writer.
    const found = await stat(path);
    if (!found.isFile() && !found.isDirectory()) throw new UserError(`${path}: is no ordinary file; expected a flights file (.arrow)`);
    handle = await open(path, 'r');
  } catch (error) {
    throw fileFault(error, 'cannot read', path);
  }
  try {
    return await readAll(path, handle);
  } catch (error) {
    await handle.close();
    throw fileFault(error, 'cannot read', path);
  }
}

async function readAll(path: string, handle: FileHandle): Promise<FlightsFile> {
  const stats = await handle.stat();
  const { size } = stats;
  const damaged = (why: string) => new UserError(`${path}: damaged: ${why}; fly the study again`);
  const within = bytesOf(handle.fd, () => damaged('it became shorter while it was read'));
  const bytes: ReadPiece = (offset, length, out) => {
    if (offset < 0 || offset + length > size) throw damaged('it points beyond its own end');
    return within(offset, length, out);
  };
  const text = (offset: number, length: number) => Buffer.from(bytes(offset, length)).toString('latin1');
  // Read even of an empty file: a folder says here that it is one.
  if (size === 0 && (await handle.read(new Uint8Array(1), 0, 1, 0)).bytesRead === 0) throw new UserError(`${path}: is empty`);
  if (text(0, Math.min(size, MAGIC.length)) !== MAGIC) throw new UserError(`${path}: not an Arrow file`);
  const ended = size >= FIRST + MAGIC.length && text(size - MAGIC.length, MAGIC.length) === MAGIC;
  if (ended && readLabel(bytes(FIRST, Math.min(LABEL_BYTES, size - FIRST))) === null)
    throw foreign(path, bytes(0, Math.min(size, MOST_FOREIGN)));

  const content = new Content(damaged);
  // One memory for all sections: what is kept of them is taken out of it.
  let memory = new Uint8Array(0);
  const again: ReadPiece = (offset, length) => {
    if (memory.length < length) memory = new Uint8Array(length);
    return bytes(offset, length, memory.subarray(0, length));
  };
  const end = readSections(size, FIRST, again, (section) => understood(damaged, () => content.take(section)));
  if (end.kind === 'damaged') throw damaged(end.why);
  if (end.kind === 'cut' && ended) throw damaged('something between its flights and its end is missing');
  const { schema, dictionaries } = content;
  if (schema === null || (end.kind === 'cut' && content.rows === 0))
    throw new UserError(`${path}: cut short: it ends before its first flights; fly the study again`);
  const header = readHeader(schema.metadata, path);
  const found = understood(damaged, () => findColumns(schema, dictionaries, header, path, damaged));
  return new FlightsFile({
    path,
    header,
    rows: content.rows,
    whole: end.kind === 'whole' && ended,
    handle,
    found,
    blocks: content.blocks,
    bytes,
    stamp: stampOf(stats),
  });
}

/**
 * What the Arrow library makes of a section whose checksum is right. Where it stumbles all the same, whoever wrote the
 * section wrote nonsense: its own words are for the line.
 */
function understood<T>(damaged: (why: string) => UserError, read: () => T): T {
  try {
    return read();
  } catch (error) {
    if (error instanceof UserError || !(error instanceof Error)) throw error;
    throw damaged(`what it holds cannot be read (${error.message})`);
  }
}

/** Bytes of a foreign Arrow file that are looked at, to say what it is. */
const MOST_FOREIGN = 1 << 26;

/** An Arrow file without our labels: of another program, or of an older version of this one. */
function foreign(path: string, bytes: Uint8Array): UserError {
  return new UserError(
    Buffer.from(bytes).includes('alight.format')
      ? `${path}: results of an older version, or written anew by another program: it lacks our checksums; fly the study again`
      : `${path}: an Arrow file, but not results of alight`,
  );
}

/** What the sections of a file hold, gathered one after the other. */
class Content {
  schema: Schema | null = null;
  dictionaries: ReadonlyMap<number, Vector> = new Map();
  rows = 0;
  readonly blocks: Block[] = [];
  readonly #damaged: (why: string) => UserError;
  #front: Uint8Array = new Uint8Array(0);

  constructor(damaged: (why: string) => UserError) {
    this.#damaged = damaged;
  }

  take({ at: offset, rows, bytes }: Section): void {
    if (this.schema === null) {
      this.#front = bytes.slice();
      for (const { message } of this.#messages(bytes)) if (message.isSchema()) this.schema = message.header();
      if (this.schema === null) throw this.#damaged('it does not begin with what it holds');
      return;
    }
    if (this.blocks.length === 0) this.#readDictionaries(bytes);
    for (const { message, body } of this.#messages(bytes)) {
      if (message.isDictionaryBatch()) continue;
      if (!message.isRecordBatch() || message.header().length !== rows)
        throw this.#damaged(`the batch after row ${this.rows} is something else`);
      this.blocks.push(this.#block(message, offset + body, this.schema));
      this.rows += rows;
    }
  }

  /** The messages of a section, and where in it each one's body stands. */
  *#messages(bytes: Uint8Array): Generator<{ readonly message: Message; readonly body: number }> {
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    for (let offset = 0; offset + 8 <= bytes.byteLength; ) {
      const body = offset + 8 + view.getInt32(offset + 4, true);
      if (body <= offset + 8 || body > bytes.byteLength) throw this.#damaged(`what stands after row ${this.rows} cannot be read`);
      const metadata = bytes.subarray(offset + 8, body);
      checkMetadata(metadata);
      const message = Message.decode(metadata);
      const end = body + Number(message.bodyLength);
      if (!(end >= body && end <= bytes.byteLength)) throw this.#damaged(`what stands after row ${this.rows} is longer than its section`);
      yield { message, body };
      offset = end;
    }
  }

  /** They come before the first batch and hold for all. */
  #readDictionaries(bytes: Uint8Array): void {
    for (const { message } of this.#messages(bytes)) {
      // Of more nothing could be named: places among them are bytes.
      const lengths = message.isDictionaryBatch() ? message.header().data.nodes.map(({ length }) => length) : [];
      if (lengths.some((length) => !(length >= 0 && length <= MOST_LISTED)))
        throw this.#damaged(`a list before its first flights is longer than ${MOST_LISTED}`);
    }
    const reader = RecordBatchReader.from(Buffer.concat([this.#front, bytes]));
    reader.open({ autoDestroy: false });
    reader.next();
    this.dictionaries = reader.dictionaries;
  }

  #block(message: Message, body: number, schema: Schema): Block {
    if (!message.isRecordBatch()) throw this.#damaged('a batch is something else');
    const batch = message.header();
    const parts = new Float64Array(PART * schema.fields.length);
    for (let c = 0; c < schema.fields.length; c++) {
      // Every column of ours is flat: one node, and two buffers.
      const [bitmap, values] = [batch.buffers[2 * c], batch.buffers[2 * c + 1]];
      if (bitmap === undefined || values === undefined) throw this.#damaged(`the batch after row ${this.rows} lacks a buffer`);
      // Before anybody makes room for them: a row takes a bit at least.
      if (8 * values.length < batch.length) throw this.#damaged(`the batch after row ${this.rows} has fewer values than rows`);
      const missing = batch.nodes[c]?.nullCount ?? 0;
      parts.set([missing, body + bitmap.offset, bitmap.length, body + values.offset, values.length], PART * c);
    }
    return { start: this.rows, count: batch.length, parts };
  }
}

function findColumns(
  schema: Schema,
  dictionaries: ReadonlyMap<number, Vector>,
  header: ReadHeader,
  path: string,
  damaged: (why: string) => UserError,
): Map<string, Found> {
  const found = new Map<string, Found>();
  for (const column of flightColumns(header.rules)) {
    const place = schema.fields.findIndex((field) => field.name === column.key);
    if (place < 0) continue;
    const field = schema.fields[place] as Field;
    if (!fits(column, field.type)) throw damaged(`column ${column.key} is of type ${field.type}`);
    let renumber: Found['renumber'] = null;
    if (DataType.isDictionary(field.type) && column.type === 'number') {
      renumber = Float64Array.from(dictionaries.get(field.type.id) ?? []);
    } else if (DataType.isDictionary(field.type)) {
      // One after the other: none is kept but its place.
      renumber = Uint8Array.from((dictionaries.get(field.type.id) ?? []) as Iterable<string>, (label) => {
        const ours = column.labels?.indexOf(label) ?? -1;
        if (ours < 0) throw new UserError(`${path}: column ${column.key} holds '${label}', which this program does not know`);
        return ours;
      });
    }
    found.set(column.key, { place, column, renumber });
  }
  return found;
}

function isDouble(type: DataType): boolean {
  return DataType.isFloat(type) && type.precision === Precision.DOUBLE;
}

function fits(column: Column, type: DataType): boolean {
  switch (column.type) {
    case 'number':
      return isDouble(type) || (DataType.isDictionary(type) && isDouble(type.dictionary) && type.indices.bitWidth === 8);
    case 'count':
      return DataType.isInt(type) && type.bitWidth === 32 && type.isSigned;
    case 'yesNo':
      return DataType.isBool(type);
    case 'label':
      return DataType.isDictionary(type) && DataType.isInt(type.indices) && type.indices.bitWidth === 8;
  }
}

interface Opened {
  readonly path: string;
  readonly header: ReadHeader;
  readonly rows: number;
  readonly whole: boolean;
  readonly handle: FileHandle;
  readonly found: ReadonlyMap<string, Found>;
  readonly blocks: readonly Block[];
  readonly bytes: ReadPiece;
  /** By which a later reading knows that it is the file that was checked. */
  readonly stamp: string;
}

/** Columns kept of those that are read when asked for: reading one again takes some milliseconds a million flights. */
const KEPT = 1;

const CHANGED = 'changed while it was read; try again';

function stampOf({ size, mtimeMs, ino }: Stats): string {
  return `${size} ${mtimeMs} ${ino}`;
}

/** @throws UserError when the file is gone or another */
function openAgain(path: string, stamp: string): number {
  let fd: number;
  try {
    fd = openSync(path, 'r');
  } catch (error) {
    throw fileFault(error, 'cannot read', path);
  }
  if (stampOf(fstatSync(fd)) === stamp) return fd;
  closeSync(fd);
  throw new UserError(`${path}: ${CHANGED}`);
}

/** A piece of a file, by its offset and length; into `out` where that is given. */
type ReadPiece = (offset: number, length: number, out?: Uint8Array) => Uint8Array;

/** Reads pieces of an open file. @param short what to throw where the file ends before the piece */
function bytesOf(fd: number, short: () => Error): ReadPiece {
  return (offset, length, out = new Uint8Array(length)) => {
    for (let got = 0; got < length; ) {
      const n = readSync(fd, out, got, length - got, offset + got);
      if (n === 0) throw short();
      got += n;
    }
    return out;
  };
}

/** An open flights file. */
export class FlightsFile {
  readonly path: string;
  readonly header: ReadHeader;
  readonly rows: number;
  /** False when its end is missing: the rows are those that were written before the run or the copying was cut off. */
  readonly whole: boolean;
  readonly #handle: FileHandle;
  readonly #found: ReadonlyMap<string, Found>;
  readonly #blocks: readonly Block[];
  readonly #bytes: ReadPiece;
  readonly #stamp: string;

  constructor({ path, header, rows, whole, handle, found, blocks, bytes, stamp }: Opened) {
    this.path = path;
    this.header = header;
    this.rows = rows;
    this.whole = whole;
    this.#handle = handle;
    this.#found = found;
    this.#blocks = blocks;
    this.#bytes = bytes;
    this.#stamp = stamp;
  }

  /** Whether the file has this column; a file of an older program may lack a newer one. */
  has(key: string): boolean {
    return this.#found.has(key);
  }

  /**
   * Whole columns as numbers, in the order asked: NaN for missing, yes/no as 1/0, `rule` as its place among the
   * header's rules, `outcome` and `noResultReason` as their places in OUTCOMES and NO_RESULT_REASONS.
   * @throws UserError for a column the file does not have, or when the file is damaged
   */
  numbers(keys: readonly string[]): Float64Array[] {
    const columns = keys.map(() => new Float64Array(this.rows));
    const found = keys.map((key) => this.#find(key));
    for (const block of this.#blocks) {
      found.forEach((f, i) => {
        this.#read(block, f, (columns[i] as Float64Array).subarray(block.start, block.start + block.count));
      });
    }
    return columns;
  }

  /** One whole column, as `numbers`. */
  number(key: string): Float64Array {
    return this.numbers([key])[0] as Float64Array;
  }

  /** Outcome of each row as its place in OUTCOMES. */
  outcomes(): Uint8Array {
    return Uint8Array.from(this.number('outcome'));
  }

  /** Reason of each row as its place in NO_RESULT_REASONS. */
  reasons(): Uint8Array {
    return Uint8Array.from(this.number('noResultReason'));
  }

  /** Rule of each row as its place in the header's rules. */
  rules(): Uint8Array {
    return Uint8Array.from(this.number('rule'));
  }

  /** The columns asked for, some thousand rows at a time; numbers as in `numbers`. */
  *batches(keys: readonly string[]): Generator<RowsRead> {
    const found = keys.map((key) => this.#find(key));
    for (const block of this.#blocks) {
      const columns = found.map((f) => this.#read(block, f, new Float64Array(block.count)));
      yield { start: block.start, count: block.count, columns };
    }
  }

  /**
   * Columns that are read when they are asked for, also once this is closed; of them all only the last few are kept, so
   * that a million flights need the memory of few columns. Asked for in a row they are best taken out once.
   * @param pick what is made of a column read
   * @throws UserError for a column the file does not have; when asked for, if the file has changed or is gone
   */
  later(keys: readonly string[], pick: (values: Float64Array) => Float64Array): Readonly<Record<string, Float64Array>> {
    const kept = new Map<string, Float64Array>();
    const columns: Record<string, Float64Array> = {};
    for (const key of keys) {
      const found = this.#find(key);
      const get = (): Float64Array => {
        const values = kept.get(key) ?? pick(this.#readAgain(found));
        kept.delete(key);
        kept.set(key, values);
        if (kept.size > KEPT) for (const oldest of [...kept.keys()].slice(0, kept.size - KEPT)) kept.delete(oldest);
        return values;
      };
      Object.defineProperty(columns, key, { enumerable: true, get });
    }
    return columns;
  }

  /** A column by a reading of its own. */
  #readAgain(found: Found): Float64Array {
    const fd = openAgain(this.path, this.#stamp);
    try {
      const out = new Float64Array(this.rows);
      const bytes = bytesOf(fd, () => new UserError(`${this.path}: ${CHANGED}`));
      for (const block of this.#blocks) this.#read(block, found, out.subarray(block.start, block.start + block.count), bytes);
      return out;
    } finally {
      closeSync(fd);
    }
  }

  async close(): Promise<void> {
    await this.#handle.close();
  }

  #find(key: string): Found {
    const found = this.#found.get(key);
    if (found === undefined) {
      throw new UserError(`${this.path}: has no column ${key}; it was written by alight ${this.header.programVersion}`);
    }
    return found;
  }

  #read(block: Block, { place, column, renumber }: Found, out: Float64Array, bytes = this.#bytes): Float64Array {
    const [missing, bitmapOffset, bitmapBytes, valuesOffset, valuesBytes] = block.parts.subarray(PART * place, PART * (place + 1));
    const listed = renumber !== null;
    const need = listed
      ? block.count
      : column.type === 'number'
        ? 8 * block.count
        : column.type === 'count'
          ? 4 * block.count
          : (block.count + 7) >> 3;
    if (valuesBytes < need) throw new UserError(`${this.path}: damaged: column ${column.key} is too short`);
    const plain = !listed && column.type === 'number';
    // Doubles go where they belong at once, all others by way of their own kind.
    const raw = bytes(valuesOffset, need, plain ? new Uint8Array(out.buffer, out.byteOffset, need) : undefined);
    switch (listed ? 'label' : column.type) {
      case 'number':
        if (!allWithin(out, LARGEST)) throw new UserError(`${this.path}: damaged: column ${column.key} holds what is no number`);
        break;
      case 'count':
        out.set(new Int32Array(raw.buffer, raw.byteOffset, block.count));
        break;
      case 'yesNo':
        for (let i = 0; i < block.count; i++) out[i] = bit(raw, i);
        break;
      case 'label':
        for (let i = 0; i < block.count; i++) {
          const ours = renumber?.[raw[i] as number];
          if (ours === undefined) throw new UserError(`${this.path}: damaged: column ${column.key} has a label that is not listed`);
          out[i] = ours;
        }
        break;
    }
    if (missing > 0) {
      if (8 * bitmapBytes < block.count) throw new UserError(`${this.path}: damaged: column ${column.key} lacks its bitmap`);
      const valid = bytes(bitmapOffset, (block.count + 7) >> 3);
      for (let i = 0; i < block.count; i++) if (bit(valid, i) === 0) out[i] = Number.NaN;
    }
    return out;
  }
}

/** Beyond every number of a flight; its fourth power is still a number, for whoever reckons with spreads. */
const LARGEST = 1e30;

function allWithin(numbers: Float64Array, largest: number): boolean {
  for (let i = 0; i < numbers.length; i++) if (!(Math.abs(numbers[i] as number) <= largest)) return false;
  return true;
}

const bit = (bytes: Uint8Array, i: number): number => ((bytes[i >> 3] as number) >> (i & 7)) & 1;
