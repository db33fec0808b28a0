/** Writes a small file so that it is there whole or not at all: under a temporary name first, then renamed. */
import { closeSync, existsSync, fsyncSync, openSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { UserError } from '../errors.ts';
import { fileFault } from './fileFault.ts';

/** The name a file has until it is whole. */
export const partName = (path: string): string => `${path}.part`;

/** @throws UserError when something of this name is there already. */
export function refuseExisting(path: string): void {
  if (existsSync(path)) throw new UserError(`${path}: exists already; choose another name, or --force to replace it`);
}

/** @throws UserError when the place cannot be written to; nothing is left behind then, and an older file stays as it was. */
export function writeWhole(path: string, data: string | Uint8Array): void {
  const part = partName(path);
  try {
    const fd = openSync(part, 'w');
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
