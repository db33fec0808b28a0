/** How a run of flights is cut into chunks. The cut can never change a row, only who flies it. */

/** Flights done before this chunk, and how many it holds. */
export interface Chunk {
  readonly done: number;
  readonly count: number;
}

/** Flights in a chunk at most: hand-over, a millisecond with both ends asleep, then costs one in a hundred. */
const LARGEST = 128;

/** Flights in one of the last chunks at least. */
const LEAST_LAST = 4;

/** The chunk size for a run: several chunks a thread, so that short runs share the load too. */
export function chunkSize(limit: number, threads: number): number {
  return Math.min(LARGEST, Math.max(1, Math.ceil(limit / (4 * threads))));
}

/** Flights from `done` on until the stopping rule is asked or the limit is reached. */
export function toNextLook(done: number, limit: number, checkEvery: number | null): number {
  return Math.min(limit - done, checkEvery === null ? limit : checkEvery - (done % checkEvery));
}

/**
 * Chunks of `size` up to `limit`, none of them reaching across a multiple of `checkEvery`: the stopping rule is asked
 * after exactly that many flights, so a chunk must end there.
 * @param from flights that were done before
 * @param sharing threads, between which the last flights are shared out by ever smaller chunks, so that none waits long
 * for another to end; null: all chunks alike
 */
export function* chunks(limit: number, size: number, checkEvery: number | null, from = 0, sharing: number | null = null): Generator<Chunk> {
  let done = from;
  while (done < limit) {
    const share = sharing === null ? size : Math.max(LEAST_LAST, Math.ceil((limit - done) / (2 * sharing)));
    const count = Math.min(size, share, toNextLook(done, limit, checkEvery));
    yield { done, count };
    done += count;
  }
}
