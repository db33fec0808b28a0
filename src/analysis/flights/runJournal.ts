/**
 * The journal of one command: what was asked, so that only the same is gone on with, and which of the journals that
 * stand in a folder that is. Rows are the business of results/journal.ts.
 */
import { rmSync } from 'node:fs';
import { UserError } from '../../errors.ts';
import { kernelSum } from '../../flight/kernel/file.ts';
import { programVersion } from '../../results/header.ts';
import { JournalFile } from '../../results/journal.ts';
import { studyHash } from '../../study/studyHash.ts';

/** What a command that flies is. */
export interface Asked {
  readonly command: string;
  /** Text of the resolved study, or of all of them. */
  readonly text: string;
}

/** Options that change nobody's rows or answers: where and how a run goes. */
const OF_THE_RUN = ['out', 'force', 'resume', 'threads', 'chunk', 'stopSignal', 'onProgress', 'json', 'open', 'set', 'allowOutside'];

export class RunJournal {
  readonly #asked: string;
  #file: JournalFile | null = null;

  /** @param options all of the command's */
  constructor({ command, text }: Asked, options: object) {
    const own = Object.entries(options).filter(([name]) => !OF_THE_RUN.includes(name));
    this.#asked = JSON.stringify({
      program: `alight ${programVersion()}`,
      kernel: kernelSum(),
      command,
      study: studyHash(text),
      ...Object.fromEntries(own),
    });
  }

  /**
   * The journal of the same run among these, the first that fits; null where none stands or none says what it is of.
   * @throws UserError when there are journals, and all are of other runs
   */
  choose(paths: readonly string[]): string | null {
    const others: string[] = [];
    for (const path of paths) {
      const file = JournalFile.open(path, 'r+');
      if (file === null) {
        // Stopped before it could say what it is: nothing was flown.
        rmSync(path);
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

  /** The journal chosen, or a new one. @throws UserError when it cannot be made */
  at(path: string): JournalFile {
    this.#file ??= JournalFile.create(path, this.#asked);
    return this.#file;
  }

  close(): void {
    this.#file?.close();
  }
}

/** What differs between what two runs were asked, in words. */
function unlikeIn(there: string, here: string): string[] {
  const [a, b] = [record(there), record(here)];
  const names = [...new Set([...Object.keys(a), ...Object.keys(b)])];
  const shown = (value: unknown): string => (value === undefined ? 'none' : JSON.stringify(value));
  return names
    .filter((name) => shown(a[name]) !== shown(b[name]))
    .map((name) =>
      name === 'study' || name === 'kernel' ? `the ${name} was another` : `${name} was ${shown(a[name])}, not ${shown(b[name])}`,
    );
}

function record(text: string): Readonly<Record<string, unknown>> {
  const value: unknown = JSON.parse(text);
  return typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : {};
}
