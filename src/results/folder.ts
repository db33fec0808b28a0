/**
 * The folder a study's results go to: made, checked and locked before hours of flying, and filled file by file. Where
 * older results stand there, the new ones are written into a folder within and take their place only when they are
 * whole. Knows no file's content.
 */
import { accessSync, constants, existsSync, lstatSync, mkdirSync, readdirSync, renameSync, rmdirSync, rmSync, statSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { UserError } from '../errors.ts';
import { fileFault } from './fileFault.ts';
import { lockFolder, type Release } from './lock.ts';
import { carriesMark, type MarkedKind } from './mark.ts';
import { isLeftover, writeWhole } from './wholeFile.ts';

/** Where flights stand whose run did not come to its end. */
export const UNFINISHED_FLIGHTS = 'flights.arrow.part';
/** What an interrupted run has flown, for `--resume`; gone once results are whole (journal.ts). */
export const JOURNAL = 'flights.journal';
/** How folders of unfinished results begin their names; a number follows. */
export const UNFINISHED_FOLDER = 'unfinished-';

/** The names results go by in their folder, and the mark by which each is known for ours. */
const KINDS = {
  'flights.arrow': 'arrow',
  'summary.json': 'answers',
  'comparison.json': 'answers',
  'across.arrow': 'arrow',
  'sweep.json': 'answers',
  'sweep.arrow': 'arrow',
  'tuning.json': 'answers',
  'tuning.arrow': 'arrow',
  'ranking.json': 'answers',
  'ranking.arrow': 'arrow',
  'staircase.json': 'answers',
  'staircase.arrow': 'arrow',
  'control.json': 'answers',
  'control.arrow': 'arrow',
  'drops.json': 'answers',
  'drops.arrow': 'arrow',
  'campaign.json': 'answers',
  'campaign.arrow': 'arrow',
  'learning.json': 'answers',
  'learned.arrow': 'arrow',
  'learned.yaml': 'study',
  'measurement.json': 'answers',
  'curve.csv': 'curve',
  'study.yaml': 'study',
  'run.json': 'run',
  'report.html': 'page',
  'card.html': 'page',
} as const satisfies Record<string, MarkedKind>;
export type ResultFile = keyof typeof KINDS;
export const RESULT_FILES = Object.keys(KINDS) as readonly ResultFile[];

/** What a run that was stopped leaves beside what it had finished. */
const LEFT = { [UNFINISHED_FLIGHTS]: 'arrow', [JOURNAL]: 'journal' } as const satisfies Record<string, MarkedKind>;
type AnyFile = ResultFile | keyof typeof LEFT;
const ALL_FILES = [...RESULT_FILES, ...Object.keys(LEFT)] as readonly AnyFile[];

/**
 * What may stand in the folder already: `none` nothing of ours, `older` results that are to be replaced, `others`
 * answers that stay.
 */
export type Company = 'none' | 'older' | 'others';

export class ResultsFolder {
  readonly path: string;
  /** Where files are written: the folder, or one within it while older results stand there. */
  readonly #work: string;
  readonly #company: Company;
  readonly #release: Release;
  readonly #written = new Set<ResultFile>();

  private constructor(path: string, work: string, company: Company, release: Release) {
    this.path = path;
    this.#work = work;
    this.#company = company;
    this.#release = release;
  }

  /**
   * Makes the folder, or takes an existing one, and locks it; `close` it afterwards, whatever happens. Older results
   * stay as they are until newer ones are whole.
   * @param company older results need `older`, and are then to be replaced; with `others` they stay, and only files of
   * one name are replaced
   * @throws UserError when the folder above does not exist, the path is a file, the place cannot be written to, another
   * run writes
   *   there, or something is there that may not be replaced
   */
  static prepare(path: string, company: Company): ResultsFolder {
    return locked(path, (release) => {
      const there = filesIn(path);
      if (there.length > 0 && company === 'none') throw new UserError(inTheWay(path, there));
      const foreign = company === 'older' ? there.filter((name) => !isOurs(path, name)) : [];
      if (foreign.length > 0) {
        throw new UserError(
          foreign.map(
            (name) =>
              `${join(path, name)}: was not written by alight, and --force replaces only what was; choose another folder, or move it away`,
          ),
        );
      }
      const work = there.length > 0 && company === 'older' ? makeUnfinished(path) : path;
      return new ResultsFolder(path, work, company, release);
    });
  }

  /**
   * Takes the folder to go on with a run that was stopped; as one without results where there is none to go on with.
   * @param choose given the journals that stand there, the newest first, says which to go on with; may throw
   * @throws UserError as `prepare`, and when the folder holds results and no journal
   */
  static resume(path: string, choose: (journals: readonly string[]) => string | null): ResultsFolder {
    return locked(path, (release) => {
      const journals = [...unfinishedIn(path), path].map((folder) => join(folder, JOURNAL)).filter((file) => existsSync(file));
      const chosen = choose(journals);
      const work = chosen === null ? path : dirname(chosen);
      // A journal that is not chosen and not refused says nothing.
      const there = filesIn(path).filter((name) => name !== JOURNAL);
      if (chosen === null && there.length > 0) {
        throw new UserError(
          `${path}: holds results already (${there.join(', ')}), and nothing to go on with; choose another folder, or --force to replace them`,
        );
      }
      // Made anew from the journal, as it was.
      const part = join(work, UNFINISHED_FLIGHTS);
      if (existsSync(part) && isOurs(work, UNFINISHED_FLIGHTS)) rmSync(part);
      removeLeftovers(work);
      return new ResultsFolder(path, work, 'older', release);
    });
  }

  /** Where the journal of this run stands or is to stand. */
  get journal(): string {
    return join(this.#work, JOURNAL);
  }

  /** Whether the answers stand beside others that stay. */
  get besideOthers(): boolean {
    return this.#company === 'others';
  }

  /** Where a result file goes, for whoever writes it by itself; it counts as written. */
  place(name: ResultFile): string {
    this.#written.add(name);
    return join(this.#work, name);
  }

  /** Writes a file whole. @throws UserError when the disk is full or fails. */
  write(name: ResultFile, content: string | Uint8Array): void {
    writeWhole(this.place(name), content);
  }

  /** Writes a value as JSON with two spaces and a last newline. @throws UserError as `write`. */
  writeJson(name: ResultFile, value: unknown): void {
    this.write(name, `${JSON.stringify(value, null, 2)}\n`);
  }

  /**
   * Ends the writing. Whole results take the place of the older ones, of which those are removed that were not
   * replaced, so that no page stands beside another study. Results of an interrupted run never do: older ones stay as
   * they were.
   * @param journal of this run: there is none, it is done with and goes as the last of all, or it is part of the results
   * @returns the folder that holds the new results
   */
  finish(whole: boolean, journal: 'none' | 'done' | 'stays' = 'none'): string {
    if (!whole) return this.#work;
    try {
      const own = [...this.#written, ...(journal === 'stays' ? [JOURNAL] : [])];
      if (this.#work !== this.path) for (const name of own) renameSync(join(this.#work, name), join(this.path, name));
      if (this.#company === 'older') this.#removeOlder(own);
      if (journal === 'done') rmSync(this.journal, { force: true });
    } catch (error) {
      throw fileFault(error, 'cannot replace the older results', this.path);
    }
    return this.path;
  }

  /** Also what older runs left unfinished: whole results take the place of all of it. */
  #removeOlder(own: readonly string[]): void {
    for (const folder of [this.path, ...unfinishedIn(this.path)]) {
      if (folder !== this.#work) removeLeftovers(folder);
      for (const name of filesIn(folder)) {
        const kept = folder === this.path ? own.includes(name) || join(folder, name) === this.journal : folder === this.#work;
        if (!kept && isOurs(folder, name)) rmSync(join(folder, name));
      }
      if (folder !== this.path && readdirSync(folder).length === 0) rmdirSync(folder);
    }
  }

  /** Gives the folder free. A folder within it that was made for nothing is removed. */
  close(): void {
    if (this.#work !== this.path && existsSync(this.#work) && readdirSync(this.#work).length === 0) rmdirSync(this.#work);
    this.#release();
  }
}

/** Does what is to be done in a folder that is there, can be written to, and is locked. */
function locked(path: string, work: (release: Release) => ResultsFolder): ResultsFolder {
  let release: Release = () => undefined;
  try {
    const found = statSync(path, { throwIfNoEntry: false });
    if (found === undefined) mkdirSync(path);
    else if (!found.isDirectory()) throw new UserError(`${path}: is a file; expected a folder for the results`);
    accessSync(path, constants.W_OK | constants.X_OK);
    release = lockFolder(path);
    const folder = work(release);
    removeLeftovers(path);
    return folder;
  } catch (error) {
    release();
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') {
      throw new UserError(`${path}: the folder it should be made in does not exist; make that first`);
    }
    throw fileFault(error, 'cannot hold results', path);
  }
}

function removeLeftovers(folder: string): void {
  for (const name of readdirSync(folder).filter((n) => isLeftover(n, RESULT_FILES))) {
    if (lstatSync(join(folder, name)).isFile()) rmSync(join(folder, name));
  }
}

function inTheWay(path: string, there: readonly AnyFile[]): string {
  return there.includes(JOURNAL)
    ? `${path}: holds what an interrupted run has flown; --resume goes on with it, --force flies it anew, or choose another folder`
    : `${path}: holds results already (${there.join(', ')}); choose another folder, or --force to replace them`;
}

function filesIn(folder: string): AnyFile[] {
  const names = readdirSync(folder);
  return ALL_FILES.filter((name) => names.includes(name));
}

function isOurs(folder: string, name: AnyFile): boolean {
  const path = join(folder, name);
  const found = lstatSync(path);
  if (!found.isFile()) return false;
  if (!(name in LEFT)) return carriesMark(path, KINDS[name as ResultFile]);
  // A run stopped at its very beginning has written nothing to it.
  return found.size === 0 || carriesMark(path, LEFT[name as keyof typeof LEFT]);
}

/** Folders of unfinished results, the newest first. */
function unfinishedIn(folder: string): string[] {
  const number = (name: string): number => Number(/^unfinished-([1-9]\d{0,8})$/.exec(name)?.[1] ?? 0);
  return readdirSync(folder)
    .filter((name) => number(name) > 0 && lstatSync(join(folder, name)).isDirectory())
    .sort((a, b) => number(b) - number(a))
    .map((name) => join(folder, name));
}

/** Numbered on: what an earlier run left stays until newer results are whole. */
function makeUnfinished(folder: string): string {
  const last = unfinishedIn(folder)[0];
  let next = last === undefined ? 1 : Number(basename(last).slice(UNFINISHED_FOLDER.length)) + 1;
  while (existsSync(join(folder, `${UNFINISHED_FOLDER}${next}`))) next++;
  const path = join(folder, `${UNFINISHED_FOLDER}${next}`);
  mkdirSync(path);
  return path;
}
