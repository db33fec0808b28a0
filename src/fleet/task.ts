/**
 * What passes between the fleet and a worker: a chunk of units out, its rows back. Knows neither flights nor studies.
 */

/** One chunk: the units first .. first + count - 1 of a piece of work. */
export interface ChunkTask {
  /** What is done with a unit: a name in the worker's table (worker.ts). */
  readonly kind: string;
  /** Same key, same work: a worker keeps what it prepared for it. */
  readonly workKey: number;
  readonly studyKey: number;
  /** Plain data; null where the worker is taken to have it. One that has not answers with {@link Lacking}. */
  readonly study: object | null;
  /** Plain data; what it means is the business of whoever does the work. */
  readonly variation: object;
  readonly first: number;
  readonly count: number;
  /** Shared memory: [STOP, PROGRESS]. */
  readonly signals: Int32Array;
}

/** Slot the fleet sets to 1 to call a chunk back; the worker looks at it between units. */
export const STOP = 0;
/** Slot the worker counts up: 1 when it takes the chunk, 2 when it is prepared, then one more a unit. */
export const PROGRESS = 1;
export const SIGNALS = 2;

/** The work cannot be done at all, which is no single unit's fault. */
export interface Unprepared {
  readonly unprepared: string;
  /** The user's mistakes, one line each; null when the fault is ours. */
  readonly problems: readonly string[] | null;
}

/** The worker does not have the study: a new thread, or one that has seen many. */
export interface Lacking {
  readonly lacking: 'study';
}

/**
 * `count` numbers, the rows of each unit, then all rows column by column (row length x rows); or no number at all when
 * the chunk was called back; or why nothing came.
 */
export type ChunkReply = Float64Array | Unprepared | Lacking;
