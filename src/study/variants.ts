/**
 * Variants of a study: named sets of replacements, each optionally of another study file. What they replace is checked
 * when the variant is opened, by the same checks as the file's own values. Applies nothing (override.ts does).
 */
import { z } from 'zod';
import { suggestion } from '../maths/nearest.ts';
import { mapErrors, show } from './fields.ts';
import type { Findings } from './findings.ts';

/** A place of the study, dotted as after --set, and what stands there instead. */
export interface Replacement {
  readonly name: string;
  readonly value: unknown;
}

export interface Variant {
  readonly name: string;
  /** Name of the study file that the replacements are of; null: the study itself. */
  readonly from: string | null;
  readonly replacements: readonly Replacement[];
}

/** The study as it is, without any replacement. */
export const BASE = 'base';
export const AS_IT_IS: Variant = { name: BASE, from: null, replacements: [] };

/** The key of a variant that names another study file. */
const FROM = 'from';
const NAME = /^[A-Za-z][\w-]*$/;
/** What a variant may not replace: the flights compared have the same numbers and the same luck. */
const LUCK = ['seed', 'flights', 'design', 'variants'];

const variant = z.record(z.string(), z.unknown(), { error: mapErrors(['the places to replace, e.g. phases.replay: on']) });

/** In a study file. */
export const variantsField = z
  .record(z.string(), variant, { error: mapErrors(['a name for each variant']) })
  .check((context) => {
    const note = (path: string[], message: string) => context.issues.push({ code: 'custom', input: context.value, path, message });
    for (const [name, entries] of Object.entries(context.value)) {
      if (!NAME.test(name) || name === BASE) {
        const why = name === BASE ? 'that is the study as it is' : 'letters, digits and dashes, a letter first';
        note([name], `read ${show(name)} as a name of a variant; expected another: ${why}. Rename it.`);
      }
      if (Object.keys(entries).length === 0) note([name], 'read no replacement; expected at least one, e.g. phases.replay: on.');
      for (const [key, value] of Object.entries(entries)) {
        if (key === FROM && (typeof value !== 'string' || value === '')) {
          note([name, key], `read ${show(value)}; expected the name of a study file. Write, for example, from: heavier.yaml.`);
        }
        if (LUCK.includes(key))
          note([name, key], `read ${key}; expected places that are not the luck: variants fly the same flights. Remove it.`);
      }
    }
  })
  .prefault({})
  .meta({
    description:
      'named sets of replacements for `alight compare --variants`: places of the study, dotted, and what stands there instead; `from` names another study file to start from',
    examples: [{ replay: { 'phases.replay': 'on', 'computer.transitionGap': '5 ms' } }],
  });

/** The named variant. @returns undefined when the file has none of that name (said in `findings`) */
export function variantIn(value: unknown, wanted: string, file: string, findings: Findings): Variant | undefined {
  if (wanted === BASE) return AS_IT_IS;
  const all = isMap(value) && isMap(value.variants) ? value.variants : {};
  const entries = Object.hasOwn(all, wanted) ? all[wanted] : undefined;
  if (!isMap(entries)) {
    const names = [BASE, ...Object.keys(all)];
    findings.problemAt(file, `no variant ${show(wanted)}; expected one of ${names.join(', ')}.${suggestion(wanted, names)}`);
    return undefined;
  }
  const { [FROM]: from, ...replaced } = entries;
  return {
    name: wanted,
    from: typeof from === 'string' ? from : null,
    replacements: Object.entries(replaced).map(([name, given]) => ({ name, value: given })),
  };
}

function isMap(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
