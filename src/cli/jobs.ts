/** `alight jobs`: a run in parts as job files for a cluster or any runner of commands. */
import { chmodSync, mkdirSync } from 'node:fs';
import { basename, join } from 'node:path';
import type { Command } from 'commander';
import type { Engine } from '../analysis/jobs/jobPlan.ts';
import { UserError } from '../errors.ts';
import { MOST_PARTS, printJson, threadCount, whole } from './options.ts';

interface JobsCommandOptions {
  readonly parts: number;
  readonly for: Engine;
  readonly run: string;
  readonly out?: string;
  readonly force?: boolean;
  readonly program: string;
  readonly cpus: number;
  readonly image?: string;
  readonly claim?: string;
  readonly json?: boolean;
}

export function defineJobs(program: Command): void {
  program
    .command('jobs')
    .argument('<study>', 'study file (YAML), as it is named where the parts fly')
    .argument('[options...]', 'after --, options of the command that flies')
    .requiredOption('--parts <number>', 'parts to fly it in', whole(1, MOST_PARTS))
    .requiredOption('--for <engine>', 'slurm, kubernetes or shell (a plain list of commands)', engine)
    .option('--run <command>', 'command that flies: fly, compare, sweep, campaign, rank or tune', 'fly')
    .option('--out <folder>', 'folder for the job files, the parts and the results (default: <study>-jobs)')
    .option('--force', 'replace job files that are in the folder')
    .option('--program <words>', 'how the program is called where the parts fly', 'alight')
    .option('--cpus <number>', 'worker threads of each part', threadCount, 4)
    .option('--image <name>', 'for kubernetes: container image that holds the program')
    .option('--claim <name>', 'for kubernetes: volume claim that all parts share')
    .option('--json', 'print the names of the files written as JSON')
    .summary('a run in parts as job files: a Slurm array, a Kubernetes Job, a list of commands')
    .description(
      'Writes the files that an engine takes to fly a run in parts, each with --resume, and to join them once all are flown.\nSubmits nothing.',
    )
    .addHelpText(
      'after',
      '\nExamples:\n  alight jobs studies/thistledown.yaml --parts 64 --for slurm -- --flights 1000000\n  alight jobs studies/thistledown.yaml --parts 16 --for shell --run compare -- --flights 100000 --rules fixed-height,apogee-line\n  alight jobs thistledown.yaml --parts 64 --for kubernetes --image alight:0.1.0 --claim studies',
    )
    .action(run);
}

function engine(text: string): Engine {
  if (text === 'slurm' || text === 'kubernetes' || text === 'shell') return text;
  throw new UserError(`--for: read "${text}"; expected slurm, kubernetes or shell`);
}

async function run(study: string, given: readonly string[], options: JobsCommandOptions): Promise<void> {
  const { jobFiles } = await import('../analysis/jobs/jobFiles.ts');
  const { checkPlaces, writeWhole } = await import('../results/wholeFile.ts');
  const { openStudy } = await import('../study/load.ts');
  // A cluster is no place to find a mistake in the study.
  await openStudy(study);
  const folder = options.out ?? `${basename(study).replace(/\.ya?ml$/, '')}-jobs`;
  const { parts, run: command, program, cpus, image = null, claim = null } = options;
  const files = jobFiles({ study, parts, engine: options.for, command, options: given, folder, program, cpus, image, claim });
  mkdirSync(folder, { recursive: true });
  const place = (name: string): string => join(folder, name);
  checkPlaces(
    files.map(({ name }) => ({ path: place(name), kind: name === 'parts.txt' ? 'partList' : 'header' })),
    options.force ?? false,
  );
  for (const { name, text, executable } of files) {
    writeWhole(place(name), text);
    if (executable) chmodSync(place(name), 0o755);
  }
  if (options.json) return printJson({ wrote: files.map(({ name }) => place(name)), results: place('results') });
  const next = options.for === 'shell' ? `every line of ${place('parts.txt')}, then ${place('join.sh')}` : `sh ${place('submit.sh')}`;
  process.stdout.write(`wrote ${files.map(({ name }) => place(name)).join(', ')}\nNext: ${next}. Results will be in ${place('results')}\n`);
}
