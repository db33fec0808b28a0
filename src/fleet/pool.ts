/**
 * The worker threads, and what may befall them: a chunk sent out comes back as rows, or called back, or failed; never
 * not at all. Knows nothing of order, stopping rules or what a lost unit becomes (fleet.ts, work.ts).
 */
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { Piscina } from 'piscina';
import { UserError } from '../errors.ts';
import { type ChunkReply, type ChunkTask, PROGRESS, SIGNALS, STOP } from './task.ts';

/** What became of a chunk. `again`: worth another try on its own (a worker that hung would only hang once more). */
export type Return =
  | {
      readonly kind: 'rows';
      /** Rows of each unit. */
      readonly rowsOf: Float64Array;
      /** All rows, column by column. */
      readonly columns: Float64Array;
    }
  | { readonly kind: 'calledBack' }
  | { readonly kind: 'failed'; readonly reason: string; readonly again: boolean };

export interface PoolOptions {
  readonly threads: number;
  readonly workerFile: URL;
  /** s without any sign of life from a worker, after which its thread is ended. */
  readonly silence: number;
  /** s a worker called back has to finish the flight it is in, before its thread is ended. */
  readonly grace: number;
  /** MB of heap a worker may use; null: what the runtime allows. */
  readonly heapLimit: number | null;
}

/** Times a chunk is sent out when workers die before they take it. */
const STARTS = 3;

/** A chunk as the fleet gives it: with its study. */
export type ChunkWithStudy = Omit<ChunkTask, 'signals' | 'study'> & { readonly study: object };

/** A chunk that is out: watched for silence. */
interface Out {
  readonly signals: Int32Array;
  seen: number;
  since: number;
  readonly end: (reason: string) => void;
}

/** Lets so many go on at a time, the others in the order they came. */
class Turns {
  #free: number;
  readonly #waiting: (() => void)[] = [];

  constructor(free: number) {
    this.#free = free;
  }

  take(): Promise<void> {
    if (this.#free === 0) return new Promise((resolve) => this.#waiting.push(resolve));
    this.#free--;
    return Promise.resolve();
  }

  give(): void {
    const next = this.#waiting.shift();
    if (next === undefined) this.#free++;
    else next();
  }
}

export class Pool {
  readonly #piscina: Piscina;
  /**
   * One a thread: of chunks that can be called back, those that wait within piscina go last come, first served, and
   * threads then wait for the one that came first.
   */
  readonly #turns: Turns;
  readonly #options: PoolOptions;
  readonly #out = new Set<Out>();
  /** Times each study was sent along, by its key. */
  readonly #sent = new Map<number, number>();
  #lastSign = 0;
  #watch: NodeJS.Timeout | null = null;

  #closed = false;

