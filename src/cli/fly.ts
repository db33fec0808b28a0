/** `alight fly`: fly a study, answer, and keep the flights. */
import { basename } from 'node:path';
import type { Command } from 'commander';
import type { Summary } from '../analysis/fly/flyStudy.ts';
import type { Part } from '../fleet/part.ts';
import type { OpenedStudy } from '../study/load.ts';
import {
  FLY_RETUNED,
  flightOptions,
  goOn,
  keepOptions,
  MOST_CHUNK,
  openFor,
  partFolder,
  printJson,
  printPart,
  printWarnings,
  RETUNE,
  replacements,
  type StudyOptions,
  share,
  studyOptions,
  TUNE,
  whole,
} from './options.ts';

interface FlyCommandOptions extends StudyOptions {
  readonly rule?: string;
  readonly out?: string;
  readonly force?: boolean;
  readonly resume?: boolean;
  readonly part?: Part;
  readonly threads?: number;
  readonly chunk?: number;
  readonly halfWidth?: number;
  readonly open?: boolean;
  readonly retune?: boolean;
}

/** Where results go when nobody says. */
export function defaultFolder(
  study: string,
  kind: 'results' | 'comparison' | 'drops' | 'tuning' | 'control' | 'sweep' | 'campaign' | 'learned',
): string {
  return `${basename(study).replace(/\.ya?ml$/, '')}-${kind}`;
}

export function defineFly(program: Command): void {
  const command = program.command('fly').argument('<study>', 'study file (YAML)');
  keepOptions(studyOptions(flightOptions(command)))
    .option('--rule <name>', 'ignition rule to fly (default: the study’s first)')
    .option('--half-width <share>', 'fly until the success interval is within ± this (e.g. 1%); --flights is then the most', share)
    .option('--retune', RETUNE)
    .option('--out <folder>', 'folder for the results (default: <study>-results)')
    .option('--chunk <number>', 'flights a worker takes at a time; changes no result', whole(1, MOST_CHUNK))
    .option('--open', 'make the page with pictures (report.html) and show it')
    .summary('fly it; success probability, touchdown speeds, causes of failure')
    .description(
      'Flies a study and answers: how likely the landing is, how hard the touchdowns are, what the failures die of.\nWrites flights.arrow, summary.json, study.yaml and run.json.',
    )
    .addHelpText(
      'after',
      '\nExamples:\n  alight fly studies/thistledown.yaml --flights 2000 --out evening-1\n  alight fly studies/thistledown.yaml --half-width 0.5% --flights 100000 --set wind.speed="3 m/s"',
    )
    .action(run);
}

async function run(path: string, options: FlyCommandOptions): Promise<void> {
  const opened = await openFor(path, options);
  const { flyStudy } = await import('../analysis/fly/flyStudy.ts');
  const { withProgressAndInterrupt } = await import('./progressAndInterrupt.ts');
  const out = options.out ?? partFolder(defaultFolder(path, 'results'), options.part);
  const flying = withProgressAndInterrupt(options.json ?? false, (watch) =>
    flyStudy(opened, {
      ...options,
      out,
      overrides: replacements(options),
      ...watch,
    }),
  );
  // While the threads start, this one has time for the nominal flight.
  const [{ summary, run, folder }] = await Promise.all([flying, printNominal(path, opened, options.rule)]);
  if (summary.stoppedBy === 'interrupted') process.exitCode = 130;
  if (options.part !== undefined) return printPart(options.part, { run, folder }, options.json ?? false, options);
  const place = folder ?? out;
  if (options.open) await showPage(place);
  if (options.json) return printJson({ ...summary, run, folder: place });
  const { answersText, cautionsText } = await import('./summaryText.ts');
  const { count } = await import('../report/words.ts');
  const { flownTo } = await import('./flownText.ts');
  const { flyOpening } = await import('../report/openings.ts');
  const { retunedWords, staleWords } = await import('../report/heightWords.ts');
  const design = { independent: 'independent draws', latinHypercube: 'Latin hypercube', sobol: 'scrambled Sobol’ points' }[summary.design];
  const flown = summary.odds.flights;
  const stale = staleWords(`rule ${summary.rule}`, summary.heightMiss, summary.retuned === null ? FLY_RETUNED : TUNE);
  const staleLines = stale.length === 0 ? [] : [...stale, ''];
  const lines = [
    flyOpening(summary, summary.heightMiss),
    '',
    `${summary.title}: ${count(flown)} flights by rule ${summary.rule}, seed ${summary.seed}, ${design}`,
    '',
    ...(summary.retuned === null ? [] : [...retunedWords(summary.retuned), '']),
    ...staleLines,
    answersText(summary, summary.design),
    '',
    ...flownTo(place, out, run, flown),
    ...stopLines(summary, flown, options),
    ...summary.lost.map((l) => `flight ${l.flight} has no result: its worker failed twice: ${l.reason}`),
    '',
    cautionsText(),
  ];
  process.stdout.write(`${lines.join('\n')}\n`);
}

/**
 * Warnings; what is wrong with the nominal flight is told by flying it, in place of what the study's numbers foretold
 * of it.
 */
async function printNominal(path: string, { study, warnings, foretold }: OpenedStudy, rule: string | undefined): Promise<void> {
  const { readNominal } = await import('../analysis/nominal/readNominal.ts');
  const reading = readNominal(study, rule, true);
  const { nominalHead } = await import('./nominalText.ts');
  printWarnings([...warnings.filter((warning) => !foretold.includes(warning)), ...nominalHead(reading, path)]);
}

/** The page of what was just flown, beside it. */
async function showPage(folder: string): Promise<void> {
  const { makePage, defaultPage, show } = await import('./report.ts');
  const file = defaultPage(folder);
  await makePage([folder], file, { force: true });
  await show(file);
}

function stopLines({ stoppedBy, halfWidth }: Summary, flown: number, options: FlyCommandOptions): string[] {
  if (stoppedBy === 'interrupted') return [`Interrupted: flights 1 to ${flown} are kept. ${goOn(options)}`];
  if (halfWidth === null) return [];
  const wanted = `± ${(100 * halfWidth).toPrecision(2)} %`;
  return [
    stoppedBy === 'enough'
      ? `Stopped when the interval was within ${wanted}.`
      : `The interval is not yet within ${wanted}; --flights allowed no more.`,
  ];
}
