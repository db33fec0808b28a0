/** What stands at a path a user gave: a folder, an ordinary file, something else, or nothing. Reads no content. */
import { statSync } from 'node:fs';
import { fileFault } from './fileFault.ts';

export type Standing = 'folder' | 'file' | 'other' | null;

/**
 * Follows links.
 * @throws UserError when the path cannot be looked at: a loop of links, a name too long, a file used as a folder
 */
export function whatStands(path: string): Standing {
  try {
    const found = statSync(path, { throwIfNoEntry: false });
    if (found === undefined) return null;
    return found.isDirectory() ? 'folder' : found.isFile() ? 'file' : 'other';
  } catch (error) {
    throw fileFault(error, 'cannot read', path);
  }
}
