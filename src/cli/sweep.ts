/** `alight sweep`: success along a number of the study, on the same luck. */
import type { Command } from 'commander';
import type { Part } from '../fleet/part.ts';
import { defaultFolder } from './fly.ts';
import {
  flightOptions,
  goOn,
  keepOptions,
  MOST_CHUNK,
  partFolder,
  printJson,
  printPart,
  printWarnings,
  replacements,
  type StudyOptions,
  studyOptions,
  whole,
} from './options.ts';

interface SweepCommandOptions extends StudyOptions {
  readonly over: readonly string[];
  readonly steps?: number;
  readonly rule?: string;
  readonly asProgrammed?: boolean;
  readonly hold?: boolean;
  readonly out?: string;
  readonly force?: boolean;
  readonly resume?: boolean;
  readonly part?: Part;
  readonly threads?: number;
  readonly chunk?: number;
}

export function defineSweep(program: Command): void {
  const command = program.command('sweep').argument('<study>', 'study file (YAML)');
  keepOptions(studyOptions(flightOptions(command)))
    .requiredOption(
      '--over <path=values>',
      'a number of the study, LOW..HIGH with a unit or a list A,B,...; motor files too; twice for a map',
      (text: string, all: readonly string[] | undefined) => [...(all ?? []), text],
    )
    .option('--steps <number>', 'values of a range (default: 9)', whole(2, 100))
    .option('--rule <name>', 'ignition rule to fly (default: the study’s first)')
    .option('--as-programmed', 'fly every value with the constants written in the study')
    .option('--hold', 'hold an input that varies at each value, without its spread (default: its spread moves along)')
    .option('--out <folder>', 'folder for the results (default: <study>-sweep)')
    .option('--chunk <number>', 'flights a worker takes at a time; changes no result', whole(1, MOST_CHUNK))
    .summary('success along a number of the study, each value retuned, on the same luck')
    .description(
      'Flies the study with each value, same flight numbers and same luck, and says which is best and which cannot be told from it.\nAn input that varies keeps its spread about each value; wind and air are held at it. Each value is retuned first (at most a fifth more flights). --flights is the number for each value.\nWrites sweep.json, sweep.arrow, study.yaml and run.json.',
    )
    .addHelpText(
      'after',
      '\nExamples:\n  alight sweep studies/thistledown.yaml --over vehicle.airframe.mass=0.85..1.05kg --flights 1000\n  alight sweep studies/thistledown.yaml --over gimbal.limit=3,5,8deg --over control.kp=0.3,0.5,0.8 --flights 1000',
    )
    .action(run);
}

async function run(path: string, options: SweepCommandOptions): Promise<void> {
  const { sweepStudy } = await import('../analysis/designs/sweepStudy.ts');
  const { withProgressAndInterrupt } = await import('./progressAndInterrupt.ts');
  const out = options.out ?? partFolder(defaultFolder(path, 'sweep'), options.part);
  const json = options.json ?? false;
  const { sweep, run, folder } = await withProgressAndInterrupt(json, (watch) =>
    sweepStudy(path, { ...options, out, overrides: replacements(options), ...watch }),
  );
  printWarnings(sweep.warnings);
  if (sweep.stoppedBy === 'interrupted') process.exitCode = 130;
  if (options.part !== undefined) return printPart(options.part, { run, folder }, options.json ?? false, options);
  const place = folder ?? out;
  if (json) return printJson({ ...sweep, run, folder: place });
  const { sweepText } = await import('./sweepText.ts');
  const { cautionsText } = await import('./summaryText.ts');
  const { flownTo } = await import('./flownText.ts');
  const lines = [
    `${sweep.title}: ${sweep.axes.map(({ path: number }) => number).join(' and ')}, ${sweep.points.length} points by rule ${sweep.rule}, seed ${sweep.seed}`,
    '',
    sweepText(sweep),
    '',
    ...flownTo(place, out, run, null),
    ...(sweep.unfinished.length === 0 ? [] : [`Interrupted: not flown are ${sweep.unfinished.join('; ')}. ${goOn(options)}`]),
    ...sweep.lost.map((l) => `flight ${l.flight} at ${l.work} has no result: its worker failed twice: ${l.reason}`),
    '',
    cautionsText(),
  ];
  process.stdout.write(`${lines.join('\n')}\n`);
}
