/**
 * The studies that fixes of settings make: each set of settings opened once, before anything is flown, so that every
 * problem is said at once. Inputs held and spreads scaled are no study of their own: a sampler's plan has them.
 */
import { UserError } from '../../errors.ts';
import { Findings } from '../../study/findings.ts';
import type { OpenedStudy } from '../../study/load.ts';
import { type Given, readSetting } from '../../study/override.ts';
import { ruleByName } from '../../study/ruleByName.ts';
import type { Study } from '../../study/study.ts';
import type { Replacement } from '../../study/variants.ts';
import type { FlownStudy } from '../flights/runJournal.ts';
import type { Fix } from './fixes.ts';

/** Opens the study that is ranked with replacements put in. @throws UserError with every problem */
export type Reopen = (replacements: readonly Given[]) => Promise<OpenedStudy>;

/** The study of a fix; null: of none. */
export type StudyOf = (fix: Fix | null) => Study;

export interface FixedStudies {
  readonly studyOf: StudyOf;
  /** Opens what these fixes together make, where no study has it yet. */
  readonly open: (fixes: readonly Fix[]) => Promise<void>;
  /** Those opened so far, each with what was put in, in the order of opening: what it takes to open them again. */
  readonly flown: readonly FlownStudy[];
  /** Warnings that only a fix gives rise to, so far. */
  readonly warnings: readonly string[];
}

/**
 * @param reopen undefined: settings cannot be fixed
 * @param rule that every study must have
 */
export function fixedStudies(opened: OpenedStudy, reopen: Reopen | undefined, rule: string): FixedStudies {
  const made = new Map<string, Study>();
  const flown: FlownStudy[] = [];
  const warnings: string[] = [];
  const keyOf = ({ settings }: Fix): string => settings.join('\n');
  const openOne = async (fix: Fix): Promise<void> => {
    const key = keyOf(fix);
    if (key === '' || made.has(key)) return;
    if (reopen === undefined) throw new RangeError(`${fix.name}: settings are fixed only in a study that can be opened again`);
    const findings = new Findings();
    const given = fix.settings.flatMap((setting) => readSetting(setting, findings, '--fix') ?? []);
    if (findings.problems.length > 0) throw new UserError(findings.problems.map(({ place, text }) => `${place}: ${text}`));
    const found = await reopen(given);
    ruleByName(found.study, rule);
    made.set(key, found.study);
    flown.push({ ...found, variant: { name: key, from: null, replacements: given } });
    for (const line of found.warnings) {
      const words = `with ${fix.settings.join(', ')}: ${line}`;
      if (!opened.warnings.includes(line) && !warnings.includes(words)) warnings.push(words);
    }
  };
  return {
    flown,
    warnings,
    open: async (fixes) => {
      const problems: string[] = [];
      for (const fix of fixes) {
        try {
          await openOne(fix);
        } catch (error) {
          if (!(error instanceof UserError)) throw error;
          problems.push(...error.problems);
        }
      }
      if (problems.length > 0) throw new UserError([...new Set(problems)]);
    },
    studyOf: (fix) => {
      if (fix === null || fix.settings.length === 0) return opened.study;
      const study = made.get(keyOf(fix));
      if (study === undefined) throw new RangeError(`${fix.name}: its study was not opened`);
      return study;
    },
  };
}

/**
 * Gives studies that were opened before once more, by what was put in.
 * @param studies of a recipe, opened   @param flown the same as they stand in it
 */
export function openedBefore(studies: readonly OpenedStudy[], flown: readonly FlownStudy[]): Reopen {
  const put = (replacements: readonly Replacement[]): string => JSON.stringify(replacements.map(({ name, value }) => [name, value]));
  return async (given) => {
    const place = flown.findIndex(({ variant }) => variant !== undefined && put(variant.replacements) === put(given));
    if (place < 0) throw new RangeError(`no study was opened with ${put(given)}`);
    return studies[place];
  };
}
