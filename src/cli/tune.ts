/**
 * `alight tune`: where to light, from drops of the nominal vehicle (`--drops`) or by searching a rule's constants under
 * all that varies.
 */
import { type Command, InvalidArgumentError } from 'commander';
import type { ControlTuning } from '../analysis/tune/controlTuning.ts';
import type { Aim } from '../analysis/tune/tuningFlights.ts';
import { UserError } from '../errors.ts';
import type { Part } from '../fleet/part.ts';
import type { RunFacts } from '../fleet/session.ts';
import type { OpenedStudy } from '../study/load.ts';
import { defaultFolder } from './fly.ts';
import {
  goOn,
  keepOptions,
  openFor,
  partFolder,
  printJson,
  printPart,
  printWarnings,
  replacements,
  type StudyOptions,
  share,
  studyOptions,
  threadCount,
  whole,
} from './options.ts';

interface TuneCommandOptions extends Omit<StudyOptions, 'flights'> {
  readonly drops?: boolean;
  readonly control?: boolean;
  readonly steps?: number;
  readonly spread?: number;
  readonly rule?: string;
  readonly budget?: number;
  readonly minimise?: Aim;
  readonly bounds: readonly BoundsOption[];
  readonly out?: string;
  readonly force?: boolean;
  readonly resume?: boolean;
  readonly part?: Part;
  readonly threads?: number;
}

/** Apogees of drops, and flights of a search, at most: a slip of the finger is not flown for years. */
const MOST_STEPS = 1001;
const MOST_BUDGET = 100_000_000;

interface BoundsOption {
  readonly key: string;
  readonly low: string;
  readonly high: string;
}

export function defineTune(program: Command): void {
  keepOptions(studyOptions(program.command('tune').argument('<study>', 'study file (YAML)')))
    .option('--drops', 'drop the nominal vehicle from a range of apogees and find the softest burn height of each')
    .option('--control', 'search the gains of the attitude control (kp, kd, ki, driftDamping, driftTilt) for the most landings')
    .option('--steps <number>', 'with --drops: apogees (default: 11)', whole(3, MOST_STEPS))
    .option('--spread <share>', 'with --drops: how far they reach about the nominal apogee (default: 15%)', share)
    .option('--rule <name>', 'the rule to tune; with --drops or --control: the one to fly (then default: the study’s first)')
    .option('--flights <number>', 'without --drops: flights to spend, all in all (default: 60,000)', whole(1, MOST_BUDGET))
    .option('--minimise <measure>', 'without --drops: make a quantile of sink speed small instead, e.g. sink:0.9', minimised)
    .option(
      '--bounds <name=low..high>',
      'without --drops: keep a constant or gain within these; equal ones hold it; repeatable',
      (text: string, all: BoundsOption[]) => [...all, boundsOption(text)],
      [] as BoundsOption[],
    )
    .option('--seed <seed>', 'seed of every random stream (default: what the study says)')
    .option('--threads <number>', 'worker threads (default: one a core); drops take one', threadCount)
    .option('--out <folder>', 'folder for the results (default: <study>-drops, <study>-tuning or <study>-control)')
    .summary('where to light: burn heights from drops, or a rule’s best constants and how flat the optimum is')
    .description(
      'With --drops: flies the nominal vehicle, without noise and gusts, from a range of apogees and finds for each the command with the softest touchdown; fits the rules to them. Writes drops.json, drops.arrow.\nWith --rule: searches the rule’s constants for the most landings under everything that varies, all candidates on the same simulated luck, and answers from fresh flights. Writes tuning.json, tuning.arrow.\nWith --control: searches the gains, one along a line of values after the other, on the same luck, compares them with the study’s own on fresh flights, and shows how far each may be off. Writes control.json, control.arrow.',
    )
    .addHelpText(
      'after',
      '\nExamples:\n  alight tune studies/thistledown.yaml --drops --spread 20%\n  alight tune studies/thistledown.yaml --rule apogee-line --bounds c1=0..0.5\n  alight tune studies/thistledown.yaml --rule fixed-height --minimise sink:0.9 --flights 20000\n  alight tune studies/thistledown.yaml --control --bounds ki=0..0 --flights 20000',
    )
    .action((path: string, { flights, ...options }: TuneCommandOptions & { flights?: number }) =>
      run(path, { ...options, ...(flights === undefined ? {} : { budget: flights }) }),
    );
}

async function run(path: string, options: TuneCommandOptions): Promise<void> {
  checkOptions(options);
  const opened = await openFor(path, options);
  printWarnings(opened.warnings);
  const out =
    options.out ?? partFolder(defaultFolder(path, options.drops ? 'drops' : options.control ? 'control' : 'tuning'), options.part);
  await (options.drops ? drop(opened, options, out) : options.control ? tuneGains(opened, options, out) : tune(opened, options, out));
}

async function drop(opened: OpenedStudy, options: TuneCommandOptions, out: string): Promise<void> {
  const { dropRules } = await import('../analysis/drops/dropRules.ts');
  const { answers, run } = await dropRules(opened, { ...options, out, overrides: replacements(options) });
  if (options.json) return printJson({ ...answers, run, folder: out });
  const { dropsText } = await import('./dropsText.ts');
  const { cautionsText } = await import('./summaryText.ts');
  const { count, duration } = await import('../report/words.ts');
  process.stdout.write(
    `${[dropsText(answers), '', `${count(answers.flown)} flights in ${duration(run.seconds)}. Results in ${out}`, '', cautionsText()].join('\n')}\n`,
  );
}

