/** `alight card`: what one needs at the pad, on one page. */
import { basename, join } from 'node:path';
import type { Command } from 'commander';
import type { FieldCard } from '../analysis/card/fieldCard.ts';
import { UserError } from '../errors.ts';
import {
  flightOptions,
  isFlightsFile,
  openFor,
  printJson,
  printWarnings,
  replacements,
  type StudyOptions,
  share,
  studyOptions,
} from './options.ts';

interface CardOptions extends StudyOptions {
  readonly rule?: string;
  readonly threads?: number;
  readonly out?: string;
  readonly force?: boolean;
  readonly text?: boolean;
  readonly open?: boolean;
  readonly least?: number;
  readonly cHeader?: string;
  readonly constantsJson?: string;
  readonly campaign?: string;
}

export function defineCard(program: Command): void {
  const command = program
    .command('card')
    .argument('<study|results>', 'study file (YAML), which is flown, or a results folder or flights file');
  studyOptions(flightOptions(command))
    .option('--rule <name>', 'ignition rule (default: the first)')
    .option('--least <share>', 'success wanted: judge all flights and each band of wind and mass go, no-go or unclear', share)
    .option('--campaign <folder>', 'campaigns flown by several policies: what to change after a miss goes on the card')
    .option('--text', 'print the card as plain text; with --out, write that')
    .option('--out <file>', 'where the card goes (default: card.html in the results folder, or <study>-card.html)')
    .option('--c-header <file>', 'also write the rule’s constants as a C header')
    .option('--constants-json <file>', 'also write them as JSON')
    .option('--force', 'replace files that exist')
    .option('--open', 'show the card when it is made')
    .summary('one page for the field: constants, expected band, go and no-go, checks')
    .description(
      'Makes one page to print and take along: the rule’s constants as programmed, the apogee to expect, how success goes with wind and mass, checks suggested by what flights failed of, and a table for the attempts.',
    )
    .addHelpText(
      'after',
      '\nExamples:\n  alight card thistledown-results --least 80%\n  alight card studies/thistledown.yaml --flights 2000 --text\n  alight card thistledown-results --c-header rule.h',
    )
    .action(run);
}

async function run(path: string, options: CardOptions): Promise<void> {
  const { checkPlaces, writeWhole } = await import('../results/wholeFile.ts');
  const { whatStands } = await import('../results/whatStands.ts');
  const folder = whatStands(path) === 'folder';
  const isResults = folder || isFlightsFile(path);
  const file = options.text ? options.out : (options.out ?? defaultCard(path, folder));
  // All of them before any flying: none may be written when another cannot be.
  const places = [
    { path: file, kind: options.text ? 'cardText' : 'page' },
    { path: options.cHeader, kind: 'header' },
    { path: options.constantsJson, kind: 'answers' },
  ] as const;
  checkPlaces(
    places.flatMap(({ path: place, kind }) => (place === undefined ? [] : [{ path: place, kind }])),
    options.force ?? false,
  );
  const card = isResults ? await fromResults(path, options) : await fromStudy(path, options);
  const { cardPage, cardText } = await import('../report/card.ts');
  const least = options.least ?? null;
  const content = options.text ? cardText(card, least) : cardPage(card, least);
  const { cHeader, constantsJson } = await import('../report/ruleConstants.ts');
  const files: readonly (readonly [string | undefined, () => string])[] = [
    [file, () => content],
    [options.cHeader, () => cHeader(card)],
    [options.constantsJson, () => constantsJson(card)],
  ];
  const written: string[] = [];
  for (const [name, make] of files) {
    if (name === undefined) continue;
    writeWhole(name, make());
    written.push(name);
  }
  if (options.json) printJson(card);
  else if (file === undefined) process.stdout.write(content);
  else process.stdout.write(`${written.join('\n')}\n`);
  if (options.open && file !== undefined) {
    const { show } = await import('./report.ts');
    await show(file);
  }
}

function defaultCard(path: string, folder: boolean): string {
  if (folder) return join(path, 'card.html');
  return `${basename(path).replace(/\.(ya?ml|arrow)$/, '')}-card.html`;
}

async function fromResults(path: string, options: CardOptions): Promise<FieldCard> {
  if (options.set.length > 0 || options.flights !== undefined || options.seed !== undefined) {
    throw new UserError(`${path}: results are as they were flown; --set, --flights and --seed need a study file`);
  }
  const { readResults } = await import('../analysis/read/readResults.ts');
  const { cardOfResults } = await import('../analysis/card/fieldCard.ts');
  const read = await readResults(options.campaign === undefined ? [path] : [path, options.campaign], options.rule);
  printWarnings(read.cut);
  const card = cardOfResults(read);
  if (card === null) throw new UserError(`${path}: has no flights.arrow; a card is made from flights`);
  return card;
}

async function fromStudy(path: string, options: CardOptions): Promise<FieldCard> {
  if (options.campaign !== undefined) {
    throw new UserError(`--campaign: needs results beside it; fly first (alight fly ${path}), then name the results`);
  }
  const opened = await openFor(path, options);
  printWarnings(opened.warnings);
  const { flyCard } = await import('../analysis/card/fieldCard.ts');
  const { withProgressAndInterrupt } = await import('./progressAndInterrupt.ts');
  const { rule, threads } = options;
  return withProgressAndInterrupt(options.json ?? false, async (watch) => {
    const card = await flyCard(opened, {
      ...(rule === undefined ? {} : { rule }),
      ...(threads === undefined ? {} : { threads }),
      overrides: replacements(options),
      ...watch,
    });
    if (watch.stopSignal.aborted) {
      process.exitCode = 130;
      process.stderr.write(
        `interrupted: the card is made of the ${card.answers.odds.flights} flights flown, of ${card.flightsAsked} asked for\n`,
      );
    }
    return card;
  });
}
