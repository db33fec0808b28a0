/**
 * `alight inputs`, `alight outputs` and `alight outcomes`: the tables everything is derived from, and what the outcomes
 * mean.
 */
import type { Command } from 'commander';
import { printJson } from './options.ts';

export function defineTables(program: Command): void {
  program
    .command('inputs')
    .summary('every number that may vary from flight to flight')
    .description('The catalogue of inputs: key, unit, bounds and meaning. Keys go under `inputs:` in a study and after --set.')
    .option('--json', 'print as JSON')
    .addHelpText('after', '\nExample:\n  alight inputs --json')
    .action(async (options: { json?: boolean }) => {
      const { CATALOGUE } = await import('../inputs/catalogue.ts');
      const rows = CATALOGUE.map(({ key, group, unit, low, high, type, meaning }) => ({ key, group, unit, low, high, type, meaning }));
      if (options.json) return printJson(rows);
      const { table } = await import('./terminal.ts');
      const { plain } = await import('../report/words.ts');
      const range = (low: number, high: number): string => `${plain(low)} to ${plain(high)}`;
      const cells = rows.map((r) => [r.key, r.unit, r.type === 'yesNo' ? 'yes/no' : range(r.low, r.high), r.group, r.meaning]);
      process.stdout.write(`${table(['input', 'unit', 'bounds (SI)', 'group', 'meaning'], cells, [0, 1, 2, 3, 4])}\n`);
    });
  program
    .command('outputs')
    .summary('every number a flight reports')
    .description('The table of outputs: key, unit, type and meaning. They are the columns of flights.arrow.')
    .option('--json', 'print as JSON')
    .addHelpText('after', '\nExample:\n  alight outputs --json')
    .action(async (options: { json?: boolean }) => {
      const { OUTPUTS } = await import('../flight/outputs.ts');
      if (options.json) return printJson(OUTPUTS);
      const { table } = await import('./terminal.ts');
      const cells = OUTPUTS.map((r) => [r.key, r.unit, r.type === 'yesNo' ? 'yes/no' : r.type, r.meaning]);
      process.stdout.write(`${table(['output', 'unit', 'type', 'meaning'], cells, [0, 1, 2, 3])}\n`);
    });
  program
    .command('outcomes')
    .summary('every way a flight may end: what it means, and what to look at')
    .description('The outcomes in the order in which they are tried; each flight has exactly one, the first that holds.')
    .option('--json', 'print as JSON')
    .addHelpText('after', '\nExample:\n  alight outcomes')
    .action(async (options: { json?: boolean }) => {
      const { OUTCOMES } = await import('../flight/outputs.ts');
      const { OUTCOME_MEANINGS, SIMULATED_MEANINGS } = await import('../flight/outcomeMeanings.ts');
      const rows = OUTCOMES.map((outcome) => ({ outcome, ...OUTCOME_MEANINGS[outcome], simulated: SIMULATED_MEANINGS[outcome] ?? null }));
      if (options.json) return printJson(rows);
      const { heading } = await import('./terminal.ts');
      const lines = rows.flatMap(({ outcome, meaning, lookAt, simulated }) => [
        heading(outcome),
        `  ${meaning}`,
        ...(lookAt === '' ? [] : [`  look at ${lookAt}`]),
        ...(simulated === null ? [] : [`  where touchdown is simulated: ${simulated.meaning}`]),
        ...(simulated === null || simulated.lookAt === '' || simulated.lookAt === lookAt ? [] : [`    look at ${simulated.lookAt}`]),
      ]);
      process.stdout.write(`${lines.join('\n')}\n`);
    });
}
