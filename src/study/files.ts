/**
 * Reading the text files of a study safely: what is there, how large, and whether a study may name it. Parses nothing.
 */
import { readFile, realpath, stat } from 'node:fs/promises';
import { dirname, isAbsolute, join, relative, resolve, sep } from 'node:path';

/** Of a file that a study names. */
const MOST_BYTES = 5 * 1024 * 1024;

/** A file's text, or one line on why there is none. */
export type FileText = { readonly text: string } | { readonly problem: string };

/** Reads a whole text file of at most so many bytes in UTF-8. Never throws for what a user can mend. */
export async function readTextFile(path: string, mostBytes = MOST_BYTES): Promise<FileText> {
  const read = await readBytes(path, mostBytes);
  if ('problem' in read) return read;
  const { bytes } = read;
  if (bytes.includes(0)) return { problem: 'that is a binary file; expected text in UTF-8. Name a text file.' };
  try {
    return { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes) };
  } catch {
    return { problem: 'that file is not UTF-8; expected text in UTF-8. Save it as UTF-8.' };
  }
}

/** Reads a whole file of at most so many bytes. */
async function readBytes(path: string, mostBytes = MOST_BYTES): Promise<{ readonly bytes: Uint8Array } | { readonly problem: string }> {
  try {
    const found = await stat(path);
    if (found.isDirectory()) return { problem: 'that is a folder; expected a file. Name a file in it.' };
    if (!found.isFile()) return { problem: 'that is no ordinary file; expected a text file. Name another.' };
    if (found.size > mostBytes) {
      return { problem: `that file has ${found.size} bytes; expected at most ${mostBytes}. Thin it out or name another.` };
    }
    return { bytes: await readFile(path) };
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (code === 'ENOENT' || code === 'ENOTDIR') return { problem: 'no such file; expected a text file. Check the name.' };
    if (code === 'EACCES' || code === 'EPERM') return { problem: 'that file may not be read. Change its permissions.' };
    if (code === 'ENAMETOOLONG' || code === 'ELOOP' || code === 'ERR_INVALID_ARG_VALUE')
      return { problem: 'that is no usable file name. Check it.' };
    throw error;
  }
}

/** The files that one study may name: those in its folder, also when reached by a link, unless told otherwise. */
export interface StudyFolder {
  /** Of a file that is no text. @returns its bytes, or the problem. */
  readonly bytes: (name: string) => Promise<{ readonly bytes: Uint8Array } | { readonly problem: string }>;
  /** @returns the text and the name to print, or the problem. */
  readonly read: (name: string) => Promise<(FileText & { readonly shown: string }) | { readonly problem: string }>;
}

/** @param studyPath the study file, as the user gave it */
export function studyFolder(studyPath: string, allowOutside: boolean): StudyFolder {
  const folder = dirname(studyPath);
  const path = (name: string): string => (isAbsolute(name) ? name : resolve(folder, name));
  const refused = async (name: string): Promise<string | null> =>
    !allowOutside && (await leaves(folder, path(name)))
      ? 'that file is outside the study’s folder. Put a copy beside the study, or allow files outside.'
      : null;
  return {
    read: async (name) => {
      const problem = await refused(name);
      if (problem !== null) return { problem };
      return { ...(await readTextFile(path(name))), shown: isAbsolute(name) ? name : join(folder, name) };
    },
    bytes: async (name) => {
      const problem = await refused(name);
      return problem === null ? readBytes(path(name)) : { problem };
    },
  };
}

async function leaves(folder: string, path: string): Promise<boolean> {
  if (outside(resolve(folder), path)) return true;
  try {
    return outside(await realpath(folder), await realpath(path));
  } catch {
    return false; // it is not there: reading it says so
  }
}

function outside(folder: string, path: string): boolean {
  const way = relative(folder, path);
  return way === '..' || way.startsWith(`..${sep}`) || isAbsolute(way);
}
