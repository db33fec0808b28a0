/**
 * The results of one command kept in a folder: taken and locked before anything is flown, the flights file filled while
 * they are flown, the answers put beside it at the end, the folder given free whatever happens. Where no folder is
 * asked for, nothing is kept. Asks no question of the flights.
 */

import { UserError } from '../../errors.ts';
import type { Batch } from '../../fleet/fleet.ts';
import type { Journal } from '../../fleet/journal.ts';
import { type Part, shareOf } from '../../fleet/part.ts';
import type { RunFacts, SessionOptions } from '../../fleet/session.ts';
import { CATALOGUE } from '../../inputs/catalogue.ts';
import { varyingInputs } from '../../inputs/varying.ts';
import { type Company, type ResultFile, ResultsFolder } from '../../results/folder.ts';
import type { JournalFile } from '../../results/journal.ts';
import { clearSilentLock } from '../../results/lock.ts';
import { FlightsWriter } from '../../results/writer.ts';
import { makeSampler } from '../../sampling/sampler.ts';
import type { OpenedStudy } from '../../study/load.ts';
import type { Study } from '../../study/study.ts';
import { type Asked, RunJournal } from './runJournal.ts';

export interface KeepOptions {
  /** Folder for the results; none written when left out. */
  readonly out?: string;
  readonly force?: boolean;
  /** Go on with the run that was stopped there; begin one where nothing stands. */
  readonly resume?: boolean;
  /** Fly only this part of it and keep its rows, for `joinParts`; no answers. Only with `out`. */
  readonly part?: Part;
  /** Fly nothing: all rows are found here. */
  readonly joined?: Journal;
  /** Told, in a line, that the folder is waited for. */
  readonly onWait?: (line: string) => void;
}

/** What every command that flies takes. */
export interface FlyingOptions extends KeepOptions, Pick<SessionOptions, 'threads' | 'chunk' | 'stopSignal' | 'onProgress'> {
  /** `path=value` replacements the study was opened with: recorded. */
  readonly overrides?: readonly string[];
}

/** What to do in place of parts. */
export const IN_PLACE_OF_PARTS = {
  plan: 'alight check STUDY says how many flights tell the odds how closely: give that number as --flights',
  oneMachine: 'fly it on one machine; --resume goes on with it after a stop',
} as const;

/**
 * What a part cannot do: go by what all of them find.
 * @param given whether that was asked for, by the option's name   @param instead what to do in its place
 * @throws UserError when it is
 */
export function refuseInParts({ part }: KeepOptions, option: string, given: boolean, instead: string): void {
  if (part === undefined || !given) return;
  throw new UserError(
    `--part: not with ${option}, which goes by what the flights of all parts find, and a part sees only its own; ${instead}`,
  );
}

/** What a command left behind. */
export interface Finished {
  readonly run: RunFacts;
  /**
   * The folder that holds the results: one within the folder asked for where older results stay; null when none was
   * asked for.
   */
  readonly folder: string | null;
}

/** Content by name: text and bytes as they are, anything else as JSON. */
export type AnswerFiles = Readonly<Partial<Record<ResultFile, unknown>>>;

export class Keeper {
  readonly #folder: ResultsFolder | null;
  readonly #journal: JournalFile | null;
  readonly #options: KeepOptions;
  readonly #sum: string | null;
  #writer: FlightsWriter | null = null;

  /** @param sum of what was asked; null where nothing is flown */
  constructor(folder: ResultsFolder | null, journal: JournalFile | null, options: KeepOptions, sum: string | null) {
    this.#folder = folder;
    this.#journal = journal;
    this.#options = options;
    this.#sum = sum;
  }

  /** For the session that flies: where it finds what was flown before, and keeps what it flies. */
  get journaled(): Pick<SessionOptions, 'journal'> {
    const journal = this.#options.joined ?? this.#journal;
    return journal === null ? {} : { journal };
  }

