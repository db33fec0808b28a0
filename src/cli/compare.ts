/** `alight compare`: a study's ignition rules on the same simulated luck. */
import { join } from 'node:path';
import type { Command } from 'commander';
import { UserError } from '../errors.ts';
import type { Part } from '../fleet/part.ts';
import { defaultFolder } from './fly.ts';
import {
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
  whole,
} from './options.ts';

interface CompareCommandOptions extends StudyOptions {
  readonly rules?: readonly string[];
  readonly untilResolved?: boolean;
  readonly margin?: number;
  readonly across: readonly string[];
  readonly retune?: boolean;
  readonly variants?: readonly string[];
  readonly asProgrammed?: boolean;
  readonly out?: string;
  readonly force?: boolean;
  readonly resume?: boolean;
  readonly part?: Part;
  readonly threads?: number;
  readonly chunk?: number;
}

function names(text: string): string[] {
  return text
    .split(',')
    .map((name) => name.trim())
    .filter((name) => name !== '');
}

export function defineCompare(program: Command): void {
  const command = program
    .command('compare')
    .argument('<study|results...>', 'study file (YAML); or two results folders or more, compared as unpaired');
  keepOptions(studyOptions(flightOptions(command)))
    .option('--rules <names>', 'ignition rules to compare, parted by commas (default: all of the study’s)', names)
    .option(
      '--variants <names>',
      'variants of the study to compare, parted by commas, each retuned; base is the study as it is, and compared with one alone',
      names,
    )
    .option('--as-programmed', 'with --variants: fly each with the constants written in it')
    .option('--until-resolved', 'fly until every pair of rules is decided; --flights is then the most')
    .option('--margin <share>', 'with --until-resolved: a difference in success that does not matter (e.g. 1%)', share)
    .option(
      '--across <input>',
      'also show success along this varying input; repeatable',
      (key: string, all: string[]) => [...all, key],
      [] as string[],
    )
    .option('--retune', `of each rule: ${RETUNE}`)
    .option('--out <folder>', 'folder for the results (default: <study>-comparison)')
    .option('--chunk <number>', 'flights a worker takes at a time; changes no result', whole(1, MOST_CHUNK))
    .summary('its ignition rules on the same simulated luck: which lands more often, and is that sure?')
    .description(
      'Flies the same flights by every rule, same inputs and same noise, and compares them pair by pair.\nWith --variants: the same for designs, by the first rule or those named.\nWrites flights.arrow (not of variants), comparison.json, study.yaml and run.json; across.arrow with --across.',
    )
    .addHelpText(
      'after',
      '\nExamples:\n  alight compare studies/thistledown.yaml --flights 2000 --across wind.speed\n  alight compare studies/thistledown.yaml --rules fixed-height,apogee-line --until-resolved --margin 1%\n  alight compare studies/thistledown.yaml --variants replay,light --flights 2000\n  alight compare evening-1 evening-2',
    )
    .action(run);
}

async function run(paths: readonly string[], options: CompareCommandOptions): Promise<void> {
  const [path] = paths;
  if (paths.length > 1) return compareResults(paths, options);
  refuseStrays(options);
  const { withProgressAndInterrupt } = await import('./progressAndInterrupt.ts');
  const out = options.out ?? partFolder(defaultFolder(path, 'comparison'), options.part);
  const common = { ...options, out, overrides: replacements(options) };
  const { comparison, run, folder } = await (async () => {
    const { variants } = options;
    if (variants !== undefined) {
      const { compareVariants } = await import('../analysis/designs/compareVariants.ts');
      return withProgressAndInterrupt(options.json ?? false, (watch) => compareVariants(path, { ...common, ...watch, variants }));
    }
    const opened = await openFor(path, options);
    printWarnings(opened.warnings);
    const { compareRules } = await import('../analysis/compare/compareRules.ts');
    return withProgressAndInterrupt(options.json ?? false, (watch) => compareRules(opened, { ...common, ...watch }));
  })();
  if (options.variants !== undefined) printWarnings(comparison.warnings);
  if (comparison.stoppedBy === 'interrupted') process.exitCode = 130;
  if (options.part !== undefined) return printPart(options.part, { run, folder }, options.json ?? false, options);
  const place = folder ?? out;
  if (options.json) return printJson({ ...comparison, run, folder: place });
  const { comparisonText } = await import('./compareText.ts');
  const { cautionsText } = await import('./summaryText.ts');
  const { count } = await import('../report/words.ts');
  const { compareOpening } = await import('../report/openings.ts');
  const { flownTo } = await import('./flownText.ts');
  const { flights, rules, lost, stoppedBy, untilResolved } = comparison;
  const stops = {
    limit: untilResolved === null ? [] : [`Stopped at ${count(flights)} flights by each: --flights allows no more.`],
    decided: [`Stopped at ${count(flights)} flights by each: every pair is decided.`],
    interrupted: [`Interrupted: flights 1 to ${count(flights)} by every one are compared. ${goOn(options)}`],
  }[stoppedBy];
  const lines = [
    compareOpening(comparison),
    '',
    `${comparison.title}: ${rules.length} ${comparison.designs === null ? 'rules' : 'designs'} on the same ${count(flights)} flights, seed ${comparison.seed}`,
    '',
    comparisonText(comparison),
    '',
    ...flownTo(place, out, run, null),
    comparison.designs === null
      ? `See any flight again: alight trace ${join(place, 'study.yaml')} NUMBER --rule NAME`
      : `See any flight again, as programmed: alight trace ${path} NUMBER --variant NAME --rule NAME`,
    ...stops,
    ...lost.map((l) => `flight ${l.flight} by ${l.work} has no result: its worker failed twice: ${l.reason}`),
    '',
    cautionsText(),
  ];
  process.stdout.write(`${lines.join('\n')}\n`);
}

/** Results that stand already, of whatever studies. @throws UserError for options that only flying has */
async function compareResults(paths: readonly string[], options: CompareCommandOptions): Promise<void> {
  const { rules, json, across, set, ...others } = options;
  const flying = [...Object.keys(others), ...(across.length > 0 ? ['across'] : []), ...(set.length > 0 ? ['set'] : [])];
  const problems = flying.map((name) => {
    const option = name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);
    return `--${option}: these flights are flown already; give one study to fly others`;
  });
  if (rules !== undefined && rules.length !== 1) problems.push('--rules: of results, one rule that all of them flew');
  if (problems.length > 0) throw new UserError(problems);
  const { compareFolders } = await import('../analysis/read/compareFolders.ts');
  const found = await compareFolders(paths, rules?.[0]);
  printWarnings(found.sides.flatMap(({ cut }) => cut));
  if (json) return printJson(found);
  const { unpairedText } = await import('./unpairedText.ts');
  const { cautionsText } = await import('./summaryText.ts');
  process.stdout.write(`${unpairedText(found)}\n\n${cautionsText()}\n`);
}

/** Options that do not go together. @throws UserError with all of them */
function refuseStrays({ variants, variant, asProgrammed, retune }: CompareCommandOptions): void {
  const problems: string[] = [];
  if (variants === undefined && asProgrammed) problems.push('--as-programmed: only with --variants; rules fly as programmed anyway');
  if (variants !== undefined && retune) problems.push('--retune: variants are retuned anyway; --as-programmed leaves it');
  if (variants !== undefined && variant !== undefined) problems.push('--variant: not with --variants; name all in the one');
  if (problems.length > 0) throw new UserError(problems);
}