async function tune(opened: OpenedStudy, options: TuneCommandOptions, out: string): Promise<void> {
  const { tuneRule } = await import('../analysis/tune/tuneRule.ts');
  const { withProgressAndInterrupt } = await import('./progressAndInterrupt.ts');
  const { ruleKind } = await import('../avionics/rules/kinds.ts');
  const chosen = opened.study.rules.find(({ name }) => name === options.rule);
  const bounds = await readBounds(chosen === undefined ? [] : ruleKind(chosen.kind).constants, options.bounds);
  const { tuning, run, folder } = await withProgressAndInterrupt(options.json ?? false, (watch) =>
    tuneRule(opened, {
      ...options,
      out,
      bounds,
      ...(options.minimise === undefined ? {} : { aim: options.minimise }),
      overrides: replacements(options),
      ...watch,
    }),
  );
  if (!tuning.finished) process.exitCode = 130;
  if (options.part !== undefined) return printPart(options.part, { run, folder }, options.json ?? false, options);
  const place = folder ?? out;
  if (options.json) return printJson({ ...tuning, run, folder: place });
  const { tuningText } = await import('./tuningText.ts');
  await printWithRun(tuningText(tuning), tuning, run, place, { ...options, out });
}

async function tuneGains(opened: OpenedStudy, options: TuneCommandOptions, out: string): Promise<void> {
  const { tuneControl } = await import('../analysis/tune/tuneControl.ts');
  const { GAIN_KEYS, GAIN_ROWS } = await import('../analysis/tune/gains.ts');
  const { withProgressAndInterrupt } = await import('./progressAndInterrupt.ts');
  const bounds = await readBounds(
    GAIN_KEYS.map((key) => ({ key, unit: GAIN_ROWS[key].unit })),
    options.bounds,
  );
  const { tuning, run, folder } = await withProgressAndInterrupt(options.json ?? false, (watch) =>
    tuneControl(opened, { ...options, out, bounds, overrides: replacements(options), ...watch }),
  );
  if (!tuning.finished) process.exitCode = 130;
  const place = folder ?? out;
  if (options.json) return printJson({ ...tuning, run, folder: place });
  const { controlText } = await import('./controlText.ts');
  await printWithRun(controlText(tuning), tuning, run, place, { ...options, out });
}

async function printWithRun(
  text: string,
  { flown, lost }: Pick<ControlTuning, 'flown' | 'lost'>,
  run: RunFacts,
  place: string,
  { out, force }: { readonly out: string; readonly force?: boolean },
): Promise<void> {
  const { cautionsText } = await import('./summaryText.ts');
  const { flownTo } = await import('./flownText.ts');
  const lines = [
    text,
    '',
    ...flownTo(place, out, run, flown),
    ...(process.exitCode === 130 ? [`Interrupted. ${goOn(force === undefined ? {} : { force })}`] : []),
    ...lost.map((l) => `flight ${l.flight} has no result: its worker failed twice: ${l.reason}`),
    '',
    cautionsText(),
  ];
  process.stdout.write(`${lines.join('\n')}\n`);
}

/** @throws UserError for options that do not go together */
function checkOptions({ drops, control, steps, spread, rule, budget, minimise, bounds, resume, part }: TuneCommandOptions): void {
  if (drops && control) throw new UserError('--control: not with --drops; one question at a time');
  if (!drops && !control && rule === undefined)
    throw new UserError('tune: give --rule NAME to tune a rule, --drops to find burn heights first, or --control to tune the gains');
  const others = drops ? { flights: budget, minimise, bounds: bounds[0], resume, part } : { steps, spread };
  const wrong = Object.entries(others).filter(([, value]) => value !== undefined);
  if (control && minimise !== undefined) throw new UserError('--minimise: not with --control, which goes by landings');
  if (wrong.length > 0) throw new UserError(wrong.map(([name]) => `--${name}: only ${drops ? 'without' : 'with'} --drops`));
}

function minimised(text: string): Aim {
  const match = /^sink:(.+)$/.exec(text.trim());
  if (match === null) throw new InvalidArgumentError('expected sink:share, e.g. sink:0.9.');
  return { kind: 'sink', quantile: share(match[1]) };
}

function boundsOption(text: string): BoundsOption {
  const match = /^\s*([^=\s]+)\s*=\s*(.+?)\s*\.\.\s*(.+?)\s*$/.exec(text);
  if (match === null) throw new InvalidArgumentError('expected name=low..high, e.g. c0=-6..0.');
  return { key: match[1], low: match[2], high: match[3] };
}

/**
 * The values of the bounds, in the units of the constants or gains; which there are is the analysis' to check.
 */
async function readBounds(
  constants: readonly { readonly key: string; readonly unit: string }[],
  bounds: readonly BoundsOption[],
): Promise<Record<string, { readonly low: number; readonly high: number }>> {
  const { readQuantity } = await import('../study/units.ts');
  const problems: string[] = [];
  const read = (key: string, text: string): number => {
    const unit = constants.find((constant) => constant.key === key)?.unit ?? '';
    const reading = readQuantity(text, unit);
    if ('value' in reading) return reading.value;
    problems.push(`--bounds ${key}: read "${text}"; expected a number${unit === '' ? '' : ` in ${unit}`}`);
    return Number.NaN;
  };
  const found = Object.fromEntries(bounds.map(({ key, low, high }) => [key, { low: read(key, low), high: read(key, high) }]));
  if (problems.length > 0) throw new UserError(problems);
  return found;
}
