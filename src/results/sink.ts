/**
 * A sink for the Arrow writer that writes straight to an open file. The writer's own streams do not hold back the producer, so
 * memory would grow with the study; here it is bounded by what lies between two flushes.
 */
import { writevSync } from 'node:fs';
import { AsyncByteQueue } from 'apache-arrow';

/** Writes the pieces to the file, possibly fewer bytes than asked; returns how many. As `fs.writevSync`. */
export type WritePieces = (fd: number, pieces: readonly Uint8Array[]) => number;

/** Bytes gathered before a write. */
const GATHER = 1 << 20;

export class FileSink extends AsyncByteQueue<Uint8Array> {
  readonly #fd: number;
  readonly #write: WritePieces;
  #pieces: Uint8Array[] = [];
  #bytes = 0;

  constructor(fd: number, write: WritePieces = writevSync) {
    super();
    this.#fd = fd;
    this.#write = write;
  }

  /** Keeps a view of the piece: its memory must not change before the next flush. */
  override write(piece: Uint8Array): void {
    this.#pieces.push(piece);
    this.#bytes += piece.byteLength;
    if (this.#bytes >= GATHER) this.flush();
  }

  /** Writes all that was gathered. @throws what the file system throws. */
  flush(): void {
    let left = this.#pieces;
    while (left.length > 0) {
      let written = this.#write(this.#fd, left);
      const rest: Uint8Array[] = [];
      for (const piece of left) {
        if (written >= piece.byteLength) written -= piece.byteLength;
        else {
          rest.push(piece.subarray(written));
          written = 0;
        }
      }
      left = rest;
    }
    this.#pieces = [];
    this.#bytes = 0;
  }
}
