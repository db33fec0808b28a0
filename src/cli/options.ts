/** Options that several commands share, and how their values are read. */
import { type Command, InvalidArgumentError } from 'commander';
import type { Finished } from '../analysis/flights/keptResults.ts';
import type { Part } from '../fleet/part.ts';
import { printable } from '../printable.ts';
import type { OpenedStudy } from '../study/load.ts';
import type { Given } from '../study/override.ts';

export interface StudyOptions {
  readonly set: readonly string[];
  readonly allowOutside?: boolean;
  readonly json?: boolean;
  readonly seed?: string;
  readonly flights?: number;
  readonly variant?: string;
}

export function studyOptions(command: Command): Command {
  return command
    .option('--set <path=value>', 'replace a value of the study or fix an input; repeatable', (v: string, all: string[]) => [...all, v], [])
    .option('--variant <name>', 'the study with what this variant of it replaces')
    .option('--allow-outside', 'let the study name files outside its own folder')
    .option('--json', 'print the result as JSON, SI, full digits');
}

export function flightOptions(command: Command): Command {
  return command
    .option('--flights <number>', 'flights to fly (default: what the study says)', whole(1))
    .option('--seed <seed>', 'seed of every random stream (default: what the study says)')
    .option('--threads <number>', 'worker threads (default: one a core)', threadCount);
}

/** What `--retune` does, for every command that has it. */
export const RETUNE =
  'first shift the lighting height to where most touchdowns are soft, by a short search on other luck (at most a fifth more flights)';
/** What to do about constants that look stale: of a rule that flew as programmed, and of one that was retuned. */
export const FLY_RETUNED = 'fly with --retune';
export const TUNE = 'retuning left that; alight tune is the thorough way';

/** Parts of a run at most. */
export const MOST_PARTS = 10_000;

function partOf(text: string): Part {
  const [, number, parts] = (/^\s*(\d{1,5})\s*\/\s*(\d{1,5})\s*$/.exec(text) ?? []).map(Number);
  if (number === undefined || parts === undefined || parts > MOST_PARTS || number < 1 || number > parts) {
    throw new InvalidArgumentError(`expected a part and how many there are, at most ${MOST_PARTS}, e.g. 3/16.`);
  }
  return { number, parts };
}

/** The folder of a part when nobody names one. */
export function partFolder(folder: string, part: Part | undefined): string {
  return part === undefined ? folder : `${folder}-part-${part.number}-of-${part.parts}`;
}

/** Said at the end of a part: its answers are those of all parts, and none of its own. */
export function printPart({ number, parts }: Part, { run, folder }: Finished, json: boolean, options: { readonly force?: boolean }): void {
  const finished = process.exitCode !== 130;
  if (json) {
    printJson({ part: { number, parts }, finished, run, folder });
    return;
  }
  const rate = `${run.seconds.toFixed(1)} s on ${run.threads} thread${run.threads === 1 ? '' : 's'}`;
  const lines = finished
    ? [`part ${number}/${parts} is flown, in ${rate}. Its rows are in ${folder}`, 'Once all parts are: alight join FOLDERS --out FOLDER']
    : [`part ${number}/${parts} is not finished. ${goOn(options)}`];
  process.stdout.write(`${lines.join('\n')}\n`);
}

/** What `--force` and `--resume` do, for every command that flies and keeps results. */
export function resumeOptions(command: Command): Command {
  return command
    .option('--force', 'replace results that are in the folder')
    .option('--resume', 'go on with the run that was stopped in that folder; it ends as if it had not been');
}

/** These and `--part`, for those that can be flown in parts. */
export function keepOptions(command: Command): Command {
  return resumeOptions(command).option(
    '--part <number/parts>',
    'fly only this part of it, e.g. 3/16; alight join makes one run of all parts',
    partOf,
  );
}

/** Most worker threads, and flights a worker takes at a time: more only take memory. */
const MOST_THREADS = 256;
export const MOST_CHUNK = 100_000;

/** A whole number of at least `least`, and at most `most`. */
export function whole(least: number, most = Number.MAX_SAFE_INTEGER): (text: string) => number {
  return (text) => {
    const value = Number(text.replaceAll('_', ''));
    const range = most === Number.MAX_SAFE_INTEGER ? `of at least ${least}` : `from ${least} to ${most}`;
    if (!Number.isSafeInteger(value) || value < least || value > most) throw new InvalidArgumentError(`expected a whole number ${range}.`);
    return value;
  };
}

/** Worker threads. */
export const threadCount = whole(1, MOST_THREADS);

/** A share between 0 and 1, written as 0.01 or 1%. */
export function share(text: string): number {
  const percent = /^(.*?)\s*%$/.exec(text);
  const value = percent ? Number(percent[1]) / 100 : Number(text);
  if (text.trim() === '' || !(value > 0 && value < 1)) throw new InvalidArgumentError('expected a share between 0 and 1, e.g. 1% or 0.01.');
  return value;
}

/** All replacements as the study is opened with them; `--flights` and `--seed` are two more. */
export function replacements(options: StudyOptions): string[] {
  return [
    ...options.set,
    ...(options.flights === undefined ? [] : [`flights=${options.flights}`]),
    ...(options.seed === undefined ? [] : [`seed=${options.seed}`]),
  ];
}

/** Whether a path names a flights file, whole or left by an unfinished run. */
export function isFlightsFile(path: string): boolean {
  return /\.arrow(\.part)?$/.test(path);
}

/**
 * Opens the study a command was given, with its options.
 * @param given put in after all of them   @throws UserError with every problem
 */
export async function openFor(path: string, options: StudyOptions, given: readonly Given[] = []): Promise<OpenedStudy> {
  const { openVariant } = await import('../study/openVariant.ts');
  const opening = { set: replacements(options), allowOutside: options.allowOutside ?? false, replacements: given };
  const { BASE } = await import('../study/variants.ts');
  return (await openVariant(path, options.variant ?? BASE, opening)).opened;
}

/** Said after an interruption of a run that keeps results. */
export function goOn({ force }: { readonly force?: boolean }): string {
  return `The same command with --resume${force ? ' in place of --force' : ''} goes on; it ends as if it had never stopped.`;
}

/** Said after an interruption under --force: the results are in a folder within, for the older ones stay. */
export function olderStay(place: string, out: string): string[] {
  return place === out ? [] : [`The older results in ${out} are as they were.`];
}

/** Warnings go to standard error, one line each. */
export function printWarnings(warnings: readonly string[]): void {
  for (const warning of warnings) process.stderr.write(`warning: ${printable(warning)}\n`);
}

export function printJson(value: unknown): void {
  process.stdout.write(`${JSON.stringify(value, null, 2)}\n`);
}
