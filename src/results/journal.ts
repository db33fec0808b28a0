/**
 * The journal of a run: what was asked for, then the rows of every chunk as it came, each in a section with its
 * checksum (sections.ts), written before anybody sees the rows. A run that was stopped at any moment finds in it all
 * but the chunks that were in flight. Holds rows, not answers; who may go on with it is said by whoever opens it.
 */
import { createHash } from 'node:crypto';
import { closeSync, fdatasyncSync, fstatSync, ftruncateSync, openSync, readSync, rmSync, writevSync } from 'node:fs';
import { crc32 } from 'node:zlib';
import { z } from 'zod';
import { UserError } from '../errors.ts';
import type { Journal, KeptUnits } from '../fleet/journal.ts';
import type { Work } from '../fleet/work.ts';
import { fileFault } from './fileFault.ts';
import { JOURNAL_MARK } from './mark.ts';
import { LABEL_BYTES, type Label, readSections, type Section, writeLabel } from './sections.ts';

const MARK = Buffer.from(JOURNAL_MARK, 'latin1');
/** What goes before a section's rows: sha256 of the work, then first unit, units, rows and bytes of what was lost. */
const KEY_BYTES = 32;
const HEAD_BYTES = KEY_BYTES + 4 * 8;

/** Bytes that disks write at once. */
const A_PAGE = 4096;

/** ms between two times the disk is asked to keep what was written, should the power fail. */
const SYNC_EVERY = 1000;

interface Place {
  readonly at: number;
  readonly length: number;
  readonly count: number;
}

/** An open journal: read by its index, written at its end. */
export class JournalFile implements Journal {
  readonly path: string;
  /** What was asked for, as it was given to `create`. */
  readonly asked: string;
  /** Whether the run that wrote it came to its end. */
  readonly sealed: boolean;
  readonly #fd: number;
  readonly #places: Map<string, Map<number, Place>>;
  readonly #keys = new WeakMap<object, string>();
  #end: number;
  #sections: number;
  #units: number;
  #synced = performance.now();
  /** Whether nothing stands beyond the end. */
  #trimmed = false;

  private constructor(path: string, fd: number, found: Found) {
    this.path = path;
    this.#fd = fd;
    this.asked = found.asked;
    this.sealed = found.sealed;
    this.#places = found.places;
    this.#end = found.end;
    this.#sections = found.sections;
    this.#units = found.units;
  }

  /** Begins a journal; nothing may go by that name. @throws UserError when it cannot be made */
  static create(path: string, asked: string): JournalFile {
    try {
      const fd = openSync(path, 'wx+');
      const found: Found = { asked, sealed: false, places: new Map(), end: 0, sections: 0, units: 0 };
      const journal = new JournalFile(path, fd, found);
      journal.#append([MARK]);
      journal.#section(0, [Buffer.from(asked)]);
      fdatasyncSync(fd);
      return journal;
    } catch (error) {
      throw fileFault(error, 'cannot write', path);
    }
  }

  /**
   * Opens a journal; what was being written when its run was stopped is not counted.
   * @param mode `r` to read only, `r+` to go on with it
   * @returns null when it ends before it says what was asked for   @throws UserError when it is none or cannot be read
   */
  static open(path: string, mode: 'r' | 'r+'): JournalFile | null {
    let fd: number | null = null;
    try {
      fd = openSync(path, mode);
      const found = readAll(path, fd);
      if (found !== null) return new JournalFile(path, fd, found);
      closeSync(fd);
      return null;
    } catch (error) {
      if (fd !== null) closeSync(fd);
      throw fileFault(error, 'cannot read', path);
    }
  }

  /** Units in it. */
  get units(): number {
    return this.#units;
  }

