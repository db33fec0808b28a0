/**
 * Many flights over worker threads, handed over strictly in flight order. The rows, and where a run stops by its rule, depend
 * on the study, the variation and the flight numbers only: never on threads, chunks or timing. Knows no statistics and no
 * flight; of flight/ it reads one type and the table of outputs, to write the row of a flight that was lost.
 */
import { setMaxListeners } from 'node:events';
import { availableParallelism } from 'node:os';
import { setImmediate } from 'node:timers/promises';
import type { Variation } from '../flight/flightMaker.ts';
import { NO_RESULT_REASONS, OUTCOMES, OUTPUTS, outputIndex } from '../flight/outputs.ts';
import { CATALOGUE } from '../inputs/catalogue.ts';
import type { Study } from '../study/study.ts';
import { chunkSize, chunks } from './chunks.ts';
import { Pace } from './pace.ts';
import { Pool } from './pool.ts';

/** When a run ends. */
export interface StopRule {
  /** Flights at most. */
  readonly limit: number;
  /** Ask `enough` after every so many flights; null: never. */
  readonly checkEvery: number | null;
  /** Asked at whole multiples of `checkEvery`, when exactly `done` flights have been handed over. */
  enough(done: number): boolean;
}

/** Consecutive flights `first` .. `first + count - 1`. */
export interface Batch {
  readonly first: number;
  readonly count: number;
  /** Column by column: number c of the i-th flight is `columns[c * count + i]`; inputs in catalogue order, then outputs. */
  readonly columns: Float64Array;
}

export interface Progress {
  readonly done: number;
  readonly limit: number;
  /** Flights per second, smoothed. */
  readonly rate: number;
  /** To the limit at this rate; a stopping rule may end the run sooner. */
  readonly secondsLeft: number;
}

export interface FleetRequest {
  /** How these flights differ from the study as written. Plain data, not changed afterwards: the same object is prepared once. */
  readonly variation: Variation;
  /** Number of the first flight; 1 when left out. */
  readonly first?: number;
  readonly stop: StopRule;
  onBatch(batch: Batch): void;
  onProgress?(progress: Progress): void;
  /** Writes the inputs of a flight whose worker failed; the row comes filled with NaN, and the outcome is written afterwards. */
  blankRow(flight: number, row: Float64Array): void;
  /** Ends the run early; what was handed over by then is kept. */
  readonly stopSignal: AbortSignal;
}

export interface LostFlight {
  readonly flight: number;
  readonly reason: string;
}

export interface FleetReport {
  /** Flights handed over, the lost ones among them. */
  readonly flown: number;
  readonly stoppedBy: 'limit' | 'enough' | 'interrupted';
  /** Flights whose worker failed on them twice; each was handed over as a row with no result. */
  readonly lost: readonly LostFlight[];
  readonly seconds: number;
  readonly threads: number;
}

