/** `alight new`: a commented study to start from. */
import type { Command } from 'commander';
import { printJson } from './options.ts';

export function defineNew(program: Command): void {
  program
    .command('new')
    .argument('<name>', 'name of the study: NAME.yaml is written here; or the word logbook: logbook.yaml')
    .summary('a commented study, or a logbook, to start from')
    .description(
      'Writes a complete, flyable study with every section explained, and the schema an editor completes and checks it with.\nThe word logbook writes a commented logbook of attempts instead.',
    )
    .addHelpText('after', '\nExamples:\n  alight new first && alight fly first.yaml\n  alight new logbook')
    .option('--json', 'print the names of the files written as JSON')
    .action(async (name: string, options: { readonly json?: boolean }) => {
      const { newStudy } = await import('../study/newStudy.ts');
      const { newLogbook } = await import('../analysis/logbook/logbookFiles.ts');
      const { checkPlaces, writeWhole } = await import('../results/wholeFile.ts');
      const files = name === 'logbook' ? newLogbook() : newStudy(name);
      const [study, schema] = files;
      checkPlaces([{ path: study.name, kind: 'study' }], false, 'choose another name: a study or logbook is never replaced');
      // The schema is the program's own and may be there from an earlier study.
      checkPlaces([{ path: schema.name, kind: 'schema' }], true);
      for (const file of files) writeWhole(file.name, file.text);
      if (options.json) return printJson({ wrote: files.map((f) => f.name) });
      process.stdout.write(
        `wrote ${files.map((f) => f.name).join(', ')}. Next: ${name === 'logbook' ? 'alight logbook check STUDY' : 'alight fly'} ${files[0].name}\n`,
      );
    });
}
