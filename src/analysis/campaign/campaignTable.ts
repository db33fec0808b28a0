/** Attempts as one flat table, a row each: whose, which, and the flight’s own numbers. Computes nothing. */
import type { Batch } from '../../fleet/fleet.ts';
import { OCCASION_KEYS } from '../../flight/campaignMaker.ts';
import { NO_RESULT_REASONS, OUTCOMES, OUTPUTS } from '../../flight/outputs.ts';
import { CATALOGUE } from '../../inputs/catalogue.ts';
import { varyingInputs } from '../../inputs/varying.ts';
import type { AnswerColumn } from '../../results/answerTable.ts';
import type { Study } from '../../study/study.ts';

const MEANINGS: Readonly<Record<(typeof OCCASION_KEYS)[number], string>> = {
  attempt: 'number of the attempt within its campaign, from 1',
  airframe: 'which airframe of the vehicle it was, from 1; each rebuild is one more',
  batch: 'which purchase of motors it took from, from 1',
  day: 'which day of flying it was, from 1',
};

/** Inputs that vary and all outputs; inputs that are the same everywhere are in the study. */
export function campaignTable(batches: readonly Batch[], study: Study): AnswerColumn[] {
  const rowsIn = batches.map(({ rowsOf }) => rowsOf.reduce((sum, n) => sum + n, 0));
  const numbers = (place: number): (number | null)[] =>
    batches.flatMap(({ columns }, b) =>
      Array.from(columns.subarray(place * rowsIn[b], (place + 1) * rowsIn[b]), (value) => (Number.isNaN(value) ? null : value)),
    );
  const words = (place: number, list: readonly string[]): string[] => numbers(place).map((value) => (value === null ? '' : list[value]));
  const campaign = batches.flatMap(({ first, rowsOf }) => Array.from(rowsOf).flatMap((rows, i) => new Array<number>(rows).fill(first + i)));
  const inputs = OCCASION_KEYS.length;
  const outputs = inputs + CATALOGUE.length;
  return [
    { key: 'campaign', unit: '', meaning: 'number of the campaign and its vehicle, from 1', values: campaign },
    ...OCCASION_KEYS.map((key, i) => ({ key, unit: '', meaning: MEANINGS[key], values: numbers(i) })),
    ...varyingInputs(study).map((column) => {
      const { key, unit, meaning } = CATALOGUE[column];
      return { key, unit, meaning, values: numbers(inputs + column) };
    }),
    ...OUTPUTS.map(({ key, unit, meaning, type }, i) => {
      const list = type === 'outcome' ? OUTCOMES : type === 'reason' ? NO_RESULT_REASONS : null;
      return { key, unit, meaning, values: list === null ? numbers(outputs + i) : words(outputs + i, list) };
    }),
  ];
}
