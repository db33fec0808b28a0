/** `alight check`: is this study sound, and does its nominal vehicle fly? */
import type { Command } from 'commander';
import { UserError } from '../errors.ts';
import { openFor, printJson, type StudyOptions, studyOptions } from './options.ts';

interface CheckOptions extends StudyOptions {
  readonly fly?: boolean;
  readonly rule?: string;
}

export function defineCheck(program: Command): void {
  studyOptions(program.command('check').argument('<study>', 'study file (YAML)'))
    .option('--fly', 'fly the nominal vehicle too, without noise, and read out what is wrong with the flight and what would mend it')
    .option('--rule <name>', 'with --fly: ignition rule to fly (default: the study’s first)')
    .summary('is this study sound? every problem at once, with line and column')
    .description('Reads a study and reports every problem at once, each with line and column, then what it warns of.')
    .addHelpText('after', '\nExamples:\n  alight check studies/thistledown.yaml\n  alight check --fly studies/thistledown.yaml')
    .action(async (path: string, options: CheckOptions) => {
      const opened = await openFor(path, options);
      const { study } = opened;
      if (options.rule !== undefined && !options.fly) throw new UserError('--rule: it names the rule that --fly flies; add --fly');
      const reading = options.fly ? (await import('../analysis/nominal/readNominal.ts')).readNominal(study, options.rule) : null;
      // The flight knows better what the study's numbers only foretold of it.
      const warnings = reading === null ? opened.warnings : opened.warnings.filter((warning) => !opened.foretold.includes(warning));
      const { varyingInputs } = await import('../inputs/varying.ts');
      const legs = study.touchdown.model === 'springs' ? (await import('../analysis/nominal/legs.ts')).readLegs(study) : null;
      const { precisionOf } = await import('../analysis/fly/precision.ts');
      const precision = precisionOf(study.flights);
      const facts = {
        title: study.title,
        varying: varyingInputs(study).length,
        rules: study.rules.map((r) => r.name),
        flights: study.flights,
        precision,
        warnings,
        ...(study.sample === null ? {} : { particles: study.sample.particles }),
        ...(legs === null ? {} : { legs }),
      };
      if (options.json) return printJson(reading === null ? facts : { ...facts, nominal: reading });
      const notes = warnings.length === 0 ? 'no warnings' : `${warnings.length} warning${warnings.length === 1 ? '' : 's'}:`;
      process.stdout.write(
        `${path}: sound. ${study.title}: ${facts.varying} inputs vary, rules ${facts.rules.join(', ')}, ${study.flights} flights; ${notes}\n`,
      );
      if (study.sample !== null) {
        process.stdout.write(
          `What stays with this vehicle is drawn from ${study.sample.particles} particles that learnt from a logbook.\n`,
        );
      }
      for (const warning of warnings) process.stdout.write(`  ${warning}\n`);
      if (legs !== null) process.stdout.write(`\n${(await import('./legsText.ts')).legsText(legs)}\n`);
      const { precisionText } = await import('./precisionText.ts');
      process.stdout.write(`${precisionText(precision, study.design)}\n`);
      if (reading === null) return;
      const { nominalText } = await import('./nominalText.ts');
      process.stdout.write(`\n${nominalText(reading)}\n`);
    });
}
