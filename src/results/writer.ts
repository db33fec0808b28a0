/**
 * Streams flights into an Arrow file. The file's bytes depend on the flights and the header only: rows are re-cut into
 * record batches of one size, whatever batches they come in. Memory is bounded by one record batch. Whatever stops the
 * writing, the batches written before it stay, and can be read.
 */
import { closeSync, fsyncSync, ftruncateSync, openSync, renameSync } from 'node:fs';
import { makeData, RecordBatch, type Schema, Struct, vectorFromArray } from 'apache-arrow';
import { UserError } from '../errors.ts';
import type { Batch } from '../fleet/fleet.ts';
import { type ColumnBuffer, columnBuffer } from './columnBuffer.ts';
import { type Column, flightColumns, LEADING } from './columns.ts';
import { fileFault } from './fileFault.ts';
import type { FlightsHeader } from './header.ts';
import { flightsSchema } from './schema.ts';
import { SectionWriter } from './sectionWriter.ts';
import { FileSink, type WritePieces } from './sink.ts';
import { partName, removePart } from './wholeFile.ts';

/** Rows of every record batch but the last: what a sudden end can lose. A multiple of 8, for the bitmaps. */
export const BATCH_ROWS = 1024;

/** Rule labels are numbered in a byte. A study may not have more. */
const MOST_RULES = 127;

/** Flights one row each, as the fleet hands them over. */
export type FlightRows = Pick<Batch, 'first' | 'count' | 'columns'>;

export class FlightsWriter {
  readonly #path: string;
  readonly #fd: number;
  readonly #sink: FileSink;
  readonly #arrow: SectionWriter;
  readonly #schema: Schema;
  readonly #struct: Struct;
  readonly #rules: readonly string[];
  readonly #columns: readonly Column[];
  readonly #buffers: readonly ColumnBuffer[];
  #held = 0;
  #rows = 0;
  /** Flight expected next, by rule. */
  readonly #next: number[];
  #open = true;
  /** Rows in the file, and its length up to the last of them. */
  #safeRows = 0;
  #safeBytes = 0;

  private constructor(path: string, fd: number, header: FlightsHeader, write?: WritePieces) {
    this.#path = path;
    this.#fd = fd;
    this.#rules = header.rules;
    this.#next = header.rules.map(() => header.firstFlight);
    this.#columns = flightColumns(header.rules, header.constants);
    this.#schema = flightsSchema(this.#columns, header);
    this.#struct = new Struct(this.#schema.fields);
    this.#buffers = this.#columns.map((column, place) => {
      const words = column.constant === null ? column.labels : [column.constant];
      const labels = words === null ? null : vectorFromArray([...words], this.#schema.fields[place]?.type.dictionary);
      return columnBuffer(this.#schema, column, place, BATCH_ROWS, labels);
    });
    this.#sink = write === undefined ? new FileSink(fd) : new FileSink(fd, write);
    this.#arrow = new SectionWriter();
    this.#arrow.reset(this.#sink, this.#schema);
  }

  /**
   * Begins a file, under a temporary name until `finish`; nothing may go by that name yet.
   * @param write stands in for `fs.writevSync` where a fault of the disk is to be tried
   * @throws UserError when the file cannot be made; RangeError when the rules are none, too many or not distinct
   */
  static create(path: string, header: FlightsHeader, write?: WritePieces): FlightsWriter {
    const { rules } = header;
    if (rules.length === 0 || rules.length > MOST_RULES || new Set(rules).size !== rules.length) {
      throw new RangeError(`a flights file holds 1 to ${MOST_RULES} distinct rules, got ${rules.length}`);
    }
    let fd: number;
    try {
      // Exclusively: what goes by that name is another run's, or a link someone planted.
      fd = openSync(partName(path), 'wx');
    } catch (error) {
      throw fileFault(error, 'cannot write', path);
    }
    return new FlightsWriter(path, fd, header, write);
  }

