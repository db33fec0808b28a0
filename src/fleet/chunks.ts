/** How a run of flights is cut into chunks. The cut can never change a row, only who flies it. */

/** Flights done before this chunk, and how many it holds. */
export interface Chunk {
  readonly done: number;
  readonly count: number;
}

/**
 * Flights in a chunk at most: hand-over then costs a few per cent of flights of a millisecond, and a stop comes soon.
 */
const LARGEST = 64;

/** The chunk size for a run: several chunks a thread, so that short runs share the load too. */
export function chunkSize(limit: number, threads: number): number {
  return Math.min(LARGEST, Math.max(1, Math.ceil(limit / (4 * threads))));
}

/**
 * Chunks of `size` up to `limit`, none of them reaching across a multiple of `checkEvery`: the stopping rule is asked
 * after exactly that many flights, so a chunk must end there.
 */
export function* chunks(limit: number, size: number, checkEvery: number | null): Generator<Chunk> {
  let done = 0;
  while (done < limit) {
    const toCheck = checkEvery === null ? limit : checkEvery - (done % checkEvery);
    const count = Math.min(size, limit - done, toCheck);
    yield { done, count };
    done += count;
  }
}
