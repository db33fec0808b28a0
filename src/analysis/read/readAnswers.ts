/**
 * The answers that commands leave beside flights, read back from JSON: each is held against the schema of its kind, so
 * that what is damaged, or was written by another version, is refused here and nowhere else. Knows no flights.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { z } from 'zod';
import { UserError } from '../../errors.ts';
import type { RunFacts } from '../../fleet/session.ts';
import { fileFault } from '../../results/fileFault.ts';
import { programVersion } from '../../results/header.ts';
import { whatStands } from '../../results/whatStands.ts';
import type { Campaign } from '../campaign/campaignStudy.ts';
import type { Comparison } from '../compare/comparison.ts';
import type { Sweep } from '../designs/sweep.ts';
import type { DropRules } from '../drops/dropRules.ts';
import type { Summary } from '../fly/flyStudy.ts';
import type { Ranking } from '../rank/ranking.ts';
import type { Staircase } from '../rank/staircase.ts';
import type { ControlTuning } from '../tune/controlTuning.ts';
import type { Tuning } from '../tune/tuning.ts';
import { campaignSchema } from './campaignSchema.ts';
import { runFacts, studyFacts } from './commonSchema.ts';
import { comparisonSchema } from './comparisonSchema.ts';
import { controlSchema } from './controlSchema.ts';
import { dropsSchema } from './dropsSchema.ts';
import { rankingSchema } from './rankingSchema.ts';
import { staircaseSchema } from './staircaseSchema.ts';
import { summarySchema } from './summarySchema.ts';
import { sweepSchema } from './sweepSchema.ts';
import { tuningSchema } from './tuningSchema.ts';

/** The answers that stand in one folder; null for those that do not. */
export interface AnswersIn {
  readonly summary: Summary | null;
  readonly comparison: Comparison | null;
  readonly ranking: Ranking | null;
  readonly drops: DropRules | null;
  readonly tuning: Tuning | null;
  readonly campaign: Campaign | null;
  readonly sweep: Sweep | null;
  readonly staircase: Staircase | null;
  readonly control: ControlTuning | null;
}

/** The names of their files, in the folder. */
export const ANSWER_FILES: Readonly<Record<keyof AnswersIn, string>> = {
  summary: 'summary.json',
  comparison: 'comparison.json',
  ranking: 'ranking.json',
  drops: 'drops.json',
  tuning: 'tuning.json',
  campaign: 'campaign.json',
  sweep: 'sweep.json',
  staircase: 'staircase.json',
  control: 'control.json',
};

export const NO_ANSWERS: AnswersIn = {
  summary: null,
  comparison: null,
  ranking: null,
  drops: null,
  tuning: null,
  sweep: null,
  staircase: null,
  control: null,
  campaign: null,
};

/** @throws UserError when one is damaged or of another version */
export function readAnswers(folder: string): AnswersIn {
  const read = <S extends z.ZodType>(key: keyof AnswersIn, schema: S): z.output<S> | null =>
    readAnswer(join(folder, ANSWER_FILES[key]), schema);
  return {
    summary: read('summary', summarySchema),
    comparison: read('comparison', comparisonSchema),
    ranking: read('ranking', rankingSchema),
    drops: read('drops', dropsSchema),
    tuning: read('tuning', tuningSchema),
    campaign: read('campaign', campaignSchema),
    sweep: read('sweep', sweepSchema),
    staircase: read('staircase', staircaseSchema),
    control: read('control', controlSchema),
  };
}

/** @returns null when nothing stands there   @throws UserError when it is damaged or of another version */
export function readAnswer<S extends z.ZodType>(path: string, schema: S): z.output<S> | null {
  const value = readJson(path);
  if (value === null) return null;
  const ours = `alight ${programVersion()}`;
  const program = studyFacts.pick({ program: true }).safeParse(value);
  if (!program.success) throw new UserError(`${path}: damaged: it does not say which program and study it is from`);
  if (program.data.program !== ours) throw new UserError(`${path}: written by ${program.data.program}; this is ${ours}; make it again`);
  return checked(schema, value, path);
}

/** How the run went; null where that was not kept. @throws UserError when the file is damaged */
export function readRun(path: string): RunFacts | null {
  const value = readJson(path);
  return value === null ? null : checked(runFacts, value, path);
}

function checked<S extends z.ZodType>(schema: S, value: object, path: string): z.output<S> {
  const read = schema.safeParse(value);
  if (read.success) return read.data;
  const issue = read.error.issues[0];
  const place = issue.path.length === 0 ? 'the whole' : issue.path.join('.');
  throw new UserError(`${path}: damaged: ${place}: ${issue.message}; make it again`);
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

/** @returns null when nothing stands there   @throws UserError when it cannot be read */
export function readText(path: string): string | null {
  const standing = whatStands(path);
  if (standing === null) return null;
  if (standing === 'other') throw new UserError(`${path}: is no ordinary file; expected what alight writes there`);
  try {
    return readFileSync(path, 'utf8');
  } catch (error) {
    throw fileFault(error, 'cannot read', path);
  }
}
