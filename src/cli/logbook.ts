/** `alight logbook check`: is the logbook sound, and of this study? */
import type { Command } from 'commander';
import { openFor, printJson, printWarnings, type StudyOptions, studyOptions } from './options.ts';

export function defineLogbook(program: Command): void {
  const logbook = program
    .command('logbook')
    .summary('attempts flown: check what was written down')
    .description(
      'What was set and what was seen of real attempts, in a file beside the study. `alight new logbook` writes one to start from.',
    )
    .addHelpText('after', '\nExample:\n  alight logbook check studies/thistledown.yaml studies/thistledown-logbook.yaml');
  const check = logbook.command('check').argument('<study>', 'study file (YAML)').argument('<logbook>', 'logbook file (YAML)');
  studyOptions(check)
    .summary('every problem of a logbook at once')
    .description('Reads a logbook against its study, with the logs it names, and reports every problem with its place. Flies nothing.')
    .addHelpText('after', '\nExample:\n  alight logbook check studies/thistledown.yaml studies/thistledown-logbook.yaml')
    .action(run);
  for (const command of logbook.commands) command.exitOverride().showSuggestionAfterError();
}

async function run(path: string, logbookPath: string, options: StudyOptions): Promise<void> {
  const opened = await openFor(path, options);
  printWarnings(opened.warnings);
  const { openLogbook } = await import('../analysis/logbook/readLogbook.ts');
  const logbook = await openLogbook(logbookPath, opened.study);
  const { checkLogs } = await import('../analysis/replay/replayFile.ts');
  printWarnings(await checkLogs(logbook, logbookPath));
  if (options.json) return printJson(logbook);
  const { heading, table } = await import('./terminal.ts');
  const rows = logbook.attempts.map(({ name, rule, having, observations, notSeen, log }) => [
    name,
    rule,
    having.airframe,
    having.batch,
    having.day,
    String(observations.length),
    notSeen.join(', '),
    log ?? '',
  ]);
  const lines = [
    heading(`${logbook.title}: the logbook is sound`),
    '',
    table(['attempt', 'rule', 'airframe', 'batch', 'day', 'observations', 'not seen', 'log'], rows, [0, 1, 2, 3, 4, 6, 7]),
    '',
    `Next: alight learn ${path} ${logbookPath}`,
  ];
  process.stdout.write(`${lines.join('\n')}\n`);
}
