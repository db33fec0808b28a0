/**
 * One path that a user names as results: a folder or a flights file, its flights found and the answers beside them
 * read.
 */
import { readdirSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { UserError } from '../../errors.ts';
import { UNFINISHED_FLIGHTS, UNFINISHED_FOLDER } from '../../results/folder.ts';
import { whatStands } from '../../results/whatStands.ts';
import type { StudyFacts } from '../flights/studyFacts.ts';
import { ANSWER_FILES, type AnswersIn, NO_ANSWERS, readAnswers, readText } from './readAnswers.ts';

export interface Source {
  readonly path: string;
  readonly folder: string;
  /** null when it has no flights. */
  readonly flightsPath: string | null;
  /** Whether the files beside the flights count too. */
  readonly beside: boolean;
  readonly found: AnswersIn;
}

/**
 * The answers of a folder with the question each answers: two answers to one would contradict each other on a page;
 * rankings of other kinds and tunings of other rules do not. A summary is about the flights beside it and no others.
 */
export function answersOf(
  { summary, comparison, ranking, drops, tuning, sweep, staircase, control, campaign }: AnswersIn,
  withSummary: boolean,
): { readonly file: string; readonly question: string; readonly facts: StudyFacts }[] {
  const answers: { file: string; question: string; facts: StudyFacts }[] = [];
  const add = (key: keyof AnswersIn, question: string, facts: StudyFacts | null): void => {
    if (facts !== null) answers.push({ file: ANSWER_FILES[key], question, facts });
  };
  if (withSummary) add('summary', 'summary', summary);
  add('comparison', 'comparison', comparison);
  add('ranking', `ranking, ${ranking?.kind}`, ranking);
  add('drops', 'drops', drops);
  add('tuning', `tuning of rule ${tuning?.rule}`, tuning);
  add('sweep', `sweep over ${sweep?.axes.map(({ path }) => path).join(' and ')}`, sweep);
  add('campaign', `campaigns of rule ${campaign?.rule}`, campaign);
  add('staircase', 'staircase of fixes', staircase);
  add('control', 'tuning of the control', control);
  return answers;
}

/** Where the flights of a folder are: whole, or as far as an unfinished run got. */
function flightsIn(folder: string): string {
  const whole = join(folder, 'flights.arrow');
  const unfinished = join(folder, UNFINISHED_FLIGHTS);
  return whatStands(whole) === null && whatStands(unfinished) !== null ? unfinished : whole;
}

/** @throws UserError when there is nothing to read, or it is damaged */
export function source(path: string): Source {
  const standing = whatStands(path);
  if (standing === null) throw new UserError(`${path}: does not exist; expected a results folder or a flights file (.arrow)`);
  if (/\.ya?ml$/.test(path))
    throw new UserError(`${path}: is a study; expected results. Fly it first (alight fly ${path}), then name its results`);
  const isFolder = standing === 'folder';
  const folder = isFolder ? path : dirname(path);
  const flightsPath = isFolder ? flightsIn(path) : path;
  // A flights file given by itself speaks for itself alone: another study's answers may stand beside it.
  const beside = isFolder || basename(path) === 'flights.arrow';
  const found = beside ? readAnswers(folder) : NO_ANSWERS;
  const flights = whatStands(flightsPath) !== null;
  // A summary alone is only about its flights.
  if (!flights && answersOf(found, false).length === 0) {
    if (isFolder && whatStands(join(path, 'measurement.json')) !== null) {
      throw new UserError(`${path}: holds a measurement, which has a page of its own; name that folder alone`);
    }
    if (isFolder && whatStands(join(path, 'learning.json')) !== null) {
      throw new UserError(
        `${path}: holds what was learnt, which has a page of its own; name that folder alone after alight report, or learned.yaml in it after any command that flies`,
      );
    }
    const left = isFolder ? readdirSync(path).filter((name) => name.startsWith(UNFINISHED_FOLDER)) : [];
    const hint = left.length === 0 ? '' : `; what an interrupted run left is in ${left.map((name) => join(path, name)).join(', ')}`;
    throw new UserError(
      `${path}: holds no results: expected flights.arrow, comparison.json, ranking.json, drops.json, tuning.json, sweep.json, staircase.json, control.json or campaign.json${hint}`,
    );
  }
  return { path, folder, flightsPath: flights ? flightsPath : null, beside, found };
}

/** @throws UserError when the study is not there */
export function studyText({ path, folder }: Source): string {
  const text = readText(join(folder, 'study.yaml'));
  if (text === null) throw new UserError(`${path}: lacks study.yaml, which says what the answers are about`);
  return text;
}
