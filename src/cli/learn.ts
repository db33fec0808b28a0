/** `alight learn`: what a logbook of real attempts teaches, and the odds now. */
import { join } from 'node:path';
import type { Command } from 'commander';
import { defaultFolder } from './fly.ts';
import {
  goOn,
  openFor,
  printJson,
  printWarnings,
  replacements,
  resumeOptions,
  type StudyOptions,
  studyOptions,
  threadCount,
  whole,
} from './options.ts';

interface LearnCommandOptions extends StudyOptions {
  readonly particles: number;
  readonly out?: string;
  readonly force?: boolean;
  readonly resume?: boolean;
  readonly threads?: number;
  readonly chunk?: number;
}

const FEWEST_PARTICLES = 200;
const MOST_PARTICLES = 10_000;
/** A worker has room for the flights it takes at a time. */
const MOST_AT_A_TIME = 100_000;

export function defineLearn(program: Command): void {
  const command = program.command('learn').argument('<study>', 'study file (YAML)').argument('<logbook>', 'logbook file (YAML)');
  resumeOptions(studyOptions(command))
    .option(
      '--particles <number>',
      'simulated vehicles that are to agree with the logbook, in two runs',
      whole(FEWEST_PARTICLES, MOST_PARTICLES),
      1000,
    )
    .option('--seed <seed>', 'seed of every random stream (default: what the study says)')
    .option('--threads <number>', 'worker threads (default: one a core)', threadCount)
    .option('--chunk <number>', 'flights a worker takes at a time; changes no result', whole(1, MOST_AT_A_TIME))
    .option('--out <folder>', 'folder for the results (default: <study>-learned)')
    .summary('what real attempts teach of this vehicle, and the odds of the next one')
    .description(
      'Says first what was seen that the study hardly ever does; then narrows what stays with the vehicle to what agrees with\nthe logbook. Writes learning.json, learned.arrow, learned.yaml (which fly, campaign, rank and card fly from) and run.json.',
    )
    .addHelpText(
      'after',
      '\nExamples:\n  alight learn studies/thistledown.yaml studies/thistledown-logbook.yaml\n  alight fly thistledown-learned/learned.yaml',
    )
    .action(run);
}

async function run(path: string, logbookPath: string, options: LearnCommandOptions): Promise<void> {
  const opened = await openFor(path, options);
  printWarnings(opened.warnings);
  const { openLogbook } = await import('../analysis/logbook/readLogbook.ts');
  const logbook = await openLogbook(logbookPath, opened.study);
  const { learnStudy } = await import('../analysis/learn/learnStudy.ts');
  const { withProgressAndInterrupt } = await import('./progressAndInterrupt.ts');
  const out = options.out ?? defaultFolder(path, 'learned');
  // two runs of equally many
  const particles = 2 * Math.ceil(options.particles / 2);
  const learned = await withProgressAndInterrupt(options.json ?? false, (watch) =>
    learnStudy(opened, logbook, { ...options, particles, logbook: logbookPath, out, overrides: replacements(options), ...watch }),
  );
  if (learned === null) {
    process.stderr.write(`interrupted: half a sample teaches nothing; what was flown is kept in ${out}. ${goOn(options)}\n`);
    process.exitCode = 130;
    return;
  }
  const { learning, run, folder } = learned;
  const place = folder ?? out;
  if (options.json) return printJson({ ...learning, run, folder: place });
  const { learnText } = await import('./learnText.ts');
  const { cautionsText } = await import('./summaryText.ts');
  const { flownTo } = await import('./flownText.ts');
  const lines = [
    learning.finding,
    '',
    ...learnText(learning),
    '',
    ...flownTo(place, out, run, learning.flights),
    `Fly this vehicle as it is now known: alight fly ${join(place, 'learned.yaml')}`,
    `Its page, with pictures: alight report ${place}`,
    ...learning.lost.map(
      (l) => `flight ${l.flight} counts as one that showed nothing of what was seen: its worker failed twice: ${l.reason}`,
    ),
    '',
    cautionsText(),
  ];
  process.stdout.write(`${lines.join('\n')}\n`);
}