  /** Rows taken so far. */
  get rows(): number {
    return this.#rows;
  }

  /**
   * Takes rows; what is full goes to the file. The flights of each rule follow each other from the first; rules may
   * take turns.
   * @param rule one of the header's rules; the first of them when left out
   * @throws UserError when the disk is full or fails (see {@link abort}); RangeError when flights are missing or a
   * number does not
   *   fit its column
   */
  append(rows: FlightRows, rule: string = this.#rules[0] as string): void {
    this.#mustBeOpen();
    const { first, count, columns } = rows;
    const numbers = this.#columns.length - LEADING;
    if (columns.length !== numbers * count) throw new RangeError(`rows of ${columns.length / count} numbers; expected ${numbers}`);
    const index = this.#rules.indexOf(rule);
    if (index < 0) throw new RangeError(`rule ${rule} is not in the header`);
    const expected = this.#next[index];
    if (first !== expected) throw new RangeError(`flight ${first} came; expected ${expected}`);
    this.#next[index] = first + count;

    for (let taken = 0; taken < count; ) {
      const n = Math.min(count - taken, BATCH_ROWS - this.#held);
      this.#buffers.forEach((buffer, place) => {
        if (place >= LEADING) buffer.fill(this.#held, columns, (place - LEADING) * count + taken, n);
        else for (let i = 0; i < n; i++) buffer.put(this.#held + i, place === 0 ? first + taken + i : index);
      });
      taken += n;
      this.#held += n;
      this.#rows += n;
      if (this.#held === BATCH_ROWS) this.#writeBatch();
    }
  }

  /**
   * Writes what is left and gives the file its name; it is whole from then on, also with no flight in it.
   * @returns rows in the file   @throws UserError when the disk is full or fails (see {@link abort})
   */
  finish(): number {
    this.#mustBeOpen();
    // Also an empty batch when there is no flight at all: it brings the dictionaries, which some readers demand.
    if (this.#held > 0 || this.#rows === 0) this.#writeBatch();
    this.#guarded(() => {
      this.#arrow.finish();
      this.#sink.flush();
      fsyncSync(this.#fd);
    });
    this.#open = false;
    try {
      closeSync(this.#fd);
      renameSync(partName(this.#path), this.#path);
    } catch (error) {
      throw fileFault(error, 'cannot write', this.#path);
    }
    return this.#rows;
  }

  /**
   * Gives up. The rows written so far stay under the temporary name, up to the last whole batch; where there are none,
   * nothing stays. Does nothing when the file is finished or given up already.
   * @returns rows that stay
   */
  abort(): number {
    if (!this.#open) return 0;
    this.#open = false;
    try {
      if (this.#safeRows > 0) ftruncateSync(this.#fd, this.#safeBytes);
    } finally {
      closeSync(this.#fd);
    }
    if (this.#safeRows === 0) removePart(partName(this.#path));
    return this.#safeRows;
  }

  #writeBatch(): void {
    const length = this.#held;
    const children = this.#buffers.map((buffer) => buffer.data(length));
    const data = makeData({ type: this.#struct, length, nullCount: 0, children });
    this.#guarded(() => {
      this.#arrow.write(new RecordBatch(this.#schema, data));
      this.#safeBytes += this.#sink.flush();
    });
    this.#safeRows = this.#rows;
    for (const buffer of this.#buffers) buffer.clear();
    this.#held = 0;
  }

  #guarded(write: () => void): void {
    try {
      write();
    } catch (error) {
      const fault = fileFault(error, 'cannot write', this.#path);
      const kept = this.abort();
      if (!(fault instanceof UserError) || kept === 0) throw fault;
      throw new UserError([...fault.problems, `${partName(this.#path)}: the first ${kept} rows are kept there and can be read`]);
    }
  }

  #mustBeOpen(): void {
    if (!this.#open) throw new Error(`${this.#path}: already finished or given up`);
  }
}
