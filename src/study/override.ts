/**
 * `--set path=value`: values of a study replaced from the command line before it is checked. Does not check the values
 * themselves; they go through the same checks as the file's, and messages then name the option.
 */
import { parseDocument } from 'yaml';
import { CATALOGUE, isInputKey } from '../inputs/catalogue.ts';
import { suggestion } from '../maths/nearest.ts';
import { READING, RESERVED, unfold, unusable } from './document.ts';
import type { Findings, Path } from './findings.ts';
import { matcher } from './wildcard.ts';

/** A replaced place and the option that replaced it, as typed. */
export interface Override {
  readonly path: Path;
  readonly option: string;
}

/** A replacement that is read already: a dotted name and what stands there instead. */
export interface Given {
  readonly name: string;
  readonly value: unknown;
  /** What problems call it. */
  readonly option: string;
}

type YamlMap = Record<string, unknown>;
const isMap = (value: unknown): value is YamlMap => typeof value === 'object' && value !== null && !Array.isArray(value);

/**
 * A setting `path=value` read as YAML.
 * @param flag the option it was given by   @returns undefined when it cannot be (said in `findings`)
 */
export function readSetting(setting: string, findings: Findings, flag = '--set'): Given | undefined {
  const option = `${flag} ${setting}`;
  const split = setting.indexOf('=');
  if (split < 1) {
    findings.problemAt(option, 'read no path and value; expected path=value. Write, for example, --set seed=7.');
    return undefined;
  }
  const document = parseDocument(setting.slice(split + 1), READING);
  const fault = document.errors[0];
  if (fault !== undefined) {
    findings.problemAt(option, `not sound YAML: ${fault.message.replace(/\s+/g, ' ').replace(/\.?$/, '.')} Put the value in quotes.`);
    return undefined;
  }
  const unfit = unusable(document)[0];
  const unfolded = unfit === undefined ? unfold(document) : { problem: unfit.text };
  if ('problem' in unfolded) {
    findings.problemAt(option, unfolded.problem);
    return undefined;
  }
  return { name: setting.slice(0, split).trim(), value: unfolded.value, option };
}

/**
 * Puts every replacement into a copy of the file's value, in order.
 * @param given a name that is an input's key (or a pattern of keys) sets that input; any other names a place of the
 * file by dots; keys that hold dots themselves are found too.
 * @param knownPaths gives every place a study may have, dotted; `*` stands for a name of the user's own. Asked only
 * where the file itself does not hold the place: listing them takes longer than reading a study.
 */
export function applyGiven(
  file: unknown,
  given: readonly Given[],
  knownPaths: () => readonly string[],
  findings: Findings,
): { readonly value: unknown; readonly overrides: readonly Override[] } {
  const value = structuredClone(file);
  const overrides: Override[] = [];
  if (!isMap(value)) return { value, overrides };
  for (const { name, value: replaced, option } of given) {
    if (name.split('.').includes(RESERVED)) {
      findings.problemAt(option, `read ${RESERVED} in the path; expected names of the study. That one is reserved; choose another.`);
      continue;
    }
    const matches = matcher(name);
    const keys = CATALOGUE.filter((row) => matches(row.key)).map((row) => row.key);
    const paths: Path[] | undefined = keys.length > 0 ? keys.map((key) => ['inputs', key]) : place(value, name, knownPaths);
    if (paths === undefined) {
      const words = [...placesLike(name, knownPaths()), ...CATALOGUE.map((row) => row.key), ...ruleConstants(value)];
      findings.problemAt(
        option,
        `unknown path; expected an input or a place of the study.${suggestion(name, words) || ' See the lists of both.'}`,
      );
      continue;
    }
    for (const path of paths) {
      if (put(value, path, structuredClone(replaced))) overrides.push({ path, option });
      else findings.problemAt(option, 'that path goes below a single value; expected the path of a value. Shorten it.');
    }
  }
  return { value, overrides };
}

