/** Attempts as one flat table, a row each: whose, which, what was flown and seen, and the flight’s own numbers. Computes nothing. */

import { ruleKind } from '../../avionics/rules/kinds.ts';
import type { Batch } from '../../fleet/fleet.ts';
import { FLIGHT, OBSERVED, OCCASION_KEYS, SHIFT } from '../../flight/campaignMaker.ts';
import { NO_RESULT_REASONS, OUTCOMES, OUTPUTS } from '../../flight/outputs.ts';
import { policyName } from '../../flight/policy.ts';
import { CATALOGUE } from '../../inputs/catalogue.ts';
import { varyingInputs } from '../../inputs/varying.ts';
import type { AnswerColumn } from '../../results/answerTable.ts';
import type { RuleChoice, Study } from '../../study/study.ts';
import type { FlownPolicy, PolicyPlan } from './policies.ts';

const MEANINGS: Readonly<Record<(typeof OCCASION_KEYS)[number], string>> = {
  attempt: 'number of the attempt within its campaign, from 1',
  airframe: 'which airframe of the vehicle it was, from 1; each rebuild is one more',
  batch: 'which purchase of motors it took from, from 1',
  day: 'which day of flying it was, from 1',
};

/** Inputs that vary and all outputs; inputs that are the same everywhere are in the study. */
export function campaignTable(
  flown: readonly FlownPolicy[],
  study: Study,
  rule: RuleChoice,
  plan: Pick<PolicyPlan, 'constant'> | null,
): AnswerColumn[] {
  const batches = flown.flatMap(({ collector }) => collector.batches);
  const rowsIn = (batch: Batch): number => batch.rowsOf.reduce((sum, n) => sum + n, 0);
  const numbers = (place: number, number = (value: number): number => value): (number | null)[] =>
    batches.flatMap((batch) => {
      const rows = rowsIn(batch);
      const column = batch.columns.subarray(place * rows, (place + 1) * rows);
      return Array.from(column, (value) => (Number.isNaN(value) ? null : number(value)));
    });
  const words = (place: number, list: readonly string[]): string[] => numbers(place).map((value) => (value === null ? '' : list[value]));
  const campaign = batches.flatMap(({ first, rowsOf }) => Array.from(rowsOf).flatMap((rows, i) => new Array<number>(rows).fill(first + i)));
  const policies = flown.flatMap(({ policy, collector }) => {
    const rows = collector.batches.reduce((sum, batch) => sum + rowsIn(batch), 0);
    return new Array<string>(rows).fill(policyName(policy));
  });
  const inputs = FLIGHT;
  const outputs = inputs + CATALOGUE.length;
  return [
    { key: 'policy', unit: '', meaning: 'what was changed after a miss', values: policies },
    { key: 'campaign', unit: '', meaning: 'number of the campaign and its vehicle, from 1', values: campaign },
    ...OCCASION_KEYS.map((key, i) => ({ key, unit: '', meaning: MEANINGS[key], values: numbers(i) })),
    ...ruleKind(rule.kind).constants.map(({ key, unit, meaning }) => {
      const moved = key === plan?.constant.key;
      return {
        key: `constant.${key}`,
        unit,
        meaning: `${meaning}, as flown`,
        values: numbers(SHIFT, (shift) => rule.constants[key] + (moved ? shift : 0)),
      };
    }),
    {
      key: 'observedMiss',
      unit: 'm',
      meaning: 'height miss as the builder read it, from where the descent is meant to be slowest; 0 for a touchdown at a good speed',
      values: numbers(OBSERVED),
    },
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
