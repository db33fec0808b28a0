/**
 * What a fix does to a study: which inputs it holds, which it makes vary less, and which settings it changes. Flies
 * nothing.
 */
import { UserError } from '../../errors.ts';
import { byInput, CATALOGUE, type InputKey, inputIndex, isInputKey } from '../../inputs/catalogue.ts';
import { scaleCircularSpread } from '../../inputs/circularSpread.ts';
import { suggestion } from '../../maths/nearest.ts';
import type { SamplerPlan } from '../../sampling/sampler.ts';
import { studyPaths } from '../../study/jsonSchema.ts';
import { nominalInputs } from '../../study/nominal.ts';
import type { Study } from '../../study/study.ts';
import { expectedOf, readQuantity } from '../../study/units.ts';
import { matcher } from '../../study/wildcard.ts';
import { notVarying, type Subject, varyingRows } from './rankSubjects.ts';

/** Plain data; pins and spread are laid over a sampler plan, settings make another study of it (fixedStudies.ts). */
export interface Fix {
  readonly name: string;
  readonly pins: Readonly<Partial<Record<InputKey, number>>>;
  readonly spread: Readonly<Partial<Record<InputKey, number>>>;
  /** `path=value`, as after --set. */
  readonly settings: readonly string[];
}

/** A fix asked for: all of it, then its parts by themselves where there are several. */
export interface AskedFix {
  readonly whole: Fix;
  readonly parts: readonly Fix[];
}

/**
 * Held at the centre of its spread (spread.ts says what that is); noise gone. Directions without a middle stay as they
 * are; null for a subject of nothing else.
 */
export function perfect(study: Study, { name, kind, keys }: Subject): Fix | null {
  if (kind === 'noise') return { name, pins: byInput(keys, () => 0), spread: {}, settings: [] };
  const spread = byInput(scalable(study, keys, 0), () => 0);
  return keys.length > 0 && Object.keys(spread).length === 0 ? null : { name, pins: {}, spread, settings: [] };
}

/**
 * Half the spread; half the noise. null for noise whose strength varies by itself (half of it is no one value), and for
 * a subject of nothing but directions that have no side to be drawn in from.
 */
export function halved(study: Study, { name, kind, keys }: Subject): Fix | null {
  if (kind !== 'noise') {
    const spread = byInput(scalable(study, keys, 0.5), () => 0.5);
    return keys.length > 0 && Object.keys(spread).length === 0 ? null : { name, pins: {}, spread, settings: [] };
  }
  const varying = new Set(varyingRows(study).map(({ key }) => key));
  if (keys.some((key) => varying.has(key))) return null;
  const nominal = nominalInputs(study);
  return { name, pins: byInput(keys, (key) => nominal[inputIndex(key)] / 2), spread: {}, settings: [] };
}

/** Directions of a subject that vary without a middle (circularSpread.ts): no fix of it can hold them. */
export function withoutMiddle(study: Study, keys: readonly InputKey[]): readonly InputKey[] {
  const scaled = new Set(scalable(study, keys, 0));
  return keys.filter((key) => !scaled.has(key));
}

/** Those whose spread can be scaled by this factor. */
function scalable(study: Study, keys: readonly InputKey[], factor: number): readonly InputKey[] {
  return keys.filter((key) => {
    const d = study.inputs[key];
    return d === undefined || CATALOGUE[inputIndex(key)].circle !== true || scaleCircularSpread(d, factor) !== null;
  });
}

/** The study's own flights with a fix in place: same luck, flight by flight. @param flights size of the design */
export function fixedPlan(fix: Fix | null, flights: number): SamplerPlan {
  return fix === null ? { kind: 'study', flights } : { kind: 'study', flights, pins: fix.pins, spread: fix.spread };
}

/**
 * Reads `name=half,name=perfect,input=value`. A name is an input, a pattern of inputs with `*`, a group, or a kind of
 * noise; a value is a quantity that the inputs named are held at, or stands at a setting of the study.
 * @param subjects groups and noise that may be named
 * @throws UserError with every problem in it
 */
export function readFix(study: Study, text: string, subjects: readonly Subject[]): AskedFix {
  const problems: string[] = [];
  const parts = text
    .split(',')
    .map((word) => word.trim())
    .filter((word) => word !== '')
    .flatMap((word) => {
      try {
        return [readPart(study, word, subjects)];
      } catch (error) {
        if (!(error instanceof UserError)) throw error;
        problems.push(...error.problems);
        return [];
      }
    });
  if (parts.length === 0 && problems.length === 0)
    problems.push(`--fix: read "${text}"; expected name=half, name=perfect, input=value or setting=value`);
  const seen = new Map<string, string>();
  for (const { name, pins, spread, settings } of parts) {
    for (const key of [...Object.keys(pins), ...Object.keys(spread), ...settings.map(pathOf)]) {
      const before = seen.get(key);
      if (before !== undefined) problems.push(`--fix: ${key} is changed twice, by ${before} and by ${name}`);
      seen.set(key, name);
    }
  }
  if (problems.length > 0) throw new UserError(problems);
  return { whole: together(parts), parts: parts.length > 1 ? parts : [] };
}

