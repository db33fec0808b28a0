/**
 * Parts of a run joined: the same is asked again, and every row is found in the parts, so that the answers and the
 * files are those of one run, byte for byte. Parts may come in any order; what is missing, doubled, unfinished or of
 * another run is refused by name. Flies nothing.
 */
import { join } from 'node:path';
import { z } from 'zod';
import { UserError } from '../../errors.ts';
import type { Journal } from '../../fleet/journal.ts';
import type { Work } from '../../fleet/work.ts';
import { JOURNAL } from '../../results/folder.ts';
import { JournalFile } from '../../results/journal.ts';
import { whatStands } from '../../results/whatStands.ts';
import type { Finished, FlyingOptions } from '../flights/keptResults.ts';
import { RECIPE, type Recipe, record, unlike, whatFlies } from '../flights/runJournal.ts';
import { askAgain } from './askAgain.ts';

export interface JoinOptions
  extends Required<Pick<FlyingOptions, 'out'>>,
    Pick<FlyingOptions, 'force' | 'stopSignal' | 'onProgress' | 'onWait'> {}

export interface Joined extends Finished {
  readonly command: string;
  readonly parts: number;
}

/** A part as it stands in its folder. */
interface PartFile {
  readonly folder: string;
  readonly file: JournalFile;
  readonly asked: Readonly<Record<string, unknown>>;
  readonly number: number;
  readonly parts: number;
}

const PART = z.object({ number: z.int().min(1), parts: z.int().min(1) });
const RECIPE_READ = z.object({
  command: z.string(),
  options: z.record(z.string(), z.unknown()),
  studies: z
    .array(
      z.object({
        text: z.string(),
        warnings: z.array(z.string()),
        foretold: z.array(z.string()),
        variant: z
          .object({
            name: z.string(),
            from: z.string().nullable(),
            replacements: z.array(z.object({ name: z.string(), value: z.unknown() })),
          })
          .optional(),
      }),
    )
    .min(1),
});

/**
 * @param folders of the parts, in any order
 * @throws UserError with a line for every part that is missing, doubled, unfinished or of another run, and when the
 * folder for the results cannot take them
 */
export async function joinParts(folders: readonly string[], options: JoinOptions): Promise<Joined> {
  const open: PartFile[] = [];
  try {
    const problems: string[] = [];
    for (const folder of folders) {
      const part = opened(folder);
      if (typeof part === 'string') problems.push(part);
      else open.push(part);
    }
    if (problems.length === 0) problems.push(...unfit(open));
    if (problems.length > 0) throw new UserError(problems);
    const [{ asked, parts, folder }] = open;
    const read = RECIPE_READ.safeParse(asked[RECIPE]);
    if (!read.success) throw new UserError(`${join(folder, JOURNAL)}: damaged: it does not say what was asked; fly the part again`);
    const recipe: Recipe = read.data;
    const { stopSignal, ...rest } = options;
    const joined = rowsOf(
      open.map(({ file }) => file),
      stopSignal,
    );
    const finished = await askAgain(recipe, join(folder, 'study.yaml'), { ...rest, joined, threads: 1 });
    return { ...finished, command: recipe.command, parts };
  } finally {
    for (const { file } of open) file.close();
  }
}

/** @returns a line for the user when it is no finished part */
function opened(folder: string): PartFile | string {
  const path = join(folder, JOURNAL);
  const standing = whatStands(folder);
  if (standing !== 'folder') return `${folder}: ${standing === null ? 'does not exist' : 'is no folder'}; expected the folder of a part`;
  if (whatStands(path) === null) return `${folder}: is no part of a run: it has no ${JOURNAL}; expected what --part left`;
  const file = JournalFile.open(path, 'r');
  const asked = file === null ? {} : record(file.asked);
  const part = PART.safeParse(asked.part);
  if (file !== null && part.success && file.sealed) return { folder, file, asked, ...part.data };
  file?.close();
  if (!part.success) return `${folder}: is no part of a run, but one that was stopped; expected what --part left`;
  return `${folder}: part ${part.data.number}/${part.data.parts} is not finished, or damaged; go on with it: the same command with --resume`;
}

/** A line for every reason why these are not the parts of one run. */
function unfit(open: readonly PartFile[]): string[] {
  const [first] = open;
  if (first === undefined) return ['no parts were named'];
  const here = whatFlies();
  const others = Object.keys(here).filter((name) => first.asked[name] !== here[name]);
  if (others.length > 0) {
    const flown = first.asked.program === here.program ? 'another build of it' : String(first.asked.program);
    return [`${first.folder}: was flown by ${flown}, and this is ${here.program}; join with the same program`];
  }
  const foreign = open.flatMap(({ folder, asked, parts }) => {
    const found = unlike(asked, first.asked, ['part']);
    if (parts !== first.parts) found.push(`of ${parts} parts, not ${first.parts}`);
    return found.length === 0 ? [] : [`${folder}: is of another run than ${first.folder}: ${found.join('; ')}`];
  });
  if (foreign.length > 0) return foreign;
  const doubled = open.flatMap(({ folder, number, parts }, i) => {
    const other = open.slice(0, i).find((one) => one.number === number);
    return other === undefined ? [] : [`${folder}: is part ${number}/${parts}, as ${other.folder} is; name one of them`];
  });
  const there = new Set(open.map(({ number }) => number));
  const missing = Array.from({ length: first.parts }, (_, i) => i + 1).filter((number) => !there.has(number));
  const lacking = `missing: part${missing.length === 1 ? '' : 's'} ${missing.slice(0, 20).join(', ')}${missing.length > 20 ? ` and ${missing.length - 20} more` : ''} of ${first.parts}`;
  return [...doubled, ...(missing.length > 0 ? [lacking] : [])];
}

/** All rows of the parts; what every part flew is taken from any. */
function rowsOf(files: readonly JournalFile[], stopSignal: AbortSignal | undefined): Journal {
  return {
    find: (work: Work, first: number, most: number) => {
      if (stopSignal?.aborted) throw new UserError('interrupted: the parts are as they were; join them again');
      for (const file of files) {
        const units = file.find(work, first, most);
        if (units !== null) return units;
      }
      throw new UserError(`the parts lack ${work.name}, number ${first}; fly them again with this program`);
    },
    keep: () => {
      throw new Error('a join flies nothing');
    },
  };
}
