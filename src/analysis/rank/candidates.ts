/** What may be mended next on a staircase of fixes, given what is mended already. Flies nothing. */
import type { Study } from '../../study/study.ts';
import { type AskedFix, type Fix, halved, perfect, together } from './fixes.ts';
import type { Subject } from './rankSubjects.ts';
import type { Staircase, StepStrength } from './staircase.ts';

export interface Candidate {
  readonly name: string;
  readonly kind: Subject['kind'] | 'asked';
  readonly strength: StepStrength;
  readonly keys: readonly string[];
  readonly fix: Fix;
}

/**
 * Everything asked for by name that is not taken; of each subject its half, or the rest of it once it is halved or
 * where it has no half.
 */
export function candidatesOf(
  study: Study,
  subjects: readonly Subject[],
  asked: readonly AskedFix[],
  strength: Staircase['strength'],
  taken: readonly Candidate[],
): Candidate[] {
  const has = (name: string, wanted: StepStrength): boolean => taken.some((one) => one.name === name && one.strength === wanted);
  const named = asked
    .filter(({ whole }) => !has(whole.name, 'asked'))
    .map(({ whole }): Candidate => ({ name: whole.name, kind: 'asked', strength: 'asked', keys: keysOf(whole), fix: whole }));
  const mended = subjects.flatMap((subject): Candidate[] => {
    const { name, kind, keys } = subject;
    if (has(name, 'perfect')) return [];
    const half = strength === 'half' && !has(name, 'half') ? halved(study, subject) : null;
    if (half !== null) return [{ name, kind, strength: 'half', keys, fix: half }];
    const whole = perfect(study, subject);
    return whole === null ? [] : [{ name, kind, strength: 'perfect', keys, fix: whole }];
  });
  return [...named, ...mended];
}

function keysOf({ pins, spread }: Fix): string[] {
  return [...Object.keys(pins), ...Object.keys(spread)];
}

/** All that was taken, in order, and no spread or noise of the subjects left. */
export function everythingGone(study: Study, subjects: readonly Subject[], taken: readonly Candidate[]): Fix {
  const whole = subjects.flatMap((subject) => perfect(study, subject) ?? []);
  return { ...together([...taken.map(({ fix }) => fix), ...whole]), name: 'every spread and noise gone' };
}
