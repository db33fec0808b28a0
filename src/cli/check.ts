/** `alight check`: is this study sound? */
import type { Command } from 'commander';
import { openFor, printJson, type StudyOptions, studyOptions } from './options.ts';

export function defineCheck(program: Command): void {
  studyOptions(program.command('check').argument('<study>', 'study file (YAML)'))
    .summary('is this study sound? every problem at once, with line and column')
    .description('Reads a study and reports every problem at once, each with line and column, then what it warns of.')
    .addHelpText('after', '\nExample:\n  alight check studies/thistledown.yaml')
    .action(async (path: string, options: StudyOptions) => {
      const { study, warnings } = await openFor(path, options);
      const { varyingInputs } = await import('../inputs/varying.ts');
      const facts = {
        title: study.title,
        varying: varyingInputs(study).length,
        rules: study.rules.map((r) => r.name),
        flights: study.flights,
        warnings,
      };
      if (options.json) return printJson(facts);
      const notes = warnings.length === 0 ? 'no warnings' : `${warnings.length} warning${warnings.length === 1 ? '' : 's'}:`;
      process.stdout.write(
        `${path}: sound. ${study.title}: ${facts.varying} inputs vary, rules ${facts.rules.join(', ')}, ${study.flights} flights; ${notes}\n`,
      );
      for (const warning of warnings) process.stdout.write(`  ${warning}\n`);
    });
}
