/** The `correlations` section of a study, checked: inputs/ says what is wrong, this file where. */
import {
  areInputs,
  type Correlation,
  type CorrelationProblem,
  correlationProblems,
  type WrittenCorrelation,
} from '../inputs/correlations.ts';
import { correlationWarnings } from '../inputs/reachedCorrelation.ts';
import { type InputDistributions, varies } from '../inputs/varying.ts';
import type { Findings, Path } from './findings.ts';

/**
 * Notes every problem of the list.
 * @param inputs undefined while some input has a problem of its own: whether inputs vary is then not asked
 * @returns the correlations; none when they had problems
 */
export function readCorrelations(
  list: readonly WrittenCorrelation[],
  inputs: InputDistributions | undefined,
  findings: Findings,
): readonly Correlation[] {
  const varying = inputs === undefined ? null : (key: keyof InputDistributions) => isVarying(inputs, key);
  const problems = correlationProblems(list, varying);
  for (const problem of problems) findings.problem(placeOf(problem), problem.text);
  if (problems.length > 0 || !areInputs(list)) return [];
  if (inputs !== undefined) {
    for (const { index, text } of correlationWarnings(list, inputs)) findings.warning(['correlations', index], text);
  }
  return list;
}

function isVarying(inputs: InputDistributions, key: keyof InputDistributions): boolean {
  const distribution = inputs[key];
  return distribution !== undefined && varies(distribution);
}

function placeOf({ index, part }: CorrelationProblem): Path {
  if (index === null) return ['correlations'];
  const place = ['correlations', index];
  switch (part) {
    case 'a':
      return [...place, 'between', 0];
    case 'b':
      return [...place, 'between', 1];
    case 'pair':
      return [...place, 'between'];
    case 'rank':
      return [...place, 'rank'];
    case 'whole':
      return place;
  }
}
