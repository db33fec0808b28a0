/** `alight rank`: which uncertainty matters most, and what a fix would buy. */
import type { Command } from 'commander';
import { UserError } from '../errors.ts';
import type { Part } from '../fleet/part.ts';
import { whatStands } from '../results/whatStands.ts';
import type { OpenedStudy } from '../study/load.ts';
import {
  flightOptions,
  goOn,
  isFlightsFile,
  keepOptions,
  MOST_CHUNK,
  olderStay,
  openFor,
  printJson,
  printPart,
  printWarnings,
  replacements,
  type StudyOptions,
  share,
  studyOptions,
  whole,
} from './options.ts';

interface RankCommandOptions extends StudyOptions {
  readonly rule?: string;
  readonly by?: 'group' | 'input';
  readonly group: readonly string[];
  readonly fix: readonly string[];
  readonly retune?: boolean;
  readonly toward?: number;
  readonly campaign?: number;
  readonly strength?: 'half' | 'perfect';
  readonly sobol?: boolean;
  readonly size?: number;
  readonly secondOrder?: boolean;
  readonly untilSeparated?: boolean;
  readonly out?: string;
  readonly force?: boolean;
  readonly resume?: boolean;
  readonly part?: Part;
  readonly threads?: number;
  readonly chunk?: number;
}

/** Attempts in a campaign at most, as in the study. */
const MOST_ATTEMPTS = 200;
/** Rows of a design at most: each is flown once for every block. */
const MOST_ROWS = 2 ** 20;

const more = (text: string, all: readonly string[]): readonly string[] => [...all, text];

export function defineRank(program: Command): void {
  const command = program.command('rank').argument('<study|results>', 'study file (YAML), or a results folder or flights file');
  keepOptions(studyOptions(flightOptions(command)))
    .option('--rule <name>', 'ignition rule (default: the first)')
    .option('--by <what>', 'group: groups, and the inputs of the leading ones (default); input: every input', groupOrInput)
    .option('--group <name=inputs>', 'a group of your own, inputs parted by commas; repeatable', more, [])
    .option(
      '--fix <changes>',
      'what these changes buy together: name=half, name=perfect, input=value, setting=value, noise=off; repeatable',
      more,
      [],
    )
    .option(
      '--retune',
      'with --fix: judge each a second time with the lighting height retuned with and without it (at most a fifth more flights)',
    )
    .option(
      '--toward <share>',
      'fixes step by step until so many land (80%): the best, then the best beside it, constants following',
      share,
    )
    .option('--strength <what>', 'with --toward: half (default), later the rest too; perfect: all of a thing at once', halfOrPerfect)
    .option('--campaign <attempt>', 'also what each fix buys for a first landing by this attempt of one vehicle', whole(1, MOST_ATTEMPTS))
    .option('--sobol', 'variance-based: shares of each alone and in all, from a design of its own')
    .option('--size <number>', 'with --sobol: rows of the design, a power of two (default: 1024)', whole(1, MOST_ROWS))
    .option('--second-order', 'with --sobol: pairs too, for twice the flights')
    .option('--until-separated', 'with --sobol: stop at an eighth, a quarter or half of the size once one stands first')
    .option('--out <folder>', 'also write ranking.json and ranking.arrow there')
    .option('--chunk <number>', 'flights a worker takes at a time; changes no result', whole(1, MOST_CHUNK))
    .summary('which uncertainty matters most: what would a fix buy?')
    .description(
      'Of a study: flies it again with one thing perfect or half as uncertain, on the same simulated luck, and says what each fix buys.\n--flights is the number for each fix (default: 1,500; with --toward 3,000, half on the luck that chooses and half on the one that reports). With --sobol: variance shares.\nOf results: ranks by flights already flown, and flies nothing.',
    )
    .addHelpText(
      'after',
      '\nExamples:\n  alight rank studies/thistledown.yaml\n  alight rank studies/thistledown.yaml --fix ascent.impulseFactor=half,accelerometer.biasX=0,gusts=off\n  alight rank studies/thistledown.yaml --fix phases.replay=on --retune\n  alight rank studies/thistledown.yaml --toward 80% --fix phases.replay=on\n  alight rank studies/thistledown.yaml --sobol --size 1024\n  alight rank thistledown-results',
    )
    .action(run);
}

function groupOrInput(text: string): 'group' | 'input' {
  if (text === 'group' || text === 'input') return text;
  throw new UserError(`--by: read "${text}"; expected group or input`);
}

function halfOrPerfect(text: string): 'half' | 'perfect' {
  if (text === 'half' || text === 'perfect') return text;
  throw new UserError(`--strength: read "${text}"; expected half or perfect`);
}

