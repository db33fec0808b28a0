/** What passes between the fleet and a worker: one chunk of flights out, its rows back. Knows no flight. */

/** One chunk: the flights first .. first + count - 1. */
export interface ChunkTask {
  /** Same key, same variation: a worker keeps what it prepared for it. */
  readonly key: number;
  /** Plain data; what it means is the kit's business. */
  readonly variation: object;
  readonly first: number;
  readonly count: number;
  /** Shared memory: [STOP, PROGRESS]. */
  readonly signals: Int32Array;
}

/** Slot the fleet sets to 1 to call a chunk back; the worker looks at it between flights. */
export const STOP = 0;
/** Slot the worker counts up: 1 when it takes the chunk, 2 when it is prepared, then one more a flight. */
export const PROGRESS = 1;
export const SIGNALS = 2;

/** The variation cannot be flown at all, which is no single flight's fault. */
export interface Unprepared {
  readonly unprepared: string;
  /** The user's mistakes, one line each; null when the fault is ours. */
  readonly problems: readonly string[] | null;
}

/** Rows column by column (row length x count), or no number at all when the chunk was called back, or why nothing can fly. */
export type ChunkReply = Float64Array | Unprepared;