/** Several fixes in place at once; where two change one thing, the later has the say. */
export function together(fixes: readonly Fix[]): Fix {
  const settings = fixes.flatMap(({ settings: own }) => own);
  return {
    name: fixes.map(({ name }) => name).join(', '),
    pins: Object.assign({}, ...fixes.map(({ pins }) => pins)),
    spread: Object.assign({}, ...fixes.map(({ spread }) => spread)),
    settings: settings.filter((one, i) => settings.findLastIndex((other) => pathOf(other) === pathOf(one)) === i),
  };
}

/** The path of `path=value`. */
function pathOf(setting: string): string {
  return setting.slice(0, setting.indexOf('=')).trim();
}

function readPart(study: Study, word: string, subjects: readonly Subject[]): Fix {
  const split = word.indexOf('=');
  const name = word.slice(0, Math.max(0, split)).trim();
  const value = word.slice(split + 1).trim();
  if (split < 1 || value === '')
    throw new UserError(`--fix: read "${word}"; expected name=half, name=perfect, input=value or setting=value`);
  const subject = subjects.find((one) => one.name === name && one.kind !== 'input');
  const named = value === 'half' || value === 'perfect' || (value === 'off' && !isSetting(name));
  if (!named && subject !== undefined && !isSetting(name))
    throw new UserError(
      `--fix ${word}: a value needs an input to hold, and ${name} is a ${subject.kind === 'noise' ? 'kind of noise' : 'group'}; write ${name}=half or ${name}=perfect`,
    );
  if (!named) return holdAt(name, value);
  if (value === 'off' && subject?.kind !== 'noise') {
    throw new UserError(`--fix ${word}: only ${listed(subjects, 'noise')} can be off; for others write perfect`);
  }
  const chosen = subject ?? inputsNamed(study, name, subjects);
  const fix = value === 'half' ? halved(study, chosen) : perfect(study, chosen);
  if (fix === null && chosen.kind !== 'noise') {
    const [key] = chosen.keys;
    throw new UserError(
      `--fix ${word}: ${chosen.keys.join(', ')} may be any direction and has no middle to ${value === 'half' ? 'be drawn in to' : 'be held at'}; hold it at a direction, for example ${key}=90deg`,
    );
  }
  if (fix === null) throw new UserError(`--fix ${word}: the strength of ${name} varies; halve it by its input, ${chosen.keys.join(', ')}`);
  return { ...fix, name: word };
}

/** The varying inputs a pattern names. */
function inputsNamed(study: Study, name: string, subjects: readonly Subject[]): Subject {
  const fits = matcher(name);
  const keys = varyingRows(study)
    .map(({ key }) => key)
    .filter(fits);
  if (keys.length > 0) return { name, kind: 'input', keys };
  if (isInputKey(name)) throw new UserError(`--fix: ${notVarying(study, name)}`);
  const names = [...subjects.map((subject) => subject.name), ...varyingRows(study).map(({ key }) => key)];
  throw new UserError(`--fix: read "${name}"; expected an input that varies, a group or a kind of noise.${suggestion(name, names)}`);
}

/** A place of the study, whole or the end of one, which may be switched off as noise may. */
function isSetting(name: string): boolean {
  return studyPaths().some((path) => path === name || path.endsWith(`.${name}`));
}

/** Settings that no fix may change: with and without it the flights have the same numbers and the same luck. */
const LUCK = ['seed', 'flights', 'design', 'variants'];

/** What is no input is a setting of the study; whether there is such a one shows when it is opened. */
function holdAt(name: string, text: string): Fix {
  const fits = matcher(name);
  const rows = CATALOGUE.filter(({ key }) => fits(key));
  if (rows.length === 0) {
    if (LUCK.includes(name)) throw new UserError(`--fix ${name}=${text}: a fix is judged on the same luck; ${name} decides that luck`);
    return { name: `${name}=${text}`, pins: {}, spread: {}, settings: [`${name}=${text}`] };
  }
  const problems: string[] = [];
  const pins: Partial<Record<InputKey, number>> = {};
  for (const { key, unit, low, high, type } of rows) {
    const read = readQuantity(text, unit);
    if ('problem' in read) problems.push(`--fix: ${key}: read "${text}": ${read.problem}; expected half, perfect or ${expectedOf(unit)}`);
    else if (!(read.value >= low && read.value <= high))
      problems.push(`--fix: ${key}: ${text} is not between ${low} and ${high} ${unit}`.trimEnd());
    else if (type === 'yesNo' && read.value !== 0 && read.value !== 1) problems.push(`--fix: ${key}: read ${text}; expected 0 or 1`);
    else pins[key] = read.value;
  }
  if (problems.length > 0) throw new UserError(problems);
  return { name: `${name}=${text}`, pins, spread: {}, settings: [] };
}

function listed(subjects: readonly Subject[], kind: Subject['kind']): string {
  return (
    subjects
      .filter((subject) => subject.kind === kind)
      .map(({ name }) => name)
      .join(', ') || 'noise'
  );
}
