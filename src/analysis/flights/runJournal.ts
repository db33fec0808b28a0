/**
 * The journal of one command: what was asked, so that only the same is gone on with, and which of the journals that
 * stand in a folder that is. Rows are the business of results/journal.ts.
 */
import { createHash } from 'node:crypto';
import { existsSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { DoneAlready, UserError } from '../../errors.ts';
import { kernelSum } from '../../flight/kernel/kernelSum.ts';
import { programVersion } from '../../results/header.ts';
import { JournalFile } from '../../results/journal.ts';
import { carriesMark } from '../../results/mark.ts';
import type { OpenedStudy } from '../../study/load.ts';
import { studyHash } from '../../study/studyHash.ts';
import type { Variant } from '../../study/variants.ts';

/** What a command that flies is. */
export interface Asked {
  readonly command: string;
  /** The studies it flies, the one given first; with the options they are all it takes to ask the same again. */
  readonly studies: readonly FlownStudy[];
  /** What else was read, by its name, as text: another content makes another run. */
  readonly read?: Readonly<Record<string, string>>;
}

/** A study as it was opened, and which variant it is where that matters. */
export interface FlownStudy extends Omit<OpenedStudy, 'study'> {
  readonly variant?: Variant | undefined;
}

/** All it takes to ask the same again; parts of a run carry it. */
export interface Recipe {
  readonly command: string;
  readonly options: Readonly<Record<string, unknown>>;
  readonly studies: readonly FlownStudy[];
}

/** Options that change nobody's rows or answers: where and how a run goes. */
const OF_THE_RUN = [
  'out',
  'force',
  'resume',
  'threads',
  'chunk',
  'stopSignal',
  'onProgress',
  'onWait',
  'json',
  'open',
  'set',
  'allowOutside',
];

/** Name of the recipe among what was asked. */
export const RECIPE = 'recipe';

/** How what was read begins its name among what was asked. */
const CONTENT = 'content of the ';

const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex');

export class RunJournal {
  readonly #asked: string;
  #file: JournalFile | null = null;
  readonly #empty: string[] = [];

  /** @param options all of the command's */
  constructor({ command, studies, read = {} }: Asked, options: object) {
    const own = Object.fromEntries(Object.entries(options).filter(([name]) => !OF_THE_RUN.includes(name)));
    const study = studyHash(studies.map(({ text }) => text).join('\n'));
    const sums = Object.fromEntries(Object.entries(read).map(([name, text]) => [`${CONTENT}${name}`, sha256(text)]));
    const asked = { ...whatFlies(), command, study, ...sums, ...own };
    const kept = studies.map(({ text, warnings, foretold, variant }): FlownStudy => ({ text, warnings, foretold, variant }));
    const recipe: Recipe = { command, options: own, studies: kept };
    this.#asked = JSON.stringify('part' in own ? { ...asked, [RECIPE]: recipe } : asked);
  }

  /** sha256 of what was asked: kept beside whole results, in run.json. */
  get sum(): string {
    return sha256(this.#asked);
  }

  /**
   * The journal of the same run among these, the first that fits; null where none stands or none says what it is of.
   * @param folder of the results
   * @throws DoneAlready when the folder holds this run whole; UserError when there are journals, and all are of other
   * runs
   */
  choose(folder: string, paths: readonly string[]): string | null {
    if (paths.length === 0 && this.#isIn(folder)) throw new DoneAlready(`${folder}: holds this run whole already; nothing is left to fly`);
    const others: string[] = [];
    for (const path of paths) {
      const file = JournalFile.open(path, 'r+');
      if (file === null) {
        // Stopped before it could say what it is: nothing was flown.
        this.#empty.push(path);
        continue;
      }
      const unlike = unlikeIn(file.asked, this.#asked);
      if (unlike.length === 0) {
        this.#file = file;
        return path;
      }
      file.close();
      others.push(`${path}: is of another run: ${unlike.join('; ')}; give the same command, or --force to fly anew`);
    }
    if (others.length > 0) throw new UserError(others);
    return null;
  }

  #isIn(folder: string): boolean {
    const path = join(folder, 'run.json');
    return existsSync(path) && carriesMark(path, 'run') && readFileSync(path, 'utf8').includes(this.sum);
  }

  /** The journal chosen, or a new one. @throws UserError when it cannot be made */
  at(path: string): JournalFile {
    if (this.#file === null) {
      for (const empty of this.#empty) rmSync(empty);
      this.#file = JournalFile.create(path, this.#asked);
    }
    return this.#file;
  }

  close(): void {
    this.#file?.close();
  }
}

/** The program, by its version and by what flies. */
export function whatFlies(): Readonly<Record<string, unknown>> {
  return { program: `alight ${programVersion()}`, kernel: kernelSum() };
}

/** What differs between what two runs were asked, in words. */
function unlikeIn(there: string, here: string): string[] {
  return unlike(record(there), record(here));
}

/** @param but names that may differ */
export function unlike(a: Readonly<Record<string, unknown>>, b: Readonly<Record<string, unknown>>, but: readonly string[] = []): string[] {
  const names = [...new Set([...Object.keys(a), ...Object.keys(b)])];
  const shown = (value: unknown): string => (value === undefined ? 'none' : JSON.stringify(value));
  return names
    .filter((name) => name !== RECIPE && !but.includes(name))
    .filter((name) => shown(a[name]) !== shown(b[name]))
    .map((name) =>
      name === 'study' || name === 'kernel' || name.startsWith(CONTENT)
        ? `the ${name} was another`
        : `${name} was ${shown(a[name])}, not ${shown(b[name])}`,
    );
}

/** What a journal says was asked; of a text that says nothing, nothing. */
export function record(text: string): Readonly<Record<string, unknown>> {
  try {
    const value: unknown = JSON.parse(text);
    return typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : {};
  } catch (error) {
    if (error instanceof SyntaxError) return {};
    throw error;
  }
}