  /**
   * Begins the flights file. @param rules names of the rules that will fly
   * @returns takes the rows of a rule   @throws UserError when the file cannot be made
   */
  flightsFile(opened: OpenedStudy, rules: readonly string[], overrides: readonly string[]): (batch: Batch, rule: string) => void {
    if (this.#folder === null) return () => undefined;
    const { title, seed, design, flights: flightsAsked } = opened.study;
    const { part } = this.#options;
    // A part's flights by several rules are no stretch, for rules take turns: its journal has them.
    if (part !== undefined && rules.length > 1) return () => undefined;
    const firstFlight = part === undefined ? 1 : 1 + shareOf(part, flightsAsked).from;
    const header = { title, study: opened.text, seed, design, flightsAsked, firstFlight, rules, overrides };
    const writer = FlightsWriter.create(this.#folder.place('flights.arrow'), { ...header, constants: constantInputs(opened.study) });
    this.#writer = writer;
    return (batch, rule) => {
      if (!batch.standIn) writer.append(batch, rule);
    };
  }

  /**
   * Finishes the flights file and puts the answers beside it. Whole results replace older ones; after an interruption
   * those stay.
   * @param study text of the resolved study   @param run null where nothing was flown   @param whole false after an
   * interruption
   * @returns the folder that holds the results; null when none was asked for   @throws UserError when the disk is full
   * or fails
   */
  finish(answers: AnswerFiles, study: string, run: RunFacts | null, whole: boolean): string | null {
    this.#writer?.finish();
    const folder = this.#folder;
    if (folder === null) return null;
    if (!folder.besideOthers) folder.write('study.yaml', study);
    if (run !== null) folder.writeJson('run.json', whole && this.#sum !== null ? { ...run, asked: this.#sum } : run);
    if (this.#options.part !== undefined) {
      // Answers are of all parts; the rows of this one are what it is for.
      if (whole) this.#journal?.seal();
      return folder.finish(whole, 'stays');
    }
    for (const [name, content] of Object.entries(answers) as [ResultFile, unknown][]) {
      if (typeof content === 'string' || content instanceof Uint8Array) folder.write(name, content);
      else folder.writeJson(name, content);
    }
    return folder.finish(whole, this.#journal === null ? 'none' : 'done');
  }

  /** Going on would end the same: the journal goes too. */
  leaveNothing(): void {
    this.#journal?.remove();
  }

  /** Gives up an unfinished flights file: what was flown stays in it, and in the journal. */
  abort(): void {
    this.#writer?.abort();
    if (this.#journal?.units === 0) this.#journal.remove();
  }
}

/**
 * Keeps what `work` makes. When it throws, what was flown stays as an unfinished file.
 * @param asked what is flown, in a command that can go on with it later; null in others
 * @param beside answers are put beside others of the same study, which stay
 * @throws UserError when the folder cannot take results or the disk fails, there is nothing to go on with, and whatever
 * `work` throws
 */
export async function keeping<T>(
  options: KeepOptions,
  asked: Asked | null,
  work: (keeper: Keeper) => Promise<T>,
  beside = false,
): Promise<T> {
  const company: Company = beside ? 'others' : options.force ? 'older' : 'none';
  const { out } = options;
  if (out === undefined && options.resume) throw new UserError('--resume: only with --out, the folder that holds what was flown');
  if (out === undefined && options.part !== undefined) throw new UserError('--part: only with --out, the folder for its rows');
  if (options.resume && options.force) throw new UserError('--resume and --force: one goes on, the other flies anew; give one of them');
  if (out !== undefined) await clearSilentLock(out, options.onWait);
  // Locked from here on: nothing but what closes it again may throw.
  const opened = out === undefined || asked === null || options.joined !== undefined ? null : new RunJournal(asked, options);
  const folder =
    out === undefined
      ? null
      : opened !== null && options.resume
        ? ResultsFolder.resume(out, (journals) => opened.choose(out, journals))
        : ResultsFolder.prepare(out, company);
  let keeper: Keeper | null = null;
  try {
    const journal = folder === null || opened === null ? null : opened.at(folder.journal);
    keeper = new Keeper(folder, journal, options, opened?.sum ?? null);
    return await work(keeper);
  } catch (error) {
    keeper?.abort();
    throw error;
  } finally {
    opened?.close();
    folder?.close();
  }
}

/** The inputs that are the same on every flight, by key. */
function constantInputs(study: Study): Record<string, number> {
  const inputs = new Float64Array(CATALOGUE.length);
  makeSampler(study, { kind: 'study', flights: study.flights }).draw(1, inputs);
  const varying = new Set(varyingInputs(study));
  return Object.fromEntries(CATALOGUE.flatMap((row, i) => (varying.has(i) ? [] : [[row.key, inputs[i]]])));
}
