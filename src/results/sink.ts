/**
 * A sink for the Arrow writer that writes straight to an open file. The writer's own streams do not hold back the
 * producer, so memory would grow with the study; here it is bounded by what lies between two flushes.
 */
import { writevSync } from 'node:fs';
import { AsyncByteQueue } from 'apache-arrow';

/** Writes the pieces to the file, possibly fewer bytes than asked; returns how many. As `fs.writevSync`. */
export type WritePieces = (fd: number, pieces: readonly Uint8Array[]) => number;

/** Pieces handed to one write: systems take 1024 at most. */
const MOST_PIECES = 1024;

export class FileSink extends AsyncByteQueue<Uint8Array> {
  readonly #fd: number;
  readonly #write: WritePieces;
  #pieces: Uint8Array[] = [];

  constructor(fd: number, write: WritePieces = writevSync) {
    super();
    this.#fd = fd;
    this.#write = write;
  }

  /** Keeps a view of the piece, until the next flush writes what its memory holds then. */
  override write(piece: Uint8Array): void {
    this.#pieces.push(piece);
  }

  /** Writes all that was gathered. @returns bytes written   @throws what the file system throws. */
  flush(): number {
    const all = this.#pieces.filter((piece) => piece.byteLength > 0);
    this.#pieces = [];
    let total = 0;
    for (let first = 0; first < all.length; ) {
      let written = this.#write(this.#fd, all.slice(first, first + MOST_PIECES));
      total += written;
      while (first < all.length && written >= (all[first] as Uint8Array).byteLength) {
        written -= (all[first] as Uint8Array).byteLength;
        first++;
      }
      if (written > 0) all[first] = (all[first] as Uint8Array).subarray(written);
    }
    return total;
  }
}