export interface FleetOptions {
  readonly study: Study;
  /** Worker threads; the machine's cores when left out. Also a single one is a thread of its own, so that stopping works. */
  readonly threads?: number;
  /** Flights a worker takes at a time; chosen by the length of the run when left out. */
  readonly chunk?: number;
  /** s after which a flight that has not ended counts as hung; 120 when left out. */
  readonly silence?: number;
  /** s a flight under way may still take after a stop; 3 when left out. */
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

const ROW_LENGTH = CATALOGUE.length + OUTPUTS.length;
const OUTCOME = CATALOGUE.length + outputIndex('outcome');
const REASON = CATALOGUE.length + outputIndex('noResultReason');
const NO_RESULT = OUTCOMES.indexOf('no result');
const WORKER_FAILED = NO_RESULT_REASONS.indexOf('worker failed');

/** A chunk's rows with what was lost in it, or null when it was called back. */
type Haul = { readonly columns: Float64Array; readonly lost: readonly LostFlight[] } | null;

/** Worker threads for one study, used over and over; `close` ends them. */
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
    this.#pool = new Pool(
      {
        study: options.study,
        threads: this.threads,
        workerFile: options.workerFile ?? builtWorker(),
        silence: options.silence ?? 120,
        grace: options.grace ?? 3,
        heapLimit: options.heapLimit ?? null,
      },
      ROW_LENGTH,
    );
  }

  /**
   * Flies a run and hands its rows over in order. A worker that throws, dies or hangs costs at most the flights it fails on
   * twice; they become rows with no result and are listed in the report.
   * @throws whatever `onBatch`, `onProgress`, `enough` or `blankRow` throws; UserError when the variation cannot be flown;
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

  async #fly(request: FleetRequest): Promise<FleetReport> {
    const { stop, stopSignal } = request;
    const limit = whole('limit', stop.limit, 0);
    const first = whole('first', request.first ?? 1, 1);
    const checkEvery = stop.checkEvery === null ? null : whole('checkEvery', stop.checkEvery, 1);
    const begun = performance.now();
    const pace = new Pace(0);
    const size = this.#chunk ?? chunkSize(limit, this.threads);
    const plan = chunks(limit, size, checkEvery);
    const ahead: { readonly done: number; readonly count: number; readonly haul: Promise<Haul> }[] = [];
    const lost: LostFlight[] = [];
    const callBack = new AbortController();
    // Every chunk that is out listens: more than the runtime takes for a leak, on a machine with many cores.
    setMaxListeners(0, callBack.signal);
    const interrupt = () => callBack.abort();
    let done = 0;
    let enough = false;
    let breath = begun;

    stopSignal.addEventListener('abort', interrupt, { once: true });
    if (stopSignal.aborted) interrupt();
    try {
      while (!enough) {
        while (ahead.length < AHEAD * this.threads && !callBack.signal.aborted) {
          const next = plan.next();
          if (next.done) break;
          const haul = this.#flyChunk(request, first + next.value.done, next.value.count, callBack.signal);
          // Looked at when its turn comes; until then a failure must not count as one nobody handles.
          haul.catch(() => undefined);
          ahead.push({ ...next.value, haul });
        }
        const head = ahead.shift();
        if (head === undefined) break;
        const haul = await head.haul;
        if (haul === null) break;
        request.onBatch({ first: first + head.done, count: head.count, columns: haul.columns });
        done = head.done + head.count;
        lost.push(...haul.lost);
        if (checkEvery !== null && done % checkEvery === 0) enough = stop.enough(done);
        const now = performance.now();
        pace.arrived(head.count, (now - begun) / 1000);
        request.onProgress?.({ done, limit, rate: pace.rate, secondsLeft: (limit - done) / pace.rate });
        if (now - breath > BREATH) {
          await setImmediate();
          breath = performance.now();
        }
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
      threads: this.threads,
    };
  }

  /** One chunk; when its worker fails, flight by flight, so that only the culprit is lost. */
  async #flyChunk(request: FleetRequest, first: number, count: number, calledBack: AbortSignal): Promise<Haul> {
    const variation = request.variation;
    const key = this.#keyOf(variation);
    const whole = await this.#pool.fly({ key, variation, first, count }, calledBack);
    if (whole.kind === 'calledBack') return null;
    if (whole.kind === 'rows') return { columns: whole.columns, lost: [] };

    const columns = new Float64Array(ROW_LENGTH * count);
    const lost: LostFlight[] = [];
    for (let i = 0; i < count; i++) {
      const flight = first + i;
      let single = await this.#pool.fly({ key, variation, first: flight, count: 1 }, calledBack);
      // A worker can also die of what an earlier flight left behind: alone once more before the flight is blamed.
      if (single.kind === 'failed' && single.again) {
        single = await this.#pool.fly({ key, variation, first: flight, count: 1 }, calledBack);
      }
      if (single.kind === 'calledBack') return null;
      if (single.kind === 'failed') lost.push({ flight, reason: single.reason });
      const row = single.kind === 'rows' ? single.columns : lostRow(flight, request);
      for (let c = 0; c < ROW_LENGTH; c++) columns[c * count + i] = row[c] as number;
    }
    return { columns, lost };
  }

  #keyOf(variation: object): number {
    let key = this.#keys.get(variation);
    if (key === undefined) {
      key = this.#nextKey++;
      this.#keys.set(variation, key);
    }
    return key;
  }
}

/** The row of a flight whose worker failed on it: its inputs, no result, and nothing else happened. */
function lostRow(flight: number, request: FleetRequest): Float64Array {
  const row = new Float64Array(ROW_LENGTH).fill(Number.NaN);
  request.blankRow(flight, row);
  row.fill(Number.NaN, CATALOGUE.length);
  row[OUTCOME] = NO_RESULT;
  row[REASON] = WORKER_FAILED;
  return row;
}

/** Workers run what is built, also when this file runs as source in a test. */
function builtWorker(): URL {
  return new URL(import.meta.url.endsWith('.ts') ? '../../dist/fleet/worker.js' : './worker.js', import.meta.url);
}

function whole(name: string, value: number, least: number): number {
  if (!Number.isSafeInteger(value) || value < least)
    throw new RangeError(`${name}: read ${value}; expected a whole number of at least ${least}`);
  return value;
}
