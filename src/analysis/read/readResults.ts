/**
 * Whatever a results folder holds, read back for the page and the card: the flights with the columns those need, the
 * study in the file, and the answers of other commands that stand beside. Refuses what does not belong together. Draws
 * nothing, flies nothing.
 */
import { basename, join, resolve } from 'node:path';
import { UserError } from '../../errors.ts';
import type { RunFacts } from '../../fleet/session.ts';
import { programVersion } from '../../results/header.ts';
import { whatStands } from '../../results/whatStands.ts';
import type { Study } from '../../study/study.ts';
import { studyHash } from '../../study/studyHash.ts';
import type { Campaign } from '../campaign/campaignStudy.ts';
import type { Comparison } from '../compare/comparison.ts';
import type { Sweep } from '../designs/sweep.ts';
import type { DropRules } from '../drops/dropRules.ts';
import type { StudyFacts } from '../flights/studyFacts.ts';
import type { Summary } from '../fly/flyStudy.ts';
import { STOPPED_NOMINAL } from '../fly/stopAtWidth.ts';
import { type Answers, answers, LEVEL } from '../fly/summary.ts';
import type { Ranking } from '../rank/ranking.ts';
import type { Staircase } from '../rank/staircase.ts';
import type { ControlTuning } from '../tune/controlTuning.ts';
import type { Tuning } from '../tune/tuning.ts';
import { ANSWER_FILES, type AnswersIn, readRun } from './readAnswers.ts';
import { openText, type RawFlights, readFlights } from './readFlights.ts';
import { answersOf, type Source, source, studyText } from './source.ts';

/** Flights of one rule, out of a flights file. */
export interface FlightsRead extends Omit<RawFlights, 'counts' | 'cut'> {
  /** Found when first asked for. */
  readonly answers: Answers;
}

/** What other commands answered, each by this version of the program, for this study. */
export interface AnswersFound {
  readonly comparison: Comparison | null;
  /** At most one of each kind. */
  readonly rankings: readonly Ranking[];
  readonly drops: DropRules | null;
  /** At most one for each rule. */
  readonly tunings: readonly Tuning[];
  /** At most one over the same numbers. */
  readonly sweeps: readonly Sweep[];
  /** At most one for each rule. */
  readonly campaigns: readonly Campaign[];
  readonly staircase: Staircase | null;
  readonly control: ControlTuning | null;
}

export interface ResultsRead {
  /** What was given, as problems and commands name it. */
  readonly path: string;
  /**
   * Where `alight trace` finds the study again, from the folder that holds the results: the same wherever it is said.
   */
  readonly studyPath: string;
  readonly study: Study;
  readonly studyHash: string;
  /** Version of the program that made the results. */
  readonly version: string;
  readonly warnings: readonly string[];
  /** A line when the end of the flights file is missing; among the warnings too. */
  readonly cut: readonly string[];
  readonly overrides: readonly string[];
  /** null when the folder has no flights file. */
  readonly flown: FlightsRead | null;
  readonly found: AnswersFound;
  /** What `fly` said of the lighting height of the flights shown; null where nothing of it stands beside them. */
  readonly height: Pick<Summary, 'rule' | 'retuned' | 'heightMiss'> | null;
  /** How the run went on its machine; null when not kept. */
  readonly run: RunFacts | null;
}

/**
 * @param paths results folders or flights files, at least one; the first with flights shows them, the others add their
 * answers
 * @param rule whose flights; the first in the file when left out
 * @throws UserError when there is nothing to read, a file is damaged or of another version, or files do not belong
 * together
 */
