/** A staircase of fixes as files of a results folder: staircase.json, and staircase.arrow with a row a stage. */
import { type AnswerColumn, answerTable } from '../../results/answerTable.ts';
import type { AnswerFiles } from '../flights/keptResults.ts';
import type { Stage, Staircase, Step } from './staircase.ts';

export async function staircaseFiles(staircase: Staircase): Promise<AnswerFiles> {
  const table = staircaseTable(staircase);
  if (table === null) return { 'staircase.json': staircase };
  const { title, studyHash, seed, design } = staircase;
  return { 'staircase.json': staircase, 'staircase.arrow': await answerTable('staircase', table, { title, studyHash, seed, design }) };
}

/** @returns null when nothing was flown */
export function staircaseTable({ programmed, steps, everything }: Staircase): AnswerColumn[] | null {
  if (programmed === null) return null;
  const rows: { readonly stage: string; readonly reached: Stage; readonly step: Step | null }[] = [
    { stage: 'as programmed', reached: programmed, step: null },
    ...steps.map((step) => ({ stage: step.kind === 'retuning' ? 'retuned' : `${step.name}, ${step.strength}`, reached: step, step })),
    ...(everything === null ? [] : [{ stage: 'every spread and noise gone', reached: everything, step: null }]),
  ];
  const numbers = (key: string, unit: string, meaning: string, value: (row: (typeof rows)[number]) => number | null | undefined) => ({
    key,
    unit,
    meaning,
    values: rows.map((row) => value(row) ?? null),
  });
  return [
    { key: 'stage', unit: '', meaning: 'what is mended beside all before', values: rows.map(({ stage }) => stage) },
    numbers('flights', '', 'flights flown, the same numbers for all stages', ({ reached }) => reached.odds.flights),
    numbers('counted', '', 'of them with a result', ({ reached }) => reached.odds.counted),
    numbers('landed', '', 'of them landed', ({ reached }) => reached.odds.landed),
    numbers('share', '', 'landed, of those with a result', ({ reached }) => reached.odds.share),
    numbers('bandLow', '', 'share, low end for all stages together (exact, Bonferroni)', ({ reached }) => reached.band?.[0]),
    numbers('bandHigh', '', 'share, high end for all stages together (exact, Bonferroni)', ({ reached }) => reached.band?.[1]),
    numbers('gain', '', 'share minus that of the stage before (paired)', ({ step }) => step?.gain),
    numbers('gainLow', '', 'gain, low end for all steps together (Bonferroni)', ({ step }) => step?.interval?.[0]),
    numbers('gainHigh', '', 'gain, high end for all steps together (Bonferroni)', ({ step }) => step?.interval?.[1]),
    numbers('shift', 'm', 'height shift that the rule was retuned by', ({ reached }) => reached.shift?.shift),
    numbers('shiftLow', 'm', '95 % interval of the best shift, low end', ({ reached }) => reached.shift?.interval[0]),
    numbers('shiftHigh', 'm', '95 % interval of the best shift, high end', ({ reached }) => reached.shift?.interval[1]),
  ];
}
