/** `alight new`: a commented study to start from. */
import type { Command } from 'commander';

export function defineNew(program: Command): void {
  program
    .command('new')
    .argument('<name>', 'name of the study: NAME.yaml is written here')
    .summary('a commented study to start from')
    .description('Writes a complete, flyable study with every section explained, and the schema an editor completes and checks it with.')
    .addHelpText('after', '\nExample:\n  alight new first && alight fly first.yaml')
    .action(async (name: string) => {
      const { newStudy } = await import('../study/newStudy.ts');
      const { refuseExisting, writeWhole } = await import('../results/wholeFile.ts');
      const files = newStudy(name);
      // The schema is the program's own and may be there from an earlier study.
      refuseExisting(files[0].name);
      for (const file of files) writeWhole(file.name, file.text);
      process.stdout.write(`wrote ${files.map((f) => f.name).join(', ')}. Next: alight fly ${files[0].name}\n`);
    });
}