  find(work: Work, first: number, most: number): KeptUnits | null {
    const place = this.#places.get(this.#keyOf(work))?.get(first);
    if (place === undefined || place.count > most) return null;
    return decoded(bytesOf(this.#fd, place.at, place.length), work.rowLength);
  }

  keep(work: Work, first: number, units: KeptUnits): void {
    try {
      this.#section(units.count, encoded(this.#keyOf(work), first, units));
      const now = performance.now();
      if (now - this.#synced < SYNC_EVERY) return;
      fdatasyncSync(this.#fd);
      this.#synced = performance.now();
    } catch (error) {
      const fault = fileFault(error, 'cannot write', this.path);
      if (!(fault instanceof UserError)) throw fault;
      throw new UserError([...fault.problems, `${this.path}: ${this.#units} flown are kept there; --resume goes on with them`]);
    }
  }

  /** Says that nothing more will come. @throws UserError when the disk is full or fails */
  seal(): void {
    try {
      this.#append([label({ kind: 'end', rows: this.#units, length: this.#sections, sum: 0 })]);
      fdatasyncSync(this.#fd);
    } catch (error) {
      throw fileFault(error, 'cannot write', this.path);
    }
  }

  close(): void {
    closeSync(this.#fd);
  }

  /** Takes it off the disk; close it too. */
  remove(): void {
    rmSync(this.path, { force: true });
  }

  #section(rows: number, pieces: readonly Uint8Array[]): void {
    const length = pieces.reduce((sum, piece) => sum + piece.byteLength, 0);
    const sum = pieces.reduce((so, piece) => crc32(piece, so), 0);
    this.#append([label({ kind: 'section', rows, length, sum }), ...pieces]);
    this.#sections++;
    this.#units += rows;
  }

  /** A write that fails leaves the end where it was: what stands beyond it does not count. */
  #append(pieces: readonly Uint8Array[]): void {
    const length = pieces.reduce((sum, piece) => sum + piece.byteLength, 0);
    if (!this.#trimmed) ftruncateSync(this.#fd, this.#end);
    this.#trimmed = true;
    const written = writevSync(this.#fd, pieces, this.#end);
    if (written !== length) {
      const rest = Buffer.concat(pieces).subarray(written);
      for (let done = 0; done < rest.length; ) done += writevSync(this.#fd, [rest.subarray(done)], this.#end + written + done);
    }
    this.#end += length;
  }

  #keyOf(work: Work): string {
    let key = this.#keys.get(work);
    if (key === undefined) {
      let study = this.#keys.get(work.study);
      if (study === undefined) {
        study = sha256(plainText(work.study));
        this.#keys.set(work.study, study);
      }
      key = sha256(plainText([work.kind, study, work.variation, work.rowLength]));
      this.#keys.set(work, key);
    }
    return key;
  }
}

/** Plain data as text: what differs, differs in it. Arrays of numbers, which may be millions, stand there by their sum. */
function plainText(value: object): string {
  return JSON.stringify(value, (_, one: unknown) => {
    if (one instanceof Float64Array) return createHash('sha256').update(bytesIn(one)).digest('hex');
    return typeof one === 'number' && !Number.isFinite(one) ? String(one) : one;
  });
}

const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex');

function label(content: Label): Uint8Array {
  const bytes = new Uint8Array(LABEL_BYTES);
  writeLabel(bytes, content);
  return bytes;
}

function bytesOf(fd: number, offset: number, length: number): Uint8Array<ArrayBuffer> {
  const out = new Uint8Array(length);
  for (let got = 0; got < length; ) {
    const n = readSync(fd, out, got, length - got, offset + got);
    if (n === 0) throw new Error('a journal became shorter while it was read');
    got += n;
  }
  return out;
}

interface Found {
  readonly asked: string;
  readonly sealed: boolean;
  readonly places: Map<string, Map<number, Place>>;
  /** Offset up to which it is sound. */
  readonly end: number;
  readonly sections: number;
  readonly units: number;
}

function readAll(path: string, fd: number): Found | null {
  const { size } = fstatSync(fd);
  const first = MARK.byteLength;
  // All that a failing power left of one just begun: its length.
  if (bytesOf(fd, 0, Math.min(size, A_PAGE)).every((byte) => byte === 0)) return null;
  const begun = bytesOf(fd, 0, Math.min(size, first));
  if (!MARK.subarray(0, begun.byteLength).equals(begun)) throw new UserError(`${path}: is no journal of alight`);
  let asked: string | null = null;
  let [end, sections, units] = [first, 0, 0];
  const places: Found['places'] = new Map();
  const take = ({ at, rows, bytes }: Section): void => {
    if (asked === null) asked = Buffer.from(bytes).toString('utf8');
    else if (isUnits(bytes, rows)) {
      const { key, first: unit } = headOf(bytes);
      const own = places.get(key) ?? new Map<number, Place>();
      own.set(unit, { at, length: bytes.byteLength, count: rows });
      places.set(key, own);
    }
    end = at + bytes.byteLength;
    sections++;
    units += rows;
  };
  const { kind } = readSections(size, first, (offset, length) => bytesOf(fd, offset, length), take);
  if (asked === null && kind === 'damaged')
    throw new UserError(`${path}: damaged where it says what was asked, so nobody can go on with it; --force flies anew`);
  return asked === null ? null : { asked, sealed: kind === 'whole', places, end, sections, units };
}

function encoded(key: string, first: number, { count, rowsOf, columns, lost }: KeptUnits): Uint8Array[] {
  const words = lost.length === 0 ? new Uint8Array(0) : Buffer.from(JSON.stringify(lost));
  const head = new Uint8Array(HEAD_BYTES);
  head.set(Buffer.from(key, 'hex'));
  head.set(bytesIn(Float64Array.of(first, count, columns.length, words.byteLength)), KEY_BYTES);
  return [head, bytesIn(rowsOf), bytesIn(columns), words];
}

const bytesIn = ({ buffer, byteOffset, byteLength }: Float64Array): Uint8Array => new Uint8Array(buffer, byteOffset, byteLength);

function headOf(bytes: Uint8Array): { key: string; first: number; count: number; numbers: number; words: number } {
  const view = new DataView(bytes.buffer, bytes.byteOffset + KEY_BYTES, HEAD_BYTES - KEY_BYTES);
  const [first, count, numbers, words] = [0, 8, 16, 24].map((offset) => view.getFloat64(offset, true));
  return { key: Buffer.from(bytes.subarray(0, KEY_BYTES)).toString('hex'), first, count, numbers, words };
}

/** Whether a section holds what it says: a checksum that is right says only that nothing changed since. */
function isUnits(bytes: Uint8Array, rows: number): boolean {
  if (bytes.byteLength < HEAD_BYTES) return false;
  const { first, count, numbers, words } = headOf(bytes);
  const whole = [first, count, numbers, words].every((one) => Number.isSafeInteger(one) && one >= 0);
  return whole && count === rows && HEAD_BYTES + 8 * (count + numbers) + words === bytes.byteLength;
}

/**
 * The bytes are an array of their own, so that the numbers in it are aligned.
 * @returns null when these are no rows of that length
 */
function decoded(bytes: Uint8Array<ArrayBuffer>, rowLength: number): KeptUnits | null {
  const { count, numbers, words } = headOf(bytes);
  const rowsOf = new Float64Array(bytes.buffer, HEAD_BYTES, count);
  const columns = new Float64Array(bytes.buffer, HEAD_BYTES + 8 * count, numbers);
  const lost = words === 0 ? [] : readLost(Buffer.from(bytes.subarray(bytes.byteLength - words)).toString('utf8'));
  let rows = 0;
  for (const own of rowsOf) {
    if (!Number.isSafeInteger(own) || own < 0) return null;
    rows += own;
  }
  return columns.length === rowLength * rows && lost !== null ? { count, rowsOf, columns, lost } : null;
}

const LOST = z.array(z.object({ flight: z.int(), reason: z.string() }));

function readLost(text: string): KeptUnits['lost'] | null {
  try {
    return LOST.safeParse(JSON.parse(text)).data ?? null;
  } catch (error) {
    if (error instanceof SyntaxError) return null;
    throw error;
  }
}
