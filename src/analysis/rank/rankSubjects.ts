/**
 * What a ranking ranks: single inputs, groups of them, and what happens in flight by chance. Flies and measures
 * nothing.
 */
import { UserError } from '../../errors.ts';
import { CATALOGUE, INPUT_INDEX, type InputKey, type InputRow, inputIndex } from '../../inputs/catalogue.ts';
import { correlatedGroups } from '../../inputs/correlations.ts';
import { varyingInputs } from '../../inputs/varying.ts';
import { suggestion } from '../../maths/nearest.ts';
import { nominalInputs } from '../../study/nominal.ts';
import type { Study } from '../../study/study.ts';
import { matcher } from '../../study/wildcard.ts';

export interface Subject {
  readonly name: string;
  /** `noise`: not drawn before the flight but during it. */
  readonly kind: 'group' | 'input' | 'noise';
  /** Inputs it is made of; of noise those that scale it. */
  readonly keys: readonly InputKey[];
}

/** Rows of the inputs that vary. */
export function varyingRows(study: Study): readonly InputRow[] {
  return varyingInputs(study).map((column) => CATALOGUE[column]);
}

/** Each varying input by itself. */
export function inputSubjects(study: Study): readonly Subject[] {
  return varyingRows(study).map(({ key }) => ({ name: key, kind: 'input', keys: [key] }));
}

/**
 * The varying inputs by the catalogue's groups, but for those that the user's own groups take.
 * @param own each `name=input,input`; an input may be a pattern with `*`
 * @throws UserError for a group that cannot be read, names what does not vary, or takes an input or a name that is
 * taken
 */
export function groupSubjects(study: Study, own: readonly string[]): readonly Subject[] {
  const rows = varyingRows(study);
  const problems: string[] = [];
  const taken = new Map<string, string>();
  const made = own.map((text): Subject => {
    const split = text.indexOf('=');
    const name = text.slice(0, Math.max(0, split)).trim();
    const words = text
      .slice(split + 1)
      .split(',')
      .map((word) => word.trim())
      .filter((word) => word !== '');
    if (split < 1 || name === '' || words.length === 0) {
      problems.push(`--group: read "${text}"; expected name=input,input`);
      return { name, kind: 'group', keys: [] };
    }
    const keys = new Set<InputKey>();
    for (const word of words) {
      const fits = matcher(word);
      const found = rows.filter(({ key }) => fits(key));
      if (found.length === 0) problems.push(`--group ${name}: ${notVarying(study, word)}`);
      for (const { key } of found) {
        const before = taken.get(key);
        if (before !== undefined && before !== name) problems.push(`--group ${name}: ${key} is in ${before} already`);
        taken.set(key, name);
        keys.add(key);
      }
    }
    return { name, kind: 'group', keys: [...keys] };
  });
  const groups = new Map<string, InputKey[]>();
  for (const { key, group } of rows) {
    if (!taken.has(key)) groups.set(group, [...(groups.get(group) ?? []), key]);
  }
  made.forEach(({ name }, i) => {
    if (groups.has(name) || made.findIndex((other) => other.name === name) !== i || INPUT_INDEX.has(name)) {
      problems.push(`--group ${name}: that name is taken; choose another`);
    }
  });
  if (problems.length > 0) throw new UserError(problems);
  return [...made, ...[...groups].map(([name, keys]): Subject => ({ name, kind: 'group', keys }))];
}

/** Why a word names no varying input. */
export function notVarying(study: Study, word: string): string {
  if (INPUT_INDEX.has(word)) return `${word} does not vary in this study; give it a distribution with --set`;
  const keys = varyingRows(study).map(({ key }) => key);
  return `read "${word}"; expected an input that varies.${suggestion(word, keys) || ' `alight inputs` lists all inputs.'}`;
}

/** What happens by chance in flight, as far as the study has it. */
export function noiseSubjects(study: Study): readonly Subject[] {
  const nominal = nominalInputs(study);
  const active = (key: InputKey): boolean => study.inputs[key]?.kind !== undefined || nominal[inputIndex(key)] > 0;
  const axes = <S extends 'accelerometer.noise' | 'gyro.noise'>(stem: S) =>
    (['X', 'Y', 'Z'] as const).map((axis) => `${stem}${axis}` as const);
  const sensors = [
    ...axes('accelerometer.noise'),
    ...axes('gyro.noise'),
    ...(study.sensors.barometer === null ? [] : (['barometer.noise'] as const)),
  ].filter(active);
  const all: Subject[] = [
    { name: 'gusts', kind: 'noise', keys: (['wind.gustScale'] as const).filter(active) },
    { name: 'stalls', kind: 'noise', keys: active('timing.stallDuration') ? (['timing.stallRate'] as const).filter(active) : [] },
    { name: 'sensor noise', kind: 'noise', keys: sensors },
  ];
  return all.filter(({ keys }) => keys.length > 0);
}

/**
 * Subjects as a variance-based study needs them: correlated inputs in one.
 * @returns the subjects, those that had to be joined joined, and a sentence for each such join
 */
export function joinCorrelated(
  study: Study,
  subjects: readonly Subject[],
): { readonly subjects: readonly Subject[]; readonly notes: string[] } {
  const notes: string[] = [];
  let joined = [...subjects];
  for (const { columns } of correlatedGroups(study.correlations)) {
    const keys = columns.map((column) => CATALOGUE[column].key);
    const touched = joined.filter((subject) => subject.keys.some((key) => keys.includes(key)));
    if (touched.length < 2) continue;
    const name = touched.map((subject) => subject.name).join(' + ');
    const one: Subject = { name, kind: 'group', keys: touched.flatMap((subject) => [...subject.keys]) };
    const place = joined.indexOf(touched[0]);
    joined = joined.map((subject, i) => (i === place ? one : subject)).filter((subject) => !touched.includes(subject));
    notes.push(`${keys.join(', ')} are correlated, so their shares cannot be parted: ${touched.length} are ranked as one, "${name}"`);
  }
  return { subjects: joined, notes };
}
