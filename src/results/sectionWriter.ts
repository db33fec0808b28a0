/**
 * The Arrow library's file writer, with a label before the schema and before each record batch (sections.ts). Also
 * writes the schema at the front, where the library leaves it out: a file without its end can be read by that. Knows no
 * column and no file.
 */
import { crc32 } from 'node:zlib';
import { Message, type RecordBatch, RecordBatchFileWriter, type Schema } from 'apache-arrow';
import { LABEL_BYTES, type LabelKind, writeLabel } from './sections.ts';

export class SectionWriter extends RecordBatchFileWriter {
  #sections = 0;
  #rows = 0;
  /** Bytes and checksum of the section being written. */
  #length = 0;
  #sum = 0;

  protected override _writeSchema(schema: Schema): this {
    super._writeSchema(schema);
    return this.#section(0, () => this._writeMessage(Message.from(schema)));
  }

  protected override _writeRecordBatch(batch: RecordBatch): this {
    return this.#section(batch.numRows, () => super._writeRecordBatch(batch));
  }

  protected override _writeFooter(schema: Schema): this {
    this.#label('end', this.#rows, this.#sections, 0);
    return super._writeFooter(schema);
  }

  protected override _write(chunk: ArrayBufferView): this {
    const bytes = new Uint8Array(chunk.buffer, chunk.byteOffset, chunk.byteLength);
    this.#length += bytes.byteLength;
    this.#sum = crc32(bytes, this.#sum);
    return super._write(bytes);
  }

  /**
   * The label goes first and is filled in last: the sink must keep it until then, and does, for it writes only when
   * flushed.
   */
  #section(rows: number, write: () => void): this {
    const label = new Uint8Array(LABEL_BYTES);
    super._write(label);
    this.#length = 0;
    this.#sum = 0;
    write();
    writeLabel(label, { kind: 'section', rows, length: this.#length, sum: this.#sum });
    this.#sections++;
    this.#rows += rows;
    return this;
  }

  #label(kind: LabelKind, rows: number, length: number, sum: number): void {
    const label = new Uint8Array(LABEL_BYTES);
    writeLabel(label, { kind, rows, length, sum });
    super._write(label);
  }
}
