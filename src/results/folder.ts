/** The folder a study's results go to: made, checked before hours of flying, and filled file by file. Knows no file's content. */
import { accessSync, constants, mkdirSync, readdirSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { UserError } from '../errors.ts';
import { fileFault } from './fileFault.ts';
import { partName, writeWhole } from './wholeFile.ts';

/** The names results go by in their folder. */
export const RESULT_FILES = [
  'flights.arrow',
  'summary.json',
  'comparison.json',
  'across.arrow',
  'tuning.json',
  'tuning.arrow',
  'ranking.json',
  'ranking.arrow',
  'drops.json',
  'drops.arrow',
  'study.yaml',
  'run.json',
  'report.html',
  'card.html',
] as const;
export type ResultFile = (typeof RESULT_FILES)[number];

export class ResultsFolder {
  readonly path: string;
  readonly #written = new Set<ResultFile>();

  private constructor(path: string) {
    this.path = path;
  }

  /**
   * Makes the folder, or takes an existing one. Leftovers of an interrupted write are removed; older results stay until newer
   * ones are whole.
   * @param force take a folder that holds results already
   * @throws UserError when the folder above does not exist, the path is a file, the place cannot be written to, or results are
   *   there and `force` is off
   */
  static prepare(path: string, force: boolean): ResultsFolder {
    try {
      const found = statSync(path, { throwIfNoEntry: false });
      if (found === undefined) mkdirSync(path);
      else if (!found.isDirectory()) throw new UserError(`${path}: is a file; expected a folder for the results`);
      accessSync(path, constants.W_OK | constants.X_OK);
      const names = new Set(readdirSync(path));
      const there = RESULT_FILES.filter((name) => names.has(name));
      if (there.length > 0 && !force) {
        throw new UserError(`${path}: holds results already (${there.join(', ')}); choose another folder, or --force to replace them`);
      }
      for (const name of RESULT_FILES) rmSync(partName(join(path, name)), { force: true });
    } catch (error) {
      if (error instanceof Error && 'code' in error && error.code === 'ENOENT') {
        throw new UserError(`${path}: the folder it should be made in does not exist; make that first`);
      }
      throw fileFault(error, 'cannot hold results', path);
    }
    return new ResultsFolder(path);
  }

  /** Where a result file goes, for whoever writes it by itself; it counts as written. */
  place(name: ResultFile): string {
    this.#written.add(name);
    return join(this.path, name);
  }

  /** Writes a file whole. @throws UserError when the disk is full or fails. */
  write(name: ResultFile, content: string | Uint8Array): void {
    writeWhole(this.place(name), content);
  }

  /** Writes a value as JSON with two spaces and a last newline. @throws UserError as `write`. */
  writeJson(name: ResultFile, value: unknown): void {
    this.write(name, `${JSON.stringify(value, null, 2)}\n`);
  }

  /** Once all is written: removes older results that this run did not replace, so that no page stands beside another study. */
  removeStale(): void {
    for (const name of RESULT_FILES) {
      if (this.#written.has(name)) continue;
      try {
        rmSync(join(this.path, name), { force: true });
      } catch (error) {
        throw fileFault(error, 'cannot remove the older results', join(this.path, name));
      }
    }
  }
}