/** Places to propose: whole ones first, then ends with as many parts as were typed, which are taken for the whole. */
function placesLike(name: string, knownPaths: readonly string[]): string[] {
  const places = knownPaths.filter((path) => !path.includes('*'));
  const parts = name.split('.').length;
  return [...places, ...(parts < 2 ? [] : places.map((path) => path.split('.').slice(-parts).join('.')))];
}

/** Dotted places of what the user named: constants of rules. */
function ruleConstants(value: YamlMap): string[] {
  const rules = value.rules;
  if (!isMap(rules)) return [];
  return Object.entries(rules).flatMap(([name, rule]) => (isMap(rule) ? Object.keys(rule).map((key) => `rules.${name}.${key}`) : []));
}

/** The place a dotted name means, or undefined when a study has no such place. */
function place(value: YamlMap, name: string, knownPaths: () => readonly string[]): Path[] | undefined {
  const parts = name.split('.');
  if (parts[0] === 'inputs') {
    // the longest join of parts that is an entry of the file or an input's key
    const inputs = isMap(value.inputs) ? value.inputs : {};
    for (let n = parts.length; n > 1; n--) {
      const key = parts.slice(1, n).join('.');
      const rest = parts.slice(n);
      if (!Object.hasOwn(inputs, key)) {
        if (!isInputKey(key)) continue;
        // it gets an entry of its own, starting from the pattern that stood for it
        const pattern = Object.keys(inputs).find((entry) => entry.includes('*') && matcher(entry)(key));
        if (rest.length > 0 && pattern !== undefined) {
          inputs[key] = structuredClone(inputs[pattern]);
          value.inputs = inputs;
        }
      }
      return [['inputs', key, ...rest]];
    }
    return undefined;
  }
  const path = walk(value, parts);
  if (path !== undefined) return [path];
  const known = knownPaths();
  if (known.some((path) => fits(parts, path.split('.')))) return [parts];
  // the end of one place alone, such as gimbal.limit
  const ends = parts.length < 2 ? [] : known.filter((path) => !path.includes('*') && path.endsWith(`.${name}`));
  return ends.length === 1 ? [ends[0].split('.')] : undefined;
}

/** The path of something that the file holds, keys joined as long as they go. */
function walk(value: unknown, parts: readonly string[]): Path | undefined {
  if (parts.length === 0) return [];
  if (Array.isArray(value)) {
    const index = Number(parts[0]);
    const rest = Number.isInteger(index) && index >= 0 && index < value.length ? walk(value[index], parts.slice(1)) : undefined;
    return rest && [index, ...rest];
  }
  if (!isMap(value)) return undefined;
  for (let n = parts.length; n > 0; n--) {
    const key = parts.slice(0, n).join('.');
    const rest = Object.hasOwn(value, key) ? walk(value[key], parts.slice(n)) : undefined;
    if (rest !== undefined) return [key, ...rest];
  }
  return undefined;
}

/** `*` takes one part or several: names of the user's own may hold dots. */
function fits(parts: readonly string[], known: readonly string[]): boolean {
  const [first, ...rest] = known;
  if (first === undefined) return parts.length === 0;
  if (first === '*') return parts.some((_, i) => fits(parts.slice(i + 1), rest));
  return parts[0] === first && fits(parts.slice(1), rest);
}

/** @returns false when the way leads through a single value. */
function put(value: YamlMap, path: Path, given: unknown): boolean {
  let holder: YamlMap | unknown[] = value;
  for (const [depth, step] of path.entries()) {
    const last = depth === path.length - 1;
    // only what it holds itself: everything inherits a few names
    const slot = Array.isArray(holder) ? holder[Number(step)] : Object.hasOwn(holder, step) ? holder[step] : undefined;
    const next: unknown = last ? given : (slot ?? {});
    if (Array.isArray(holder)) holder[Number(step)] = next;
    // a key such as __proto__ becomes a key like any other
    else Object.defineProperty(holder, step, { value: next, writable: true, enumerable: true, configurable: true });
    if (last) return true;
    if (!isMap(next) && !Array.isArray(next)) return false;
    holder = next;
  }
  return true;
}
