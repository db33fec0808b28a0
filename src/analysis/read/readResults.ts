/**
 * Whatever a results folder holds, read back for the page and the card: the flights with the columns those need, the study in the file,
 * and the answers of other commands that stand beside. Refuses what does not belong together. Draws nothing, flies nothing.
 */
import { existsSync, readFileSync, statSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { UserError } from '../../errors.ts';
import { NO_RESULT_REASONS, type NoResultReason } from '../../flight/outputs.ts';
import { CATALOGUE, inputIndex } from '../../inputs/catalogue.ts';
import { varyingInputs } from '../../inputs/varying.ts';
import { fileFault } from '../../results/fileFault.ts';
import { programVersion, type ReadHeader } from '../../results/header.ts';
import { openFlights } from '../../results/reader.ts';
import { studyFolder } from '../../study/files.ts';
import { readStudy } from '../../study/load.ts';
import { nominalInputs } from '../../study/nominal.ts';
import type { Study } from '../../study/study.ts';
import { studyHash } from '../../study/studyHash.ts';
import type { Comparison } from '../compare/compareRules.ts';
import type { DropRules } from '../drops/dropRules.ts';
import type { FlightColumns } from '../flights/flightColumns.ts';
import type { RunFacts, StudyFacts } from '../flights/flightRun.ts';
import { ruleName } from '../fly/flyStudy.ts';
import { type Answers, answers } from '../fly/summary.ts';
import type { Ranking } from '../rank/ranking.ts';
import type { Tuning } from '../tune/tuning.ts';

/** Outputs read of every flight, beside the varying inputs. */
const OUTPUT_KEYS = [
  'sink',
  'slide',
  'tilt',
  'landingEast',
  'landingNorth',
  'landingDistance',
  'apogee',
  'believedApogee',
  'ignitionHeight',
  'believedIgnitionHeight',
  'ignitionHeightError',
  'ignitionSpeed',
] as const;

/** Flights of one rule, out of a flights file. */
export interface FlightsRead {
  readonly header: ReadHeader;
  readonly rule: string;
  readonly flights: FlightColumns;
  readonly answers: Answers;
  /** Why flights have no result, with how many; reasons that did not occur are left out. */
  readonly reasons: readonly { readonly reason: NoResultReason; readonly count: number }[];
}

/** The names of answers that other commands leave beside the flights. */
const ANSWER_FILES = ['summary.json', 'comparison.json', 'ranking.json', 'drops.json', 'tuning.json'] as const;
type AnswerFile = (typeof ANSWER_FILES)[number];

/** What other commands answered, each by this version of the program, for this study. */
export interface AnswersFound {
  readonly comparison: Comparison | null;
  /** At most one of each kind. */
  readonly rankings: readonly Ranking[];
  readonly drops: DropRules | null;
  /** At most one for each rule. */
  readonly tunings: readonly Tuning[];
}

export interface ResultsRead {
  /** What was given, as problems and commands name it. */
  readonly path: string;
  /** Where `alight trace` finds the study again, from the folder that holds the results: the same wherever it is said. */
  readonly studyPath: string;
  readonly study: Study;
  readonly studyHash: string;
  /** Version of the program that made the results. */
  readonly version: string;
  readonly warnings: readonly string[];
  readonly overrides: readonly string[];
  /** null when the folder has no flights file. */
  readonly flown: FlightsRead | null;
  readonly found: AnswersFound;
  /** How the run went on its machine; null when not kept. */
  readonly run: RunFacts | null;
}

/** One of the paths given. */
interface Source {
  readonly path: string;
  readonly folder: string;
  /** null when it has no flights. */
  readonly flightsPath: string | null;
  /** Whether the files beside the flights count too. */
  readonly beside: boolean;
  readonly found: ReadonlyMap<AnswerFile, StudyFacts>;
}

/**
 * @param paths results folders or flights files, at least one; the first with flights shows them, the others add their answers
 * @param rule whose flights; the first in the file when left out
 * @throws UserError when there is nothing to read, a file is damaged or of another version, or files do not belong together
 */
export async function readResults(paths: readonly string[], rule?: string): Promise<ResultsRead> {
  const sources = paths.map(source);
  const main = sources.find(({ flightsPath }) => flightsPath !== null) ?? sources[0];
  if (main === undefined) throw new RangeError('no results were named');
  const raw = main.flightsPath === null ? null : await readFlights(main.flightsPath, rule);
  const where = main.flightsPath ?? join(main.folder, 'study.yaml');
  const text = raw?.header.study ?? studyText(main);
  const found = new Map<string, { readonly name: AnswerFile; readonly facts: StudyFacts }>();
  for (const one of sources) {
    const own = one === main ? text : one.found.size === 0 ? null : studyText(one);
    if (own === null) continue;
    for (const [name, facts] of one.found) {
      const file = join(one.folder, name);
      if (facts.studyHash !== studyHash(own)) throw new UserError(`${file}: belongs to another study than what stands beside it`);
      if (name === 'summary.json' && one !== main) continue;
      if (sameStudy(own) !== sameStudy(text)) throw new UserError(`${file}: belongs to another study than ${where}`);
      const question = questionOf(name, facts);
      if (found.has(question)) throw new UserError(`${file}: a second answer to the same question (${question}); name one`);
      found.set(question, { name, facts });
    }
  }
  const { study, warnings } = await openText(text, where);
  const all = [...found.values()];
  const of = <T extends StudyFacts>(name: AnswerFile): T[] => all.filter((one) => one.name === name).map((one) => one.facts as T);
  const facts = of('summary.json')[0] ?? all[0]?.facts;
  const beside = join(main.folder, 'study.yaml');
  return {
    path: main.path,
    studyPath: main.beside && existsSync(beside) ? join(basename(resolve(main.folder)), 'study.yaml') : 'study.yaml',
    study,
    studyHash: studyHash(text),
    version: raw?.header.programVersion ?? programVersion(),
    warnings: facts?.warnings ?? warnings,
    overrides: raw?.header.overrides ?? facts?.overrides ?? [],
    flown: raw === null ? null : { ...raw, answers: answers(raw.flights, study.limits) },
    found: {
      comparison: of<Comparison>('comparison.json')[0] ?? null,
      rankings: of<Ranking>('ranking.json'),
      drops: of<DropRules>('drops.json')[0] ?? null,
      tunings: of<Tuning>('tuning.json'),
    },
    run: main.beside ? (readJson(join(main.folder, 'run.json')) as RunFacts | null) : null,
  };
}

/** Two answers to one question would contradict each other on a page; rankings of other kinds and tunings of other rules do not. */
function questionOf(name: AnswerFile, facts: StudyFacts): string {
  if (name === 'ranking.json') return `ranking, ${(facts as Ranking).kind}`;
  if (name === 'tuning.json') return `tuning of rule ${(facts as Tuning).rule}`;
  return name.replace('.json', '');
}

function source(path: string): Source {
  const stat = statSync(path, { throwIfNoEntry: false });
  if (stat === undefined) throw new UserError(`${path}: does not exist; expected a results folder or a flights file (.arrow)`);
  const folder = stat.isDirectory() ? path : dirname(path);
  const flightsPath = stat.isDirectory() ? join(path, 'flights.arrow') : path;
  // A flights file given by itself speaks for itself alone: another study's answers may stand beside it.
  const beside = stat.isDirectory() || basename(path) === 'flights.arrow';
  const found = new Map<AnswerFile, StudyFacts>();
  if (beside) {
    for (const name of ANSWER_FILES) {
      const facts = readAnswers(join(folder, name));
      if (facts !== null) found.set(name, facts);
    }
  }
  const flights = existsSync(flightsPath);
  // A summary alone is only about its flights.
  if (!flights && [...found.keys()].every((name) => name === 'summary.json')) {
    throw new UserError(`${path}: holds no results: expected flights.arrow, comparison.json, ranking.json, drops.json or tuning.json`);
  }
  return { path, folder, flightsPath: flights ? flightsPath : null, beside, found };
}

function studyText({ path, folder }: Source): string {
  const text = readText(join(folder, 'study.yaml'));
  if (text === null) throw new UserError(`${path}: lacks study.yaml, which says what the answers are about`);
  return text;
}

/** What must be equal for answers to stand on one page: the study but for how many flights were flown, and by which luck. */
function sameStudy(text: string): string {
  return text.replace(/^(flights|seed): .*$/gm, '');
}

/** The study written in a results file. @throws UserError when this version of the program cannot read it */
function openText(text: string, name: string): ReturnType<typeof readStudy> {
  return readStudy(text, name, studyFolder(name, false));
}

async function readFlights(path: string, wanted: string | undefined): Promise<Omit<FlightsRead, 'answers'>> {
  const file = await openFlights(path);
  try {
    const { header } = file;
    const { study } = await openText(header.study, path);
    if (wanted !== undefined && !header.rules.includes(wanted)) {
      throw new UserError(`--rule: read "${wanted}"; expected a rule flown here: ${header.rules.join(', ')}`);
    }
    const rule = ruleName(study, wanted ?? header.rules[0]);
    const keys = [...varyingInputs(study).map((c) => CATALOGUE[c].key), ...OUTPUT_KEYS];
    const place = header.rules.indexOf(rule);
    const rules = file.rules();
    const rows: number[] = [];
    rules.forEach((r, i) => {
      if (r === place) rows.push(i);
    });
    // One rule alone has all rows: nothing to pick.
    const alone = rows.length === rules.length;
    const pick = (values: Float64Array): Float64Array => (alone ? values : Float64Array.from(rows, (i) => values[i]));
    const outcomes = file.outcomes();
    const flights: FlightColumns = {
      outcome: alone ? outcomes : Uint8Array.from(rows, (i) => outcomes[i]),
      number: pick(file.number('flight')),
      columns: Object.fromEntries(file.numbers(keys).map((values, i) => [keys[i], pick(values)])),
    };
    const why = pick(Float64Array.from(file.reasons()));
    const reasons = NO_RESULT_REASONS.map((reason, i) => ({ reason, count: why.reduce((sum, r) => (r === i ? sum + 1 : sum), 0) }));
    return { header, rule, flights, reasons: reasons.filter(({ reason, count }) => reason !== '' && count > 0) };
  } finally {
    await file.close();
  }
}

/** Answers of another command; null when there are none. @throws UserError when they are damaged or of another version */
function readAnswers(path: string): StudyFacts | null {
  const value = readJson(path);
  if (value === null) return null;
  const facts = value as Partial<StudyFacts>;
  if (typeof facts.program !== 'string' || typeof facts.studyHash !== 'string' || !Array.isArray(facts.warnings)) {
    throw new UserError(`${path}: damaged: it does not say which program and study it is from`);
  }
  const ours = `alight ${programVersion()}`;
  if (facts.program !== ours) throw new UserError(`${path}: written by ${facts.program}; this is ${ours}; make it again`);
  return value as StudyFacts;
}

function readJson(path: string): object | null {
  const text = readText(path);
  if (text === null) return null;
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (error) {
    if (error instanceof SyntaxError) throw new UserError(`${path}: damaged: not whole JSON`);
    throw error;
  }
  if (typeof value !== 'object' || value === null || Array.isArray(value)) throw new UserError(`${path}: damaged: not what alight writes`);
  return value;
}

function readText(path: string): string | null {
  try {
    return existsSync(path) ? readFileSync(path, 'utf8') : null;
  } catch (error) {
    throw fileFault(error, 'cannot read', path);
  }
}

/** kg on the pad: airframe, both casings, both propellants, flight by flight; the nominal value where one does not vary. */
export function launchMass(study: Study, flights: FlightColumns): Float64Array {
  const nominal = nominalInputs(study);
  const parts = (['airframe.mass', 'ascent.propellantMass', 'landing.propellantMass'] as const).map(
    (key) => flights.columns[key] ?? new Float64Array(flights.outcome.length).fill(nominal[inputIndex(key)]),
  );
  const casings = study.ascent.casingMass + study.landing.casingMass;
  return Float64Array.from(parts[0], (airframe, i) => airframe + parts[1][i] + parts[2][i] + casings);
}