  /** @throws Error when the worker file does not exist. */
  constructor(options: PoolOptions) {
    if (!existsSync(options.workerFile)) throw new Error(`no worker file ${fileURLToPath(options.workerFile)}; build first`);
    this.#options = options;
    this.#turns = new Turns(options.threads);
    this.#piscina = new Piscina({
      filename: options.workerFile.href,
      minThreads: options.threads,
      maxThreads: options.threads,
      recordTiming: false,
      ...(options.heapLimit === null ? {} : { resourceLimits: { maxOldGenerationSizeMb: options.heapLimit } }),
    });
    // A worker that dies while it flies nothing loses nothing: the pool replaces it, unless it died while it was
    // loading.
    this.#piscina.on('error', (error: Error) => {
      if (this.#piscina.threads.length > 0) return;
      for (const out of [...this.#out]) out.end(error.message);
    });
    // The pool replaces a thread also when it hears of its end only after closing; such a late comer must not keep the
    // program alive.
    this.#piscina.on('workerCreate', () => {
      if (this.#closed) void this.#piscina.destroy();
    });
  }

  /**
   * Does one chunk. The study goes along until each thread has had it once, and again to one that says it lacks it.
   * @param rowLength numbers in a row   @param calledBack when it fires the chunk ends early, at the latest after the
   * grace time
   * @throws UserError or Error when the variation cannot be flown at all, Error when no worker can start
   */
  async work(chunk: ChunkWithStudy, rowLength: number, calledBack: AbortSignal): Promise<Return> {
    await this.#turns.take();
    try {
      return await this.#inTurn(chunk, rowLength, calledBack);
    } finally {
      this.#turns.give();
    }
  }

  async #inTurn(chunk: ChunkWithStudy, rowLength: number, calledBack: AbortSignal): Promise<Return> {
    let problem = '';
    const sent = this.#sent.get(chunk.studyKey) ?? 0;
    this.#sent.set(chunk.studyKey, sent + 1);
    let study = sent < this.#options.threads ? chunk.study : null;
    for (let start = 0; start < STARTS; start++) {
      const result = await this.#once({ ...chunk, study }, rowLength, calledBack);
      if (result.kind === 'lacking') {
        study = chunk.study;
        continue;
      }
      if (result.kind !== 'notStarted') return result;
      problem = result.reason;
    }
    throw new Error(`no worker could start: ${problem}`);
  }

  async #once(
    chunk: Omit<ChunkTask, 'signals'>,
    rowLength: number,
    calledBack: AbortSignal,
  ): Promise<Return | { readonly kind: 'notStarted'; readonly reason: string } | { readonly kind: 'lacking' }> {
    if (calledBack.aborted) return { kind: 'calledBack' };
    const signals = new Int32Array(new SharedArrayBuffer(SIGNALS * Int32Array.BYTES_PER_ELEMENT));
    const ending = new AbortController();
    let ended: string | null = null;
    let graceTimer: NodeJS.Timeout | null = null;
    const callBack = () => {
      Atomics.store(signals, STOP, 1);
      graceTimer = setTimeout(() => ending.abort(), 1000 * this.#options.grace);
    };
    const out: Out = {
      signals,
      seen: 0,
      since: performance.now(),
      end: (reason) => {
        ended = reason;
        ending.abort();
      },
    };
    calledBack.addEventListener('abort', callBack, { once: true });
    this.#watchOver(out);
    try {
      const task: ChunkTask = { ...chunk, signals };
      return read(await this.#piscina.run(task, { signal: ending.signal }), chunk.count, rowLength);
    } catch (error) {
      if (error instanceof Refusal) throw error.cause;
      if (calledBack.aborted) return { kind: 'calledBack' };
      const reason = ended ?? (error instanceof Error ? error.message : String(error));
      if (Atomics.load(signals, PROGRESS) === 0) return { kind: 'notStarted', reason };
      return { kind: 'failed', reason, again: ended === null };
    } finally {
      calledBack.removeEventListener('abort', callBack);
      if (graceTimer !== null) clearTimeout(graceTimer);
      this.#unwatch(out);
    }
  }

  #watchOver(out: Out): void {
    this.#out.add(out);
    if (this.#watch === null) {
      this.#lastSign = performance.now();
      this.#watch = setInterval(() => this.#lookAround(), Math.min(1000, 250 * this.#options.silence));
    }
  }

  #unwatch(out: Out): void {
    this.#out.delete(out);
    this.#lastSign = performance.now();
    if (this.#out.size === 0 && this.#watch !== null) {
      clearInterval(this.#watch);
      this.#watch = null;
    }
  }

  /**
   * Ends the threads whose flight has not ended for too long. A chunk that waits its turn is patient while others get
   * on.
   */
  #lookAround(): void {
    const now = performance.now();
    const patience = 1000 * this.#options.silence;
    for (const out of this.#out) {
      const progress = Atomics.load(out.signals, PROGRESS);
      if (progress !== out.seen) {
        out.seen = progress;
        out.since = now;
        this.#lastSign = now;
      }
    }
    for (const out of [...this.#out]) {
      if (out.seen > 0 ? now - out.since > patience : now - this.#lastSign > 2 * patience) {
        out.end(`no sign of life for ${this.#options.silence} s`);
      }
    }
  }

  /** Ends the threads. Call it when no chunk is out. */
  async close(): Promise<void> {
    this.#closed = true;
    await this.#piscina.destroy();
  }
}

function read(reply: ChunkReply | null, count: number, rowLength: number): Return | { readonly kind: 'lacking' } {
  if (reply instanceof Float64Array) {
    if (reply.length === 0) return { kind: 'calledBack' };
    const rowsOf = reply.subarray(0, count);
    const columns = reply.subarray(count);
    if (columns.length === rowLength * rowsOf.reduce((sum, rows) => sum + rows, 0)) return { kind: 'rows', rowsOf, columns };
  } else if (reply !== null && typeof reply === 'object') {
    if ('lacking' in reply) return { kind: 'lacking' };
    if ('unprepared' in reply) {
      const { unprepared, problems } = reply;
      throw new Refusal(problems === null ? new Error(`the flights cannot be prepared: ${unprepared}`) : new UserError(problems));
    }
  }
  return { kind: 'failed', reason: 'the worker did not return the rows', again: true };
}

/** Carries "this cannot be flown at all" past the handling of failures. */
class Refusal extends Error {
  constructor(cause: Error) {
    super(cause.message, { cause });
  }
}
