/** What every set of answers says of its making: nothing in it depends on the machine or the time. Flies nothing. */
import { programVersion } from '../../results/header.ts';
import type { OpenedStudy } from '../../study/load.ts';
import type { Study } from '../../study/study.ts';
import { studyHash } from '../../study/studyHash.ts';

export interface StudyFacts {
  readonly program: string;
  readonly title: string;
  readonly studyHash: string;
  readonly seed: string;
  readonly design: Study['design'];
  readonly overrides: readonly string[];
  readonly flightsAsked: number;
  readonly warnings: readonly string[];
}

/** @param overrides the `path=value` replacements the study was opened with */
export function studyFacts({ study, text, warnings }: OpenedStudy, overrides: readonly string[]): StudyFacts {
  const { title, seed, design, flights: flightsAsked } = study;
  return { program: `alight ${programVersion()}`, title, studyHash: studyHash(text), seed, design, overrides, flightsAsked, warnings };
}
