/**
 * The folder a study's results go to: made, checked and locked before hours of flying, and filled file by file. Where
 * older results stand there, the new ones are written into a folder within and take their place only when they are
 * whole. Knows no file's content.
 */
import { accessSync, constants, existsSync, lstatSync, mkdirSync, readdirSync, renameSync, rmdirSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { UserError } from '../errors.ts';
import { fileFault } from './fileFault.ts';
import { lockFolder, type Release } from './lock.ts';
import { carriesMark, type MarkedKind } from './mark.ts';
import { isLeftover, writeWhole } from './wholeFile.ts';

/** Where flights stand whose run did not come to its end. */
export const UNFINISHED_FLIGHTS = 'flights.arrow.part';
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
  'measurement.json': 'answers',
  'curve.csv': 'curve',
  'study.yaml': 'study',
  'run.json': 'run',
  'report.html': 'page',
  'card.html': 'page',
} as const satisfies Record<string, MarkedKind>;
export type ResultFile = keyof typeof KINDS;
export const RESULT_FILES = Object.keys(KINDS) as readonly ResultFile[];

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
    let release: Release = () => undefined;
    try {
      const found = statSync(path, { throwIfNoEntry: false });
      if (found === undefined) mkdirSync(path);
      else if (!found.isDirectory()) throw new UserError(`${path}: is a file; expected a folder for the results`);
      accessSync(path, constants.W_OK | constants.X_OK);
      release = lockFolder(path);
      const names = readdirSync(path);
      const there = ([...RESULT_FILES, UNFINISHED_FLIGHTS] as const).filter((name) => names.includes(name));
      if (there.length > 0 && company === 'none') {
        throw new UserError(`${path}: holds results already (${there.join(', ')}); choose another folder, or --force to replace them`);
      }
      const foreign = company === 'older' ? there.filter((name) => !isOurs(path, name)) : [];
      if (foreign.length > 0) {
        throw new UserError(
          foreign.map(
            (name) =>
              `${join(path, name)}: was not written by alight, and --force replaces only what was; choose another folder, or move it away`,
          ),
        );
      }
      for (const name of names.filter((n) => isLeftover(n, RESULT_FILES))) {
        if (lstatSync(join(path, name)).isFile()) rmSync(join(path, name));
      }
      const work = there.length > 0 && company === 'older' ? makeUnfinished(path) : path;
      return new ResultsFolder(path, work, company, release);
    } catch (error) {
      release();
      if (error instanceof Error && 'code' in error && error.code === 'ENOENT') {
        throw new UserError(`${path}: the folder it should be made in does not exist; make that first`);
      }
      throw fileFault(error, 'cannot hold results', path);
    }
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
   * @returns the folder that holds the new results
   */
  finish(whole: boolean): string {
    if (!whole) return this.#work;
    try {
      if (this.#work !== this.path) {
        for (const name of this.#written) renameSync(join(this.#work, name), join(this.path, name));
        rmdirSync(this.#work);
      }
      if (this.#company === 'older') this.#removeOlder();
    } catch (error) {
      throw fileFault(error, 'cannot replace the older results', this.path);
    }
    return this.path;
  }

  #removeOlder(): void {
    const names: readonly (ResultFile | typeof UNFINISHED_FLIGHTS)[] = [...RESULT_FILES, UNFINISHED_FLIGHTS];
    for (const name of names) {
      if (name !== UNFINISHED_FLIGHTS && this.#written.has(name)) continue;
      if (existsSync(join(this.path, name)) && isOurs(this.path, name)) rmSync(join(this.path, name));
    }
  }

  /** Gives the folder free. A folder within it that was made for nothing is removed. */
  close(): void {
    if (this.#work !== this.path && existsSync(this.#work) && readdirSync(this.#work).length === 0) rmdirSync(this.#work);
    this.#release();
  }
}

function isOurs(folder: string, name: ResultFile | typeof UNFINISHED_FLIGHTS): boolean {
  const path = join(folder, name);
  return lstatSync(path).isFile() && carriesMark(path, name === UNFINISHED_FLIGHTS ? 'arrow' : KINDS[name]);
}

/** The first of its kind that is not there yet: what an earlier run left stays. */
function makeUnfinished(folder: string): string {
  for (let n = 1; ; n++) {
    const path = join(folder, `${UNFINISHED_FOLDER}${n}`);
    if (existsSync(path)) continue;
    mkdirSync(path);
    return path;
  }
}
