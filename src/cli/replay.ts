/** `alight replay`: a log's samples through alight's own flight computer. */
import type { Command } from 'commander';
import type { Replay } from '../analysis/replay/replayLog.ts';
import { UserError } from '../errors.ts';
import { openFor, printJson, printWarnings, type StudyOptions, studyOptions } from './options.ts';

interface ReplayOptions extends StudyOptions {
  readonly rule?: string;
  readonly columns?: string;
  readonly out?: string;
  readonly force?: boolean;
}

export function defineReplay(program: Command): void {
  const command = program
    .command('replay')
    .argument('<study>', 'study file (YAML)')
    .argument('<log>', 'the flight computer’s log (CSV), or a logbook (YAML): each attempt’s log, by its rule and constants');
  studyOptions(command)
    .option('--rule <name>', 'ignition rule that was flown (default: the study’s first)')
    .option(
      '--columns <map>',
      'which column is what: time, accelerationX to Z (x toward the nose), rateX to Z, and barometer, height, speedUp, phase, commandY, commandZ where logged',
    )
    .option('--out <file>', 'write belief beside the logged one here: drawn, as a page (.html), or row by row (.csv or .arrow)')
    .option('--force', 'replace the file if it exists')
    .summary('a log through the study’s flight computer: belief, phases, and when each rule would have lit')
    .description(
      'Feeds the raw samples of a log to the study’s own flight computer and compares what it believes with what was logged.\nSays of every rule when it would have lit, and finds stalls in the times.',
    )
    .addHelpText(
      'after',
      '\nExamples:\n  alight trace studies/thistledown.yaml 17 --log hop.csv && alight replay studies/thistledown.yaml hop.csv\n  alight replay lander.yaml flight.csv --columns "time=t [ms], accelerationX=ax [g], accelerationY=ay [g], accelerationZ=az [g], rateX=gx [dps], rateY=gy [dps], rateZ=gz [dps]"',
    )
    .action(run);
}

async function run(path: string, logPath: string, options: ReplayOptions): Promise<void> {
  const opened = await openFor(path, options);
  printWarnings(opened.warnings);
  const { replayFile, replayLogbook } = await import('../analysis/replay/replayFile.ts');
  const isLogbook = /\.ya?ml$/.test(logPath);
  if (options.out !== undefined) await checkOut(options.out, isLogbook, options.force ?? false);
  const found = isLogbook
    ? await replayLogbook(opened.study, logPath)
    : [await replayFile(opened.study, logPath, options.rule, options.columns ?? null)];
  for (const { warnings } of found) printWarnings(warnings);
  if (options.out !== undefined && isPage(options.out)) {
    const [{ replay, warnings }] = found;
    const { replayPage } = await import('../report/replayPage.ts');
    const { writeWhole } = await import('../results/wholeFile.ts');
    const { programVersion } = await import('../results/header.ts');
    writeWhole(options.out, await replayPage(replay, { study: opened.study.title, program: `alight ${programVersion()}`, warnings }));
  } else if (options.out !== undefined) {
    const { writeTrace } = await import('../results/traceFile.ts');
    const { believed } = found[0].replay;
    await writeTrace(options.out, { columns: believed, values: believed.map(({ values }) => values), metadata: {} });
  }
  if (options.json) return printJson(found.map(({ replay: { believed: _series, ...replay } }) => replay));
  const { replayText } = await import('./replayText.ts');
  process.stdout.write(`${found.map(({ replay }): string => text(replay, replayText)).join('\n\n')}\n`);
}

const PAGE_ENDING = '.html';
const isPage = (path: string): boolean => path.toLowerCase().endsWith(PAGE_ENDING);

function text(replay: Replay, lines: (replay: Replay) => string[]): string {
  return lines(replay).join('\n');
}

async function checkOut(path: string, isLogbook: boolean, force: boolean): Promise<void> {
  if (isLogbook) throw new UserError(`--out: holds one log; name that instead of the logbook`);
  const { checkPlaces } = await import('../results/wholeFile.ts');
  const { traceKind } = await import('../results/traceFile.ts');
  checkPlaces([{ path, kind: isPage(path) ? 'page' : traceKind(path, [PAGE_ENDING]) }], force);
}
