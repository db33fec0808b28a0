/**
 * The worker's side of a chunk: prepares the work, does its units in order, hands the rows back. Knows no flight: what
 * does a unit is passed in (worker.ts passes the real thing).
 */
import { UserError } from '../errors.ts';
import { type ChunkReply, type ChunkTask, type Lacking, PROGRESS, STOP, type Unprepared } from './task.ts';

/** Does the units of one piece of work. */
export interface Worker {
  /** Numbers in a row. */
  readonly rowLength: number;
  /** Rows a unit has at most: 1 for a flight. */
  readonly mostRows: number;
  /**
   * Does one unit.
   * @param rows room for `mostRows` rows, one after the other, filled with NaN   @returns rows written
   */
  work(unit: number, rows: Float64Array): number;
}

/**
 * Prepares a kind of work on a study.
 * @throws whatever is wrong with the variation: nothing is done then, and the reply says why
 */
export type Prepare = (study: object, variation: object) => Worker;

/** Workers and studies a thread keeps; a comparison or a search goes to and fro between a few. */
const KEPT = 8;

/** The handler of chunks. @param kinds by the names tasks call them */
export function serve(kinds: Readonly<Record<string, Prepare>>): (task: ChunkTask) => ChunkReply {
  const workers = new Map<number, Worker>();
  const studies = new Map<number, object>();

  const workerOf = (task: ChunkTask): Worker | Lacking => {
    const study = task.study ?? studies.get(task.studyKey);
    if (study !== undefined) keep(studies, task.studyKey, study);
    const ready = workers.get(task.workKey);
    if (ready === undefined && study === undefined) return { lacking: 'study' };
    const worker = ready ?? prepared(kinds, task, study as object);
    keep(workers, task.workKey, worker);
    return worker;
  };

  return (task) => {
    const { first, count, signals } = task;
    Atomics.store(signals, PROGRESS, 1);
    let worker: Worker | Lacking;
    try {
      worker = workerOf(task);
    } catch (error) {
      return whyUnprepared(error);
    }
    if ('lacking' in worker) return worker;
    Atomics.store(signals, PROGRESS, 2);
    // Copied on its way: to hand it over without would take half of piscina into every thread, for microseconds a chunk.
    return worker.mostRows === 1 ? singleRows(worker, first, count, signals) : manyRows(worker, first, count, signals);
  };
}

function prepared(kinds: Readonly<Record<string, Prepare>>, { kind, variation }: ChunkTask, study: object): Worker {
  const prepare = kinds[kind];
  if (prepare === undefined) throw new Error(`no worker does ${kind}`);
  return prepare(study, variation);
}

/** Kept as the youngest; the one longest unused makes room. */
function keep<T>(kept: Map<number, T>, key: number, value: T): void {
  kept.delete(key);
  kept.set(key, value);
  if (kept.size <= KEPT) return;
  for (const oldest of kept.keys()) {
    kept.delete(oldest);
    return;
  }
}

/** Each row goes to its place at once. */
function singleRows(worker: Worker, first: number, count: number, signals: Int32Array): Float64Array<ArrayBuffer> {
  const { rowLength } = worker;
  const row = new Float64Array(rowLength);
  const reply = new Float64Array(count + rowLength * count);
  for (let i = 0; i < count; i++) {
    if (Atomics.load(signals, STOP) === 1) return new Float64Array(0);
    row.fill(Number.NaN);
    reply[i] = worker.work(first + i, row);
    for (let c = 0; c < rowLength; c++) reply[count + c * count + i] = row[c];
    Atomics.add(signals, PROGRESS, 1);
  }
  return reply;
}

/** How many rows there are shows only at the end: they are turned into columns then. */
function manyRows(worker: Worker, first: number, count: number, signals: Int32Array): Float64Array<ArrayBuffer> {
  const { rowLength, mostRows } = worker;
  const most = mostRows * rowLength;
  const all = new Float64Array(count * most).fill(Number.NaN);
  const rowsOf = new Float64Array(count);
  let total = 0;
  for (let i = 0; i < count; i++) {
    if (Atomics.load(signals, STOP) === 1) return new Float64Array(0);
    rowsOf[i] = worker.work(first + i, all.subarray(i * most, (i + 1) * most));
    total += rowsOf[i];
    Atomics.add(signals, PROGRESS, 1);
  }
  const reply = new Float64Array(count + rowLength * total);
  reply.set(rowsOf);
  let row = 0;
  for (let i = 0; i < count; i++) {
    for (let r = 0; r < rowsOf[i]; r++, row++) {
      const from = i * most + r * rowLength;
      for (let c = 0; c < rowLength; c++) reply[count + c * total + row] = all[from + c];
    }
  }
  return reply;
}

function whyUnprepared(error: unknown): Unprepared {
  if (error instanceof UserError) return { unprepared: error.message, problems: error.problems };
  return { unprepared: error instanceof Error ? (error.stack ?? error.message) : String(error), problems: null };
}
