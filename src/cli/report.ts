/** `alight report`: one page from whatever a results folder holds. */
import { dirname, join } from 'node:path';
import type { Command } from 'commander';
import { UserError } from '../errors.ts';
import { whatStands } from '../results/whatStands.ts';
import { printJson, printWarnings } from './options.ts';

interface ReportOptions {
  readonly out?: string;
  readonly force?: boolean;
  readonly open?: boolean;
  readonly rule?: string;
  readonly timing?: boolean;
  readonly json?: boolean;
}

/** Where the page goes when nobody says: beside the results. */
export function defaultPage(results: string): string {
  const standing = whatStands(results);
  return join(standing === 'folder' || standing === null ? results : dirname(results), 'report.html');
}

export function defineReport(program: Command): void {
  program
    .command('report')
    .argument('<results...>', 'results folders, or flights files (.arrow); the first with flights shows them, the others add their answers')
    .option('--rule <name>', 'whose flights to show in full (default: the first rule flown)')
    .option('--out <file>', 'where the page goes (default: report.html beside the first)')
    .option('--force', 'replace the page if it exists')
    .option('--open', 'show the page when it is made')
    .option('--json', 'print the name of the page as JSON; the answers themselves are JSON files beside the flights')
    .option('--timing', 'say on the page how long the run took and on what')
    .summary('one page with pictures, to read, print or pass on')
    .description('Makes one self-contained page (HTML) from whatever a results folder holds. It needs no network and opens from disk.')
    .addHelpText(
      'after',
      '\nExamples:\n  alight report thistledown-results --open\n  alight report evening-1 evening-1-ranking --out evening-1.html --force',
    )
    .action(run);
}

async function run(results: readonly string[], options: ReportOptions): Promise<void> {
  const out = options.out ?? defaultPage(results[0]);
  await makePage(results, out, options);
  if (options.json) printJson({ wrote: out });
  else process.stdout.write(`${out}\n`);
  if (options.open) await show(out);
}

/** @throws UserError when results cannot be read, or the page exists and may not be replaced */
export async function makePage(
  results: readonly string[],
  out: string,
  options: Pick<ReportOptions, 'rule' | 'force' | 'timing'>,
): Promise<void> {
  const { checkPlaces, writeWhole } = await import('../results/wholeFile.ts');
  checkPlaces([{ path: out, kind: 'page' }], options.force ?? false);
  const { readMeasurement } = await import('../analysis/read/readMeasurement.ts');
  const measurement = results.length === 1 ? readMeasurement(results[0]) : null;
  if (measurement !== null) {
    refuseStrays(options, 'a measurement holds no flights');
    const { measurementPage } = await import('../report/measurementPage.ts');
    writeWhole(out, await measurementPage(measurement));
    return;
  }
  const { readLearning } = await import('../analysis/read/readLearning.ts');
  const learning = results.length === 1 ? readLearning(results[0]) : null;
  if (learning !== null) {
    refuseStrays(options, 'the page of what was learnt shows no flights by a rule');
    const { learningPage } = await import('../report/learningPage.ts');
    writeWhole(out, await learningPage(learning));
    return;
  }
  const { readResults } = await import('../analysis/read/readResults.ts');
  const { page } = await import('../report/page.ts');
  const read = await readResults(results, options.rule);
  const { rule, timing } = options;
  if (read.flown === null && rule !== undefined) refuseStrays({ rule }, `${read.path} holds no flights to show in full`);
  if (read.run === null && timing) refuseStrays({ timing }, `no run.json stands beside ${read.path} to say how long it took`);
  printWarnings(read.cut);
  writeWhole(out, await page(read, { timing: options.timing ?? false }));
}

/** Options that would be without effect. @param why of these results   @throws UserError with a line for each given */
function refuseStrays({ rule, timing }: Pick<ReportOptions, 'rule' | 'timing'>, why: string): void {
  const given = [...(rule === undefined ? [] : ['--rule']), ...(timing ? ['--timing'] : [])];
  if (given.length > 0) throw new UserError(given.map((name) => `${name}: ${why}; leave it out`));
}

/** Opens the page; that it cannot be opened is said, and is no failure. */
export async function show(path: string): Promise<void> {
  const { openFile } = await import('./openFile.ts');
  const problem = await openFile(path);
  if (problem !== null) process.stderr.write(`${problem}\n`);
}
