/** `alight join`: the parts of a run made into one. */
import type { Command } from 'commander';
import { printJson } from './options.ts';

interface JoinCommandOptions {
  readonly out: string;
  readonly force?: boolean;
  readonly json?: boolean;
}

export function defineJoin(program: Command): void {
  program
    .command('join')
    .argument('<part...>', 'folders of all parts, in any order')
    .requiredOption('--out <folder>', 'folder for the results')
    .option('--force', 'replace results that are in the folder')
    .option('--json', 'print where the results are as JSON')
    .summary('parts of a run, flown anywhere, made into one')
    .description(
      'Joins what --part flew of a fly, compare, sweep, campaign, rank or tune into the files of one run, byte for byte.\nRefuses parts that are missing, doubled, unfinished or of another run.',
    )
    .addHelpText(
      'after',
      '\nExamples:\n  alight fly studies/thistledown.yaml --part 1/2 --out part-1\n  alight fly studies/thistledown.yaml --part 2/2 --out part-2\n  alight join part-1 part-2 --out thistledown-results',
    )
    .action(run);
}

async function run(folders: readonly string[], options: JoinCommandOptions): Promise<void> {
  const { joinParts } = await import('../analysis/join/joinParts.ts');
  const { withProgressAndInterrupt } = await import('./progressAndInterrupt.ts');
  const json = options.json ?? false;
  const { command, parts, folder } = await withProgressAndInterrupt(json, (watch) => joinParts(folders, { ...options, ...watch }));
  if (json) return printJson({ command, parts, folder });
  process.stdout.write(`${parts} parts of ${command} are one run. Results in ${folder}\nSee them: alight report ${folder}\n`);
}
