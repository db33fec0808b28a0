/**
 * Units of work over worker threads, handed over strictly in order. The rows, and where a run stops by its rule, depend
 * on the work and the unit numbers only: never on threads, chunks or timing. Knows no statistics and no flight, and
 * belongs to no study; what a command flies, and how far it is, is session.ts.
 */
import { setMaxListeners } from 'node:events';
import { availableParallelism } from 'node:os';
import { setImmediate } from 'node:timers/promises';
import { packageFile } from '../packageFile.ts';
import { chunkSize, chunks, toNextLook } from './chunks.ts';
import { type Journal, type KeptUnits, NO_JOURNAL } from './journal.ts';
import { Pool } from './pool.ts';
import type { LostFlight, Work } from './work.ts';

export type { LostFlight };

/** When a run ends. */
export interface StopRule {
  /** Units at most. */
  readonly limit: number;
  /** Ask `enough` after every so many units; null: never. */
  readonly checkEvery: number | null;
  /** Asked at whole multiples of `checkEvery`, when exactly `done` units have been handed over. */
  enough(done: number): boolean;
}

/** Consecutive units `first` .. `first + count - 1` and their rows. */
export interface Batch {
  readonly first: number;
  readonly count: number;
  /** Rows of each unit; all 1 for flights. */
  readonly rowsOf: Float64Array;
  /**
   * Column by column: number c of row i is `columns[c * rows + i]`, rows being all rows; of flights inputs in catalogue
   * order, then outputs.
   */
  readonly columns: Float64Array;
  /** Stands in for units that another part of the run flies (part.ts). */
  readonly standIn?: true;
}

export interface FleetRequest {
  readonly work: Work;
  /** Number of the first unit; 1 when left out. */
  readonly first?: number;
  readonly stop: StopRule;
  onBatch(batch: Batch): void;
  /** Where units flown before are found, and those flown now are kept; nowhere when left out. */
  readonly journal?: Journal;
  /** Ends the run early; what was handed over by then is kept. */
  readonly stopSignal: AbortSignal;
}

export interface FleetReport {
  /** Units handed over, the lost ones among them. */
  readonly flown: number;
  readonly stoppedBy: 'limit' | 'enough' | 'interrupted';
  /** Units whose worker failed on them twice; each was handed over as a row with no result. */
  readonly lost: readonly LostFlight[];
  readonly seconds: number;
}

export interface FleetOptions {
  /**
   * Worker threads; the machine's cores when left out. Also a single one is a thread of its own, so that stopping
   * works.
   */
  readonly threads?: number;
  /** Units a worker takes at a time; chosen by the length of the run when left out. */
  readonly chunk?: number;
  /** s after which a unit that has not ended counts as hung; 120 when left out. */
  readonly silence?: number;
  /** s a unit under way may still take after a stop; 3 when left out. */
  readonly grace?: number;
  /** MB of heap a worker may use. */
  readonly heapLimit?: number;
  /** Another worker file than the real one. */
  readonly workerFile?: URL;
}

/** Chunks sent ahead per thread: one in flight, one waiting. Bounds the memory too. */
const AHEAD = 2;
/** ms after which the run lets timers and signals have their turn, also when rows never stop coming. */
const BREATH = 50;

/** A chunk's rows with what was lost in it, or null when it was called back. */
type Haul = Omit<KeptUnits, 'count'> | null;

/** Worker threads, used over and over for any work; `close` ends them. */
export class Fleet {
  readonly threads: number;
  readonly #chunk: number | null;
  readonly #pool: Pool;
  readonly #keys = new WeakMap<object, number>();
  readonly #runs = new Set<Promise<FleetReport>>();
  #nextKey = 0;
  #closed = false;

