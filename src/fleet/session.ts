/**
 * All the flying of one command: the threads, as many works as it likes in any number of stretches, how far it is of
 * what was announced, what was lost, and how long it took. Asks no question of the flights and writes no file.
 */
import { Fleet, type FleetOptions, type FleetReport, type FleetRequest, type LostFlight, type StopRule } from './fleet.ts';
import { type Journal, NO_JOURNAL } from './journal.ts';
import { Pace } from './pace.ts';
import { lastOf, lostModel, type Part, shareOf, standIns, type UnitRows } from './part.ts';
import type { Work } from './work.ts';

export interface Progress {
  readonly done: number;
  readonly limit: number;
  /** Flights per second, smoothed. */
  readonly rate: number;
  /** To the limit at this rate; a stopping rule may end the run sooner. */
  readonly secondsLeft: number;
}

export interface SessionOptions extends FleetOptions {
  /** Ends the flying early; what was handed over by then is kept. */
  readonly stopSignal?: AbortSignal;
  /** Where flights flown before are found, and those flown now are kept; nowhere when left out. */
  readonly journal?: Journal;
  /** Flies only this part's share of every stretch; what stands in for the rest makes no answers. */
  readonly part?: Part;
  /** Told of all flights together; the limit grows when more are announced. */
  readonly onProgress?: (progress: Progress) => void;
}

/** How the flying went on this machine; kept apart from answers, so that those can be compared byte for byte. */
export interface RunFacts {
  readonly seconds: number;
  readonly threads: number;
  readonly flightsPerSecond: number;
  readonly node: string;
}

/** A lost flight, and of what. */
export interface LostInWork extends LostFlight {
  readonly work: string;
}

/** Consecutive flights, as many as the stopping rule says or just so many. */
export type Stretch = Pick<FleetRequest, 'first' | 'onBatch'> &
  (
    | { readonly stop: StopRule }
    | {
        readonly count: number;
        /** What is found decides what is flown next: every part of a run flies all of it. */
        readonly decides?: boolean;
      }
  );

export class Session {
  readonly threads: number;
  /** Of all works, in the order of flying. */
  readonly lost: LostInWork[] = [];
  readonly #fleet: Fleet;
  readonly #stopSignal: AbortSignal;
  readonly #journal: Journal;
  readonly #part: Part | undefined;
  readonly #onProgress: ((progress: Progress) => void) | undefined;
  readonly #pace = new Pace(0);
  readonly #begun = performance.now();
  #announced = 0;
  #flown = 0;
  /** Of these found in the journal: flown by an earlier run. */
  #found = 0;
  /** Of these stood in for: flown by another part. */
  #stoodIn = 0;
  #seconds = 0;

  /**
   * Prefer {@link flying}, which closes it.
   * @throws RangeError when threads or chunk are not whole numbers of at least 1
   */
  constructor(options: SessionOptions = {}) {
    this.#fleet = new Fleet(options);
    this.threads = this.#fleet.threads;
    this.#stopSignal = options.stopSignal ?? new AbortController().signal;
    this.#journal = options.journal ?? NO_JOURNAL;
    this.#part = options.part;
    this.#onProgress = options.onProgress;
  }

  /** Flights handed over so far, lost ones among them. */
  get flown(): number {
    return this.#flown;
  }

  /** Says that so many flights are to come, for the progress shown. */
  announce(flights: number): void {
    this.#announced += flights;
  }

  /**
   * Flies a stretch; stretches one after the other. What was not announced counts as announced when it is flown.
   * @throws as {@link Fleet.fly}
   */
  async fly(work: Work, stretch: Stretch): Promise<FleetReport> {
    const stop = 'stop' in stretch ? stretch.stop : { limit: stretch.count, checkEvery: null, enough: () => false };
    this.#announced = Math.max(this.#announced, this.#flown + stop.limit);
    const { onBatch, first = 1 } = stretch;
    const part = 'decides' in stretch && stretch.decides ? undefined : this.#part;
    return part === undefined ? this.#flyAll(work, first, stop, onBatch) : this.#flyShare(work, first, stop, onBatch, part);
  }

  /** The part's share, and what stands in for the rest, in order. */
  async #flyShare(work: Work, first: number, stop: StopRule, onBatch: Stretch['onBatch'], part: Part): Promise<FleetReport> {
    if (stop.checkEvery !== null) throw new Error('a part cannot know when all of them have flown enough');
    const { from, to } = shareOf(part, stop.limit);
    const stand = (model: UnitRows, start: number, count: number): void => {
      for (const batch of standIns(model, first + start, count)) {
        onBatch(batch);
        this.#stoodIn += batch.count;
        this.#flown += batch.count;
      }
    };
    let model: UnitRows | null = null;
    const report = await this.#flyAll(work, first + from, { ...stop, limit: to - from }, (batch) => {
      const last = lastOf(batch, work.rowLength);
      if (model === null) stand(last, 0, from);
      model = last;
      onBatch(batch);
    });
    if (report.stoppedBy === 'interrupted') return report;
    if (model === null) stand(lostModel(work, first), 0, stop.limit);
    else stand(model, to, stop.limit - to);
    return report;
  }

  async #flyAll(work: Work, first: number, stop: StopRule, onBatch: Stretch['onBatch']): Promise<FleetReport> {
    let found = this.#found;
    const report = await this.#fleet.fly({
      work,
      first,
      stop,
      onBatch: (batch) => {
        onBatch(batch);
        this.#flown += batch.count;
        this.#tell(this.#found === found ? batch.count : 0);
        found = this.#found;
      },
      journal: this.#counted(this.#journal),
      stopSignal: this.#stopSignal,
    });
    this.#seconds += report.seconds;
    this.lost.push(...report.lost.map((one) => ({ work: work.name, ...one })));
    return report;
  }

  /** The journal, with what is found in it counted. */
  #counted(journal: Journal): Journal {
    return {
      find: (work, first, most) => {
        const units = journal.find(work, first, most);
        this.#found += units?.count ?? 0;
        return units;
      },
      keep: (work, first, units) => journal.keep(work, first, units),
    };
  }

  /** @param count flights just flown */
  #tell(count: number): void {
    this.#pace.arrived(count, (performance.now() - this.#begun) / 1000);
    if (this.#onProgress === undefined) return;
    const { rate } = this.#pace;
    this.#onProgress({
      done: this.#flown,
      limit: this.#announced,
      rate,
      secondsLeft: (this.#announced - this.#flown) / rate / (this.#part?.parts ?? 1),
    });
  }

  facts(): RunFacts {
    const seconds = this.#seconds;
    const flown = this.#flown - this.#found - this.#stoodIn;
    return { seconds, threads: this.threads, flightsPerSecond: seconds > 0 ? flown / seconds : 0, node: process.version };
  }

  /** Ends the threads, once what is under way has ended. */
  close(): Promise<void> {
    return this.#fleet.close();
  }
}

/** Flies with a session that is closed afterwards, whatever happens. */
export async function flying<T>(options: SessionOptions, fly: (session: Session) => Promise<T>): Promise<T> {
  const session = new Session(options);
  try {
    return await fly(session);
  } finally {
    await session.close();
  }
}
