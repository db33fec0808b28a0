/** `alight trace`: one flight again, in full. */
import { type Command, InvalidArgumentError } from 'commander';
import type { AttemptNumber, TracedFlight } from '../analysis/fly/traceFlight.ts';
import { UserError } from '../errors.ts';
import type { Study } from '../study/study.ts';
import { openFor, printJson, printWarnings, type StudyOptions, studyOptions, whole } from './options.ts';

interface TraceOptions extends StudyOptions {
  readonly rule?: string;
  readonly policy?: string;
  readonly out?: string;
  readonly log?: string;
  readonly force?: boolean;
}

function flightNumber(text: string): number | AttemptNumber | 'nominal' {
  if (text === 'nominal') return text;
  const [campaign, attempt] = /^(\d+):(\d+)$/.exec(text)?.slice(1).map(Number) ?? [0, 0];
  if (Number.isSafeInteger(campaign) && campaign >= 1 && attempt >= 1) return { campaign, attempt };
  const value = Number(text);
  if (!Number.isSafeInteger(value) || value < 1)
    throw new InvalidArgumentError('expected a flight number from 1, an attempt as CAMPAIGN:ATTEMPT, or the word nominal.');
  return value;
}

export function defineTrace(program: Command): void {
  const command = program
    .command('trace')
    .argument('<study>', 'study file (YAML), or the study.yaml of a results folder')
    .argument(
      '<flight>',
      'flight number, CAMPAIGN:ATTEMPT of campaigns, or nominal (every input nominal; noise, gusts and stalls off)',
      flightNumber,
    );
  studyOptions(command)
    .option('--rule <name>', 'ignition rule to fly (default: the study’s first)')
    .option('--policy <name>', 'of an attempt: what was changed after a miss, as campaign.arrow names it (default: keep)')
    .option('--seed <seed>', 'seed the flights were flown with (default: what the study says)')
    .option('--flights <number>', 'flights of the study (matters to a Latin hypercube)', whole(1))
    .option('--out <file>', 'write the time history here: .arrow or .csv')
    .option('--log <file>', 'write what the flight computer itself would have logged here (.csv), for alight replay')
    .option('--force', 'replace the files if they exist')
    .summary('one flight again, in full')
    .description('Flies one numbered flight again, bit for bit, lists its events and writes its full time history, truth beside belief.')
    .addHelpText(
      'after',
      '\nExamples:\n  alight trace studies/thistledown.yaml 17 --out flight-17.csv\n  alight trace studies/thistledown.yaml nominal --set sensors.rounding=off --json',
    )
    .action(run);
}

async function withPolicy(which: number | AttemptNumber | 'nominal', policy: string | undefined): Promise<typeof which> {
  if (policy === undefined) return which;
  if (typeof which !== 'object') throw new UserError('--policy: only an attempt, CAMPAIGN:ATTEMPT, has one');
  const { readOnePolicy } = await import('../analysis/shift/correction.ts');
  return { ...which, policy: readOnePolicy(policy) };
}

async function run(path: string, which: number | AttemptNumber | 'nominal', options: TraceOptions): Promise<void> {
  const opened = await openFor(path, options);
  printWarnings(opened.warnings);
  const places = [...(options.out === undefined ? [] : [options.out]), ...(options.log === undefined ? [] : [options.log])];
  if (places.length > 0) {
    const { checkPlaces } = await import('../results/wholeFile.ts');
    const { traceKind } = await import('../results/traceFile.ts');
    if (options.log !== undefined && traceKind(options.log) !== 'trace')
      throw new UserError(`${options.log}: a log is text; expected the ending .csv`);
    checkPlaces(
      places.map((place) => ({ path: place, kind: traceKind(place) })),
      options.force ?? false,
    );
  }
  const { traceFlight } = await import('../analysis/fly/traceFlight.ts');
  const traced = traceFlight(opened.study, await withPolicy(which, options.policy), options.rule);
  if (options.out !== undefined) {
    const { writeTrace } = await import('../results/traceFile.ts');
    await writeTrace(options.out, {
      columns: traced.trace.columns,
      values: traced.trace.data,
      metadata: {
        title: opened.study.title,
        flight: String(traced.flight ?? 'nominal'),
        rule: traced.rule,
        study: opened.text,
      },
    });
  }
  if (options.log !== undefined) await writeLog(options.log, opened.study, traced);
  const { inputs, outputs, rule, flight, trace } = traced;
  if (options.json)
    return printJson({ title: opened.study.title, flight: flight ?? 'nominal', rule, outputs, inputs, events: trace.events });
  const { heading, table } = await import('./terminal.ts');
  const { plain } = await import('../report/words.ts');
  const { OUTPUTS } = await import('../flight/outputs.ts');
  const cell = (value: number): string => (Number.isFinite(value) ? value.toFixed(2) : '');
  const events = trace.events.map((e) => [e.time.toFixed(3), e.what, cell(e.height), cell(e.believedHeight), cell(e.speedUp)]);
  const values = OUTPUTS.map((o) => {
    const value = outputs[o.key];
    return [o.key, typeof value === 'number' ? plain(value) : value === null ? '' : String(value), o.unit, o.meaning];
  });
  const lines = [
    heading(
      `${opened.study.title}: ${flight === null ? 'the nominal flight' : `${typeof flight === 'string' ? 'attempt' : 'flight'} ${flight}`} by rule ${rule}: ${outputs.outcome}`,
    ),
    '',
    table(['time s', 'event', 'height m', 'believed m', 'rising m/s'], events, [1]),
    '',
    table(['output', 'value', 'unit', 'meaning'], values, [0, 2, 3]),
    ...(options.out === undefined ? [] : ['', `time history in ${options.out}`]),
    ...(options.log === undefined
      ? []
      : ['', `the flight computer’s log in ${options.log}; its first line says how to replay it bit for bit`]),
  ];
  process.stdout.write(`${lines.join('\n')}\n`);
}

/** With a first line that says with which settings of the computer it was written: those are inputs, and drawn. */
async function writeLog(path: string, study: Study, traced: TracedFlight): Promise<void> {
  const { LOG_COLUMNS } = await import('../flight/computerLog.ts');
  const { traceCsv } = await import('../results/traceFile.ts');
  const { writeWhole } = await import('../results/wholeFile.ts');
  const { computerInputs } = await import('../analysis/fly/traceFlight.ts');
  const set = computerInputs(study, traced).map(([key, value]) => ` --set ${key}=${value}`);
  const head = `# alight log of ${traced.flight ?? 'nominal'}: alight replay STUDY LOG --rule ${traced.rule}${set.join('')}\n`;
  writeWhole(path, head + traceCsv({ columns: LOG_COLUMNS, values: traced.log, metadata: {} }));
}