  /** @throws RangeError when threads or chunk are not whole numbers of at least 1. */
  constructor(options: FleetOptions) {
    this.threads = whole('threads', options.threads ?? availableParallelism(), 1);
    this.#chunk = options.chunk === undefined ? null : whole('chunk', options.chunk, 1);
    this.#pool = new Pool({
      threads: this.threads,
      workerFile: options.workerFile ?? builtWorker(),
      silence: options.silence ?? 120,
      grace: options.grace ?? 3,
      heapLimit: options.heapLimit ?? null,
    });
  }

  /**
   * Does a run and hands its rows over in order. A worker that throws, dies or hangs costs at most the units it fails
   * on twice; they become rows with no result and are listed in the report.
   * @throws whatever `onBatch`, `enough` or the work's `lostRow` throws; UserError when the variation cannot be flown;
   *   Error when no worker can start; RangeError on a limit, first or checkEvery that is no whole number in range
   */
  fly(request: FleetRequest): Promise<FleetReport> {
    if (this.#closed) return Promise.reject(new Error('this fleet is closed'));
    const run = this.#fly(request);
    this.#runs.add(run);
    const gone = () => this.#runs.delete(run);
    run.then(gone, gone);
    return run;
  }

  /** Waits for the runs under way, then ends the threads. */
  async close(): Promise<void> {
    this.#closed = true;
    await Promise.allSettled(this.#runs);
    await this.#pool.close();
  }

  async #fly({ work, first: from, stop, onBatch, journal = NO_JOURNAL, stopSignal }: FleetRequest): Promise<FleetReport> {
    const limit = whole('limit', stop.limit, 0);
    const first = whole('first', from ?? 1, 1);
    const checkEvery = stop.checkEvery === null ? null : whole('checkEvery', stop.checkEvery, 1);
    const begun = performance.now();
    const size = this.#chunk ?? chunkSize(limit, this.threads);
    const ahead: { readonly done: number; readonly count: number; readonly haul: Promise<Haul> }[] = [];
    const lost: LostFlight[] = [];
    const callBack = new AbortController();
    // Every chunk that is out listens: more than the runtime takes for a leak, on a machine with many cores.
    setMaxListeners(0, callBack.signal);
    const interrupt = () => callBack.abort();
    let done = 0;
    let enough = false;
    let breath = begun;
    const hand = async ({ count, rowsOf, columns, lost: some }: KeptUnits): Promise<void> => {
      // Whoever takes the rows sees what is lost among them counted.
      lost.push(...some);
      const before = done;
      done += count;
      onBatch({ first: first + before, count, rowsOf, columns });
      if (checkEvery !== null && done % checkEvery === 0) enough = stop.enough(done);
      const now = performance.now();
      if (now - breath > BREATH) {
        await setImmediate();
        breath = performance.now();
      }
    };

    stopSignal.addEventListener('abort', interrupt, { once: true });
    if (stopSignal.aborted) interrupt();
    try {
      while (!enough && done < limit && !callBack.signal.aborted) {
        const kept = journal.find(work, first + done, toNextLook(done, limit, checkEvery));
        if (kept === null) break;
        await hand(kept);
      }
      const plan = chunks(limit, size, checkEvery, done, this.#chunk === null ? this.threads : null);
      while (!enough) {
        while (ahead.length < AHEAD * this.threads && !callBack.signal.aborted) {
          const next = plan.next();
          if (next.done) break;
          const haul = this.#doChunk(work, first + next.value.done, next.value.count, callBack.signal);
          // Looked at when its turn comes; until then a failure must not count as one nobody handles.
          haul.catch(() => undefined);
          ahead.push({ ...next.value, haul });
        }
        const head = ahead.shift();
        if (head === undefined) break;
        const haul = await head.haul;
        if (haul === null) break;
        const units = { count: head.count, ...haul };
        journal.keep(work, first + head.done, units);
        await hand(units);
      }
    } finally {
      stopSignal.removeEventListener('abort', interrupt);
      callBack.abort();
      await Promise.allSettled(ahead.map((chunk) => chunk.haul));
    }
    return {
      flown: done,
      stoppedBy: enough ? 'enough' : done === limit ? 'limit' : 'interrupted',
      lost,
      seconds: (performance.now() - begun) / 1000,
    };
  }

  /** One chunk; when its worker fails, unit by unit, so that only the culprit is lost. */
  async #doChunk(work: Work, first: number, count: number, calledBack: AbortSignal): Promise<Haul> {
    const { kind, study, variation, rowLength } = work;
    const task = { kind, study, variation, workKey: this.#keyOf(work), studyKey: this.#keyOf(study) };
    const whole = await this.#pool.work({ ...task, first, count }, rowLength, calledBack);
    if (whole.kind === 'calledBack') return null;
    if (whole.kind === 'rows') return { ...whole, lost: [] };

    const parts: UnitRows[] = [];
    const lost: LostFlight[] = [];
    for (let unit = first; unit < first + count; unit++) {
      let single = await this.#pool.work({ ...task, first: unit, count: 1 }, rowLength, calledBack);
      // A worker can also die of what an earlier unit left behind: alone once more before the unit is blamed.
      if (single.kind === 'failed' && single.again) {
        single = await this.#pool.work({ ...task, first: unit, count: 1 }, rowLength, calledBack);
      }
      if (single.kind === 'calledBack') return null;
      if (single.kind === 'rows') parts.push({ rows: single.rowsOf[0], columns: single.columns });
      else {
        const row = new Float64Array(rowLength).fill(Number.NaN);
        work.lostRow(unit, row);
        parts.push({ rows: 1, columns: row });
        lost.push({ flight: unit, reason: single.reason });
      }
    }
    return { ...together(parts, rowLength), lost };
  }

  #keyOf(thing: object): number {
    let key = this.#keys.get(thing);
    if (key === undefined) {
      key = this.#nextKey++;
      this.#keys.set(thing, key);
    }
    return key;
  }
}

/** Rows of one unit, column by column. */
interface UnitRows {
  readonly rows: number;
  readonly columns: Float64Array;
}

/** Units one after the other, all rows column by column. */
function together(parts: readonly UnitRows[], rowLength: number): { readonly rowsOf: Float64Array; readonly columns: Float64Array } {
  const rowsOf = Float64Array.from(parts, ({ rows }) => rows);
  const total = rowsOf.reduce((sum, rows) => sum + rows, 0);
  const columns = new Float64Array(rowLength * total);
  let before = 0;
  for (const { rows, columns: own } of parts) {
    for (let c = 0; c < rowLength; c++) columns.set(own.subarray(c * rows, (c + 1) * rows), c * total + before);
    before += rows;
  }
  return { rowsOf, columns };
}

/** Workers run what is built, also when this file runs as source in a test. */
function builtWorker(): URL {
  return packageFile('dist/run/worker.js');
}

function whole(name: string, value: number, least: number): number {
  if (!Number.isSafeInteger(value) || value < least)
    throw new RangeError(`${name}: read ${value}; expected a whole number of at least ${least}`);
  return value;
}
