/**
 * Writes a small file so that it is there whole or not at all: under a temporary name first, then renamed. Follows no
 * link that lies in wait at either name, and replaces ordinary files only, those of ours when asked to.
 */
import { randomBytes } from 'node:crypto';
import { accessSync, closeSync, constants, fsyncSync, lstatSync, openSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { UserError } from '../errors.ts';
import { fileFault } from './fileFault.ts';
import { carriesMark, type MarkedKind } from './mark.ts';

/** The name a file has until it is whole, where one writer at a time is sure. */
export const partName = (path: string): string => `${path}.part`;

/** A name that nobody can foresee, and leftovers of which {@link isLeftover} knows. */
const hiddenName = (path: string): string => join(dirname(path), `.${basename(path)}.${randomBytes(6).toString('hex')}.part`);

/** Whether a name is one that {@link writeWhole} may have left for one of these files when its process was ended. */
export function isLeftover(name: string, files: readonly string[]): boolean {
  const found = /^\.(.+)\.[0-9a-f]{12}\.part$/.exec(name);
  return found !== null && files.includes(found[1] as string);
}

export interface WritePlace {
  readonly path: string;
  /** What it is to hold; says by which mark an older one of ours is known. */
  readonly kind: MarkedKind;
}

/**
 * Checks, before anything is computed or written, that all these files can be written.
 * @param force replace what is there, as long as it is ours
 * @param remedy what to do about a file that is there, e.g. the option that replaces it
 * @throws UserError with a line for each that cannot
 */
export function checkPlaces(places: readonly WritePlace[], force: boolean, remedy = 'choose another name, or --force to replace it'): void {
  const problems = places.flatMap(({ path, kind }) => placeProblem(path, kind, force, remedy) ?? []);
  const twice = places.filter(({ path }, i) => places.findIndex((other) => other.path === path) !== i);
  const all = [...problems, ...twice.map(({ path }) => `${path}: is named twice; give each file a name of its own`)];
  if (all.length > 0) throw new UserError(all);
}

function placeProblem(path: string, kind: MarkedKind, force: boolean, remedy: string): string | null {
  try {
    const found = lstatSync(path, { throwIfNoEntry: false });
    if (found === undefined) {
      const folder = dirname(path);
      if (!statSync(folder).isDirectory()) return `${path}: cannot write: ${folder} is no folder; choose another place`;
      accessSync(folder, constants.W_OK | constants.X_OK);
      return null;
    }
    if (found.isDirectory()) return `${path}: is a folder; choose another name`;
    if (found.isSymbolicLink()) return `${path}: is a link; only an ordinary file may be replaced, choose another name`;
    if (!found.isFile()) return `${path}: is no ordinary file; choose another name`;
    if (!force) return `${path}: exists already; ${remedy}`;
    if (!carriesMark(path, kind)) {
      return `${path}: was not written by alight, and --force replaces only what was; choose another name, or remove it yourself`;
    }
    return null;
  } catch (error) {
    const fault = fileFault(error, 'cannot write', path);
    if (fault instanceof UserError) return fault.message;
    throw fault;
  }
}

/**
 * Whether it may be replaced is `checkPlaces`' to say; a link, device or folder that has come to stand there since is
 * refused here.
 * @throws UserError when the place cannot be written to; nothing is left behind then, and an older file stays as it
 * was.
 */
export function writeWhole(path: string, data: string | Uint8Array): void {
  const part = hiddenName(path);
  try {
    const there = lstatSync(path, { throwIfNoEntry: false });
    if (there !== undefined && !there.isFile()) throw new UserError(`${path}: cannot write: it is no ordinary file; choose another name`);
    const fd = openSync(part, 'wx');
    try {
      writeFileSync(fd, data);
      fsyncSync(fd);
    } finally {
      closeSync(fd);
    }
    renameSync(part, path);
  } catch (error) {
    removePart(part);
    throw fileFault(error, 'cannot write', path);
  }
}

/** Removes what was begun. That it cannot be removed is not worth hiding the error that led here. */
export function removePart(part: string): void {
  try {
    rmSync(part, { force: true });
  } catch {
    // The first error is the one to report.
  }
}