async function run(path: string, options: RankCommandOptions): Promise<void> {
  const flown = whatStands(path) === 'folder' || isFlightsFile(path);
  refuseStrays(options, flown);
  const json = options.json ?? false;
  if (flown) {
    const { rankResults } = await import('../analysis/read/rankResults.ts');
    const ranking = await rankResults(path, { ...options, groups: options.group });
    printWarnings(ranking.warnings);
    if (json) return printJson(ranking);
    const { flownRankingText } = await import('./rankText.ts');
    return print(flownRankingText(ranking), wroteText(options.out));
  }
  const opened = await openFor(path, options);
  printWarnings(opened.warnings);
  if (options.toward !== undefined) return climbToward(options.toward, path, opened, options);
  const { withProgressAndInterrupt } = await import('./progressAndInterrupt.ts');
  const { secondOrder, group, fix, set, ...rest } = options;
  const common = {
    ...rest,
    groups: group,
    overrides: replacements(options),
  };
  const { rankSobol } = await import('../analysis/rank/rankSobol.ts');
  const { rankFixes } = await import('../analysis/rank/rankFixes.ts');
  const { ranking, run, folder } = await withProgressAndInterrupt(json, async (watch) =>
    options.sobol
      ? rankSobol(opened, { ...common, ...watch, pairs: secondOrder ?? false })
      : rankFixes(opened, { ...common, ...watch, fixes: fix, reopen: (given) => openFor(path, options, given) }),
  );
  printWarnings(ranking.warnings.filter((line) => !opened.warnings.includes(line)));
  if (ranking.stoppedBy === 'interrupted') process.exitCode = 130;
  if (options.part !== undefined) return printPart(options.part, { run, folder }, options.json ?? false, options);
  if (json) return printJson({ ...ranking, run });
  const { runText, sobolRankingText } = await import('./rankText.ts');
  const { fixRankingText } = await import('./fixRankText.ts');
  await print(
    ranking.kind === 'fixes' ? fixRankingText(ranking) : sobolRankingText(ranking),
    lastLines(runText(ranking, run), folder, options),
  );
}

async function climbToward(wish: number, path: string, opened: OpenedStudy, options: RankCommandOptions): Promise<void> {
  const { climb } = await import('../analysis/rank/climb.ts');
  const { withProgressAndInterrupt } = await import('./progressAndInterrupt.ts');
  const { group, fix, set, ...rest } = options;
  const json = options.json ?? false;
  const own = { wish, groups: group, fixes: fix, overrides: replacements(options) };
  const { staircase, run, folder } = await withProgressAndInterrupt(json, (watch) =>
    climb(opened, { ...rest, ...own, ...watch, reopen: (given) => openFor(path, options, given) }),
  );
  printWarnings(staircase.warnings.filter((line) => !opened.warnings.includes(line)));
  if (staircase.stoppedBy === 'interrupted') process.exitCode = 130;
  if (json) return printJson({ ...staircase, run });
  const { staircaseText } = await import('./staircaseText.ts');
  const { runText } = await import('./rankText.ts');
  await print(staircaseText(staircase, opened.study.touchdown.model), lastLines(runText(staircase, run), folder, options));
}

/** Options that do not go together. @throws UserError with all of them */
function refuseStrays(options: RankCommandOptions, flown: boolean): void {
  const problems: string[] = [];
  const given = (names: Readonly<Record<string, unknown>>): string[] =>
    Object.entries(names).flatMap(([name, value]) => (value === undefined || (Array.isArray(value) && value.length === 0) ? [] : [name]));
  const sobolOnly = { '--size': options.size, '--second-order': options.secondOrder, '--until-separated': options.untilSeparated };
  if (flown) {
    const { set, flights, seed, threads, chunk, fix, by, sobol, resume, part } = options;
    const flying = {
      '--resume': resume,
      '--part': part,
      '--set': set,
      '--flights': flights,
      '--seed': seed,
      '--threads': threads,
      '--chunk': chunk,
      '--fix': fix,
      '--by': by,
      '--toward': options.toward,
      '--campaign': options.campaign,
    };
    for (const name of given({ ...flying, '--sobol': sobol, ...sobolOnly })) {
      problems.push(`${name}: these flights are flown already; give the study to fly others`);
    }
  } else if (options.sobol) {
    for (const name of given({
      '--fix': options.fix,
      '--flights': options.flights,
      '--toward': options.toward,
      '--campaign': options.campaign,
    }))
      problems.push(`${name}: not with --sobol`);
  } else for (const name of given(sobolOnly)) problems.push(`${name}: only with --sobol`);
  if (options.toward !== undefined && options.campaign !== undefined) problems.push('--campaign: not with --toward');
  if (options.toward !== undefined && options.retune) problems.push('--retune: not with --toward, which always retunes');
  else if (options.retune && options.fix.length === 0) problems.push('--retune: only with --fix');
  if (options.strength !== undefined && options.toward === undefined) problems.push('--strength: only with --toward');
  if (options.by !== undefined && options.toward === undefined && options.fix.length > 0)
    problems.push('--by: not with --fix, which ranks nothing');
  if (problems.length > 0) throw new UserError(problems);
}

function lastLines(how: string, folder: string | null, options: RankCommandOptions): string {
  const older = folder === null ? [] : olderStay(folder, options.out ?? folder);
  const left = process.exitCode === 130 && folder !== null ? [goOn(options)] : [];
  return [how, wroteText(folder ?? undefined), ...older, ...left].join('\n').trimEnd();
}

function wroteText(out: string | undefined): string {
  return out === undefined ? '' : `The ranking is in ${out}`;
}

async function print(text: string, last: string): Promise<void> {
  const { cautionsText } = await import('./summaryText.ts');
  process.stdout.write(`${[text, ...(last === '' ? [] : [last]), cautionsText()].join('\n\n')}\n`);
}
