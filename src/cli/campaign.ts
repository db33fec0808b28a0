/** `alight campaign`: attempts in a row by one builder with one vehicle, many builders over. */
import { join } from 'node:path';
import type { Command } from 'commander';
import type { Part } from '../fleet/part.ts';
import { defaultFolder } from './fly.ts';
import {
  goOn,
  keepOptions,
  openFor,
  partFolder,
  printJson,
  printPart,
  printWarnings,
  replacements,
  type StudyOptions,
  studyOptions,
  threadCount,
  whole,
} from './options.ts';

interface CampaignCommandOptions extends StudyOptions {
  readonly campaigns: number;
  readonly attempts?: number;
  readonly flyAll?: boolean;
  readonly policies?: string;
  readonly hold?: boolean;
  readonly levels?: boolean;
  readonly rule?: string;
  readonly out?: string;
  readonly force?: boolean;
  readonly resume?: boolean;
  readonly part?: Part;
  readonly threads?: number;
  readonly chunk?: number;
}

const MOST_CAMPAIGNS = 100_000;
/** As the study's section has it. */
const MOST_ATTEMPTS = 200;
/** A worker has room for all attempts of those it takes at a time. */
const MOST_AT_A_TIME = 1000;

export function defineCampaign(program: Command): void {
  const command = program.command('campaign').argument('<study>', 'study file (YAML)');
  keepOptions(studyOptions(command))
    .option('--campaigns <number>', 'campaigns to fly, a vehicle each', whole(1, MOST_CAMPAIGNS), 1000)
    .option('--attempts <number>', 'attempts at most in each (default: what the study says)', whole(1, MOST_ATTEMPTS))
    .option('--fly-all', 'fly every attempt, also after a landing: measures vehicles better, and takes longer')
    .option(
      '--policies <list>',
      'what to change after a miss, with commas between: keep, correct:G (G of each miss, 0 to 2), harmonic, weighted, G-swept',
    )
    .option('--hold', 'also with what stays held at its centre, group by group: what is worth measuring before you fly')
    .option('--levels', 'tell the vehicle’s own share from what days and purchases of motors add, by flights of their own (12 a campaign)')
    .option('--rule <name>', 'ignition rule to fly (default: the study’s first)')
    .option('--seed <seed>', 'seed of every random stream (default: what the study says)')
    .option('--threads <number>', 'worker threads (default: one a core)', threadCount)
    .option('--chunk <number>', 'campaigns a worker takes at a time; changes no result', whole(1, MOST_AT_A_TIME))
    .option('--out <folder>', 'folder for the results (default: <study>-campaign)')
    .summary('attempts in a row: how many until a first landing, how unlike vehicles are, what to change after a miss')
    .description(
      'Flies campaigns: attempt after attempt of one vehicle, which keeps what the study’s inputs say that `stays`,\nuntil its first landing or the last attempt. Writes campaign.arrow, campaign.json, study.yaml and run.json.',
    )
    .addHelpText(
      'after',
      '\nExamples:\n  alight campaign studies/thistledown.yaml --campaigns 1000 --attempts 20\n  alight campaign studies/thistledown.yaml --policies correct:0.5,harmonic,weighted --hold --levels\n  alight campaign studies/thistledown.yaml --campaigns 200 --attempts 10 --fly-all --set campaign.flightsADay=1',
    )
    .action(run);
}

async function run(path: string, given: CampaignCommandOptions): Promise<void> {
  const attempts = given.attempts === undefined ? [] : [`campaign.attempts=${given.attempts}`];
  const options = { ...given, set: [...given.set, ...attempts] };
  const opened = await openFor(path, options);
  printWarnings(opened.warnings);
  const { readPolicies } = await import('../analysis/shift/correction.ts');
  const policies = options.policies === undefined ? [] : readPolicies(options.policies);
  const { campaignStudy } = await import('../analysis/campaign/campaignStudy.ts');
  const { withProgressAndInterrupt } = await import('./progressAndInterrupt.ts');
  const out = options.out ?? partFolder(defaultFolder(path, 'campaign'), options.part);
  const { campaign, run, folder } = await withProgressAndInterrupt(
    options.json ?? false,
    (watch) => campaignStudy(opened, { ...options, policies, out, overrides: replacements(options), ...watch }),
    'campaigns',
  );
  if (campaign.stoppedBy === 'interrupted') process.exitCode = 130;
  if (options.part !== undefined) return printPart(options.part, { run, folder }, options.json ?? false, options);
  const place = folder ?? out;
  if (options.json) return printJson({ ...campaign, run, folder: place });
  const { campaignText } = await import('./campaignText.ts');
  const { cautionsText } = await import('./summaryText.ts');
  const { count } = await import('../report/words.ts');
  const { flightsOf, flownTo } = await import('./flownText.ts');
  const flown = campaign.firstLanding?.campaigns ?? 0;
  const lines = [
    campaign.finding,
    '',
    `${campaign.title}: ${count(flown)} campaigns by rule ${campaign.rule}, seed ${campaign.seed}`,
    ...campaignText(campaign),
    '',
    ...flownTo(place, out, run, flightsOf(run)),
    ...(campaign.stoppedBy === 'interrupted'
      ? [
          flown + campaign.lost.length < campaign.campaignsAsked
            ? `Interrupted: campaigns 1 to ${count(flown + campaign.lost.length)} are kept. ${goOn(options)}`
            : `Interrupted: all campaigns as programmed are kept, and what was flown of the other ways. ${goOn(options)}`,
        ]
      : []),
    `See any attempt again: alight trace ${join(place, 'study.yaml')} CAMPAIGN:ATTEMPT${campaign.policies === null ? '' : ' --policy NAME'}`,
    ...campaign.lost.map((l) => `campaign ${l.flight} is left out: its worker failed twice: ${l.reason}`),
    '',
    cautionsText(),
  ];
  process.stdout.write(`${lines.join('\n')}\n`);
}
