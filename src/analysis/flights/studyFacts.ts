/** What every set of answers says of its making, for answers that come without a flights file. Flies nothing. */
import { programVersion } from '../../results/header.ts';
import type { OpenedStudy } from '../../study/load.ts';
import { studyHash } from '../../study/studyHash.ts';
import type { StudyFacts } from './flightRun.ts';

/** @param overrides the `path=value` replacements the study was opened with */
export function studyFacts({ study, text, warnings }: OpenedStudy, overrides: readonly string[]): StudyFacts {
  const { title, seed, design, flights: flightsAsked } = study;
  return { program: `alight ${programVersion()}`, title, studyHash: studyHash(text), seed, design, overrides, flightsAsked, warnings };
}