export async function readResults(paths: readonly string[], rule?: string): Promise<ResultsRead> {
  const sources = paths.map(source);
  const main = sources.find(({ flightsPath }) => flightsPath !== null) ?? sources[0];
  if (main === undefined) throw new RangeError('no results were named');
  const raw = main.flightsPath === null ? null : await readFlights(main.flightsPath, rule);
  const where = main.flightsPath ?? join(main.folder, 'study.yaml');
  const text = raw?.header.study ?? studyText(main);
  const found = new Map<string, StudyFacts>();
  for (const one of sources) {
    const answers = answersOf(one.found, one === main);
    if (one !== main && answers.length === 0) throw new UserError(nothingToAdd(one, main));
    const own = one === main ? text : studyText(one);
    for (const { file, question, facts } of answers) {
      const path = join(one.folder, file);
      if (facts.studyHash !== studyHash(own))
        throw new UserError(`${path}: belongs to another study than what stands beside it; ${MAKE_AGAIN}`);
      if (sameStudy(own) !== sameStudy(text)) throw new UserError(`${path}: belongs to another study than ${where}; ${MAKE_AGAIN}`);
      if (found.has(question)) throw new UserError(`${path}: a second answer to the same question (${question}); name one`);
      found.set(question, facts);
    }
  }
  const kept = <K extends keyof AnswersIn>(key: K): NonNullable<AnswersIn[K]>[] =>
    sources.flatMap(({ found: answers }) => (answers[key] === null ? [] : [answers[key]]));
  const summary = main.found.summary;
  if (raw !== null) checkCounts(main, raw, where);
  const { study, warnings } = await openText(text, where);
  const facts = summary ?? [...found.values()][0];
  const beside = join(main.folder, 'study.yaml');
  return {
    path: main.path,
    studyPath: main.beside && whatStands(beside) !== null ? join(basename(resolve(main.folder)), 'study.yaml') : 'study.yaml',
    study,
    studyHash: studyHash(text),
    version: raw?.header.programVersion ?? programVersion(),
    warnings: [...(raw?.cut ?? []), ...(facts?.warnings ?? warnings)],
    cut: raw?.cut ?? [],
    overrides: raw?.header.overrides ?? facts?.overrides ?? [],
    flown: raw === null ? null : flownOf(raw, study, nominalLevel(main.found.summary)),
    found: {
      comparison: kept('comparison')[0] ?? null,
      rankings: kept('ranking'),
      drops: kept('drops')[0] ?? null,
      tunings: kept('tuning'),
      sweeps: kept('sweep'),
      campaigns: kept('campaign'),
      staircase: kept('staircase')[0] ?? null,
      control: kept('control')[0] ?? null,
    },
    height: summary !== null && summary.rule === raw?.rule ? summary : null,
    run: main.beside ? readRun(join(main.folder, 'run.json')) : null,
  };
}

function flownOf({ header, rule, flights, reasons }: RawFlights, study: Study, level: number): FlightsRead {
  let found: Answers | null = null;
  return {
    header,
    rule,
    flights,
    reasons,
    get answers() {
      found ??= answers(flights, study, level);
      return found;
    },
  };
}

/** What to do about answers and flights of two studies. */
const MAKE_AGAIN = 'fly the study again as it is now, or name folders of one study only';

function nothingToAdd({ path }: Source, main: Source): string {
  return `${path}: holds flights only, and a page shows those of one folder, here ${main.path}; make a page of each, or compare them as unpaired: alight compare ${main.path} ${path}`;
}

/** The success interval as `fly` gave it: of flights stopped at a width it is a little wider (stopAtWidth.ts). */
function nominalLevel(summary: Summary | null): number {
  return summary === null || summary.halfWidth === null ? LEVEL : STOPPED_NOMINAL;
}

/** The flights and what is said about them beside must be of one run. @throws UserError otherwise */
function checkCounts({ found: { summary, comparison }, folder }: Source, { rule, flights, counts }: RawFlights, where: string): void {
  const rows = flights.outcome.length;
  if (summary !== null && summary.rule === rule && summary.odds.flights !== rows) {
    throw new UserError(
      `${where}: holds ${rows} flights, and ${join(folder, ANSWER_FILES.summary)} is about ${summary.odds.flights}; fly again`,
    );
  }
  const least = Math.min(...counts);
  if (comparison !== null && comparison.flights > least) {
    throw new UserError(
      `${where}: holds ${least} flights of one rule, and ${join(folder, ANSWER_FILES.comparison)} is about ${comparison.flights} of each; compare again`,
    );
  }
}

/**
 * What must be equal for answers to stand on one page: the study but for how many flights or attempts were flown, by
 * which luck, and what they cost.
 */
function sameStudy(text: string): string {
  return text.replace(/^(?:flights|seed| {2}attempts| {2}costs): .*$/gm, '');
}
