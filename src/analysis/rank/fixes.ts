/** What a fix does to a study: which inputs it holds, and which it makes vary less. Flies nothing. */
import { UserError } from '../../errors.ts';
import { byInput, CATALOGUE, INPUT_INDEX, type InputKey, inputIndex, isInputKey } from '../../inputs/catalogue.ts';
import { scaleCircularSpread } from '../../inputs/circularSpread.ts';
import { suggestion } from '../../maths/nearest.ts';
import type { SamplerPlan } from '../../sampling/sampler.ts';
import { studyPaths } from '../../study/jsonSchema.ts';
import { nominalInputs } from '../../study/nominal.ts';
import type { Study } from '../../study/study.ts';
import { expectedOf, readQuantity } from '../../study/units.ts';
import { matcher } from '../../study/wildcard.ts';
import { notVarying, type Subject, varyingRows } from './rankSubjects.ts';

/** Plain data; laid over a sampler plan. */
export interface Fix {
  readonly name: string;
  readonly pins: Readonly<Partial<Record<InputKey, number>>>;
  readonly spread: Readonly<Partial<Record<InputKey, number>>>;
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
  if (kind === 'noise') return { name, pins: byInput(keys, () => 0), spread: {} };
  const spread = byInput(scalable(study, keys, 0), () => 0);
  return keys.length > 0 && Object.keys(spread).length === 0 ? null : { name, pins: {}, spread };
}

/**
 * Half the spread; half the noise. null for noise whose strength varies by itself (half of it is no one value), and for
 * a subject of nothing but directions that have no side to be drawn in from.
 */
export function halved(study: Study, { name, kind, keys }: Subject): Fix | null {
  if (kind !== 'noise') {
    const spread = byInput(scalable(study, keys, 0.5), () => 0.5);
    return keys.length > 0 && Object.keys(spread).length === 0 ? null : { name, pins: {}, spread };
  }
  const varying = new Set(varyingRows(study).map(({ key }) => key));
  if (keys.some((key) => varying.has(key))) return null;
  const nominal = nominalInputs(study);
  return { name, pins: byInput(keys, (key) => nominal[inputIndex(key)] / 2), spread: {} };
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
 * noise; a value is a quantity that the inputs named are held at.
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
  if (parts.length === 0 && problems.length === 0) problems.push(`--fix: read "${text}"; expected name=half, name=perfect or input=value`);
  const seen = new Map<string, string>();
  for (const { name, pins, spread } of parts) {
    for (const key of [...Object.keys(pins), ...Object.keys(spread)]) {
      const before = seen.get(key);
      if (before !== undefined) problems.push(`--fix: ${key} is changed twice, by ${before} and by ${name}`);
      seen.set(key, name);
    }
  }
  if (problems.length > 0) throw new UserError(problems);
  const whole: Fix = {
    name: parts.map(({ name }) => name).join(', '),
    pins: Object.assign({}, ...parts.map(({ pins }) => pins)),
    spread: Object.assign({}, ...parts.map(({ spread }) => spread)),
  };
  return { whole, parts: parts.length > 1 ? parts : [] };
}

function readPart(study: Study, word: string, subjects: readonly Subject[]): Fix {
  const split = word.indexOf('=');
  const name = word.slice(0, Math.max(0, split)).trim();
  const value = word.slice(split + 1).trim();
  if (split < 1 || value === '') throw new UserError(`--fix: read "${word}"; expected name=half, name=perfect or input=value`);
  const subject = subjects.find((one) => one.name === name && one.kind !== 'input');
  const named = value === 'half' || value === 'perfect' || value === 'off';
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

function holdAt(name: string, text: string): Fix {
  const fits = matcher(name);
  const rows = CATALOGUE.filter(({ key }) => fits(key));
  if (rows.length === 0) {
    const near = suggestion(name, INPUT_INDEX.keys());
    // What is a place of the study is no typing mistake.
    if (near === '' && studyPaths().includes(name)) {
      throw new UserError(
        `--fix: read "${name}=${text}"; ${name} is a setting of the study, and a fix changes inputs, groups and noise. Fly the study without and with --set ${name}=${text}`,
      );
    }
    throw new UserError(`--fix: read "${name}=${text}"; a value needs an input to hold.${near}`);
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
  return { name: `${name}=${text}`, pins, spread: {} };
}

function listed(subjects: readonly Subject[], kind: Subject['kind']): string {
  return (
    subjects
      .filter((subject) => subject.kind === kind)
      .map(({ name }) => name)
      .join(', ') || 'noise'
  );
}
