/**
 * The kinds of entry a study file is made of, each a zod schema that carries its own help for editors and its own words
 * for mistakes. Knows no particular entry; those are schema.ts.
 */
import { z } from 'zod';
import type { InputRow } from '../inputs/catalogue.ts';
import { suggestion } from '../maths/nearest.ts';
import { printable } from '../printable.ts';
import { dimensionWord, exampleOf, expectedOf, readQuantity } from './units.ts';

/** What was read, as a message shows it. */
export function show(value: unknown): string {
  if (value === undefined) return 'nothing';
  if (value === null) return 'an empty value';
  if (Array.isArray(value)) return value.length === 0 ? 'an empty list' : 'a list';
  if (typeof value === 'object')
    return Object.keys(value).length === 0 ? 'an empty map' : `a map with ${Object.keys(value).slice(0, 4).join(', ')}`;
  if (typeof value === 'string') return JSON.stringify(value.length > 60 ? `${value.slice(0, 57)}...` : value);
  return String(value);
}

const SIX_DIGITS = (x: number) => String(Number(x.toPrecision(6)));

/** A number with its unit for a person: angles in degrees, six digits. */
export function display(value: number, unit: string): string {
  if (unit === 'rad') return `${SIX_DIGITS((value * 180) / Math.PI)} deg`;
  if (unit === 'rad/s') return `${SIX_DIGITS((value * 180) / Math.PI)} deg/s`;
  return unit === '' ? SIX_DIGITS(value) : `${SIX_DIGITS(value)} ${unit}`;
}

export interface QuantityRules {
  /** Inclusive. */
  readonly low?: number;
  readonly high?: number;
  /** Exclusive lower bound. */
  readonly above?: number;
  /** What is meant when the entry is absent, as one might write it; without it the entry must be there. */
  readonly fallback?: string | number;
  readonly example?: string;
  /** A second unit the same number may be written in: radians are often left out of a gain's unit. */
  readonly also?: string;
}

function rangeText(unit: string, rules: QuantityRules): string {
  const { low = Number.NEGATIVE_INFINITY, high = Number.POSITIVE_INFINITY, above } = rules;
  const parts: string[] = [];
  if (above !== undefined) parts.push(`above ${display(above, unit)}`);
  if (low > Number.NEGATIVE_INFINITY && high < Number.POSITIVE_INFINITY) parts.push(`from ${display(low, unit)} to ${display(high, unit)}`);
  else if (low > Number.NEGATIVE_INFINITY) parts.push(`at least ${display(low, unit)}`);
  else if (high < Number.POSITIVE_INFINITY) parts.push(`at most ${display(high, unit)}`);
  return parts.join(', ');
}

/**
 * Sizes beyond which a number is a slip of the pen, and below which a quantity that must be above 0 is none: arithmetic
 * fails with either.
 */
const BIGGEST = 1e12;
const SMALLEST = 1e-15;

/** Reads one quantity or says what is wrong with it. */
export function checkQuantity(raw: unknown, unit: string, rules: QuantityRules): { value: number } | { text: string } {
  const range = rangeText(unit, rules);
  const expected = `expected ${expectedOf(unit)}${range === '' ? '' : ` ${range}`}`;
  const remedy = `Write, for example, ${rules.example ?? exampleOf(unit)}.`;
  if (raw === undefined) return { text: `missing; ${expected}. ${remedy}` };
  let reading = readQuantity(raw, unit);
  if ('problem' in reading && rules.also !== undefined) {
    const second = readQuantity(raw, rules.also);
    if ('value' in second) reading = second;
  }
  if ('problem' in reading) {
    return { text: `read ${show(raw)}${reading.problem === '' ? '' : ` (${reading.problem})`}; ${expected}. ${remedy}` };
  }
  const { value } = reading;
  const { low = Number.NEGATIVE_INFINITY, high = Number.POSITIVE_INFINITY, above = Number.NEGATIVE_INFINITY } = rules;
  if (Math.abs(value) > BIGGEST || (above === 0 && value > 0 && value < SMALLEST)) {
    return { text: `read ${show(raw)}; ${expected}, of a size that can be. Check its power of ten.` };
  }
  if (value < low || value > high || value <= above) {
    const bare = unit === 'K' && typeof raw === 'number';
    const what = bare ? 'A bare number is in K; write, for example, 15 degC.' : 'Give a value in that range.';
    return { text: `read ${show(raw)}; expected ${dimensionWord(unit)} ${range}. ${what}` };
  }
  return { value };
}

/** For editors: a number, then perhaps a unit. Which unit, and the range of a text, `alight check` says. */
export const QUANTITY_PATTERN = String.raw`^\s*[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?(?![\d.,]).*$`;

const or = (fallback: string | number | undefined, field: z.ZodType, meta: Record<string, unknown>) =>
  (fallback === undefined ? field : field.prefault(fallback)).meta(meta);

/** A number with a unit, SI inside. */
export function quantity(unit: string, meaning: string, rules: QuantityRules = {}): z.ZodType<number> {
  const field = z.unknown().transform((raw, context): number => {
    const read = checkQuantity(raw, unit, rules);
    if ('value' in read) return read.value;
    context.addIssue({ code: 'custom', message: read.text });
    return z.NEVER;
  });
  const range = rangeText(unit, rules);
  return or(rules.fallback, field, {
    type: ['number', 'string'],
    pattern: QUANTITY_PATTERN,
    ...(rules.low === undefined ? {} : { minimum: rules.low }),
    ...(rules.high === undefined ? {} : { maximum: rules.high }),
    ...(rules.above === undefined ? {} : { exclusiveMinimum: rules.above }),
    description: `${meaning} (${expectedOf(unit)}${range === '' ? '' : `, ${range}`})`,
    examples: [rules.example ?? exampleOf(unit)],
  }) as z.ZodType<number>;
}

/** A quantity that is the nominal value of an input: unit, bounds and meaning are the catalogue's. */
export function nominal(row: InputRow, rules: QuantityRules = {}): z.ZodType<number> {
  const field = quantity(row.unit, row.meaning, { low: row.low, high: row.high, ...rules });
  return field.meta({ ...field.meta(), [NOMINAL_OF]: row.key });
}

/** Marks the place that holds an input's nominal value, in what zod makes of the schema. */
export const NOMINAL_OF = 'nominalOf';

/** The same, or none of it: `none`, `off` or an empty value. */
export function orNone<T>(field: z.ZodType<T>, meaning: string, meta: Record<string, unknown> = {}): z.ZodType<T | null> {
  const isNone = (raw: unknown) => raw === undefined || raw === null || raw === 'none' || raw === 'off' || raw === false;
  return z
    .preprocess((raw) => (isNone(raw) ? null : raw), z.nullable(field))
    .prefault('none')
    .meta({ description: `${meaning}; \`none\` without it`, ...meta }) as unknown as z.ZodType<T | null>;
}

const YES: ReadonlySet<unknown> = new Set([true, 'on', 'yes', 'true']);
const NO: ReadonlySet<unknown> = new Set([false, 'off', 'no', 'false']);

/** `on` or `off`. */
export function onOff(meaning: string, fallback: 'on' | 'off'): z.ZodType<boolean> {
  const field = z.unknown().transform((raw, context): boolean => {
    if (YES.has(raw)) return true;
    if (NO.has(raw)) return false;
    context.addIssue({ code: 'custom', message: `read ${show(raw)}; expected on or off. Write one of the two.` });
    return z.NEVER;
  });
  return field.prefault(fallback).meta({ enum: ['on', 'off', true, false], description: meaning }) as z.ZodType<boolean>;
}

/** A whole number. */
export function whole(meaning: string, low: number, high: number, fallback: number): z.ZodType<number> {
  const field = z.unknown().transform((raw, context): number => {
    if (typeof raw === 'number' && Number.isInteger(raw) && raw >= low && raw <= high) return raw;
    context.addIssue({
      code: 'custom',
      message: `read ${show(raw)}; expected a whole number from ${low} to ${high}. Write, for example, ${fallback}.`,
    });
    return z.NEVER;
  });
  return field.prefault(fallback).meta({ type: 'integer', minimum: low, maximum: high, description: meaning }) as z.ZodType<number>;
}

/** One word out of a list; without a fallback it must be there. */
export function choice<const T extends string>(meaning: string, words: readonly T[], fallback: T): z.ZodType<T> {
  const field = z.unknown().transform((raw, context): T => {
    const found = words.find((word) => word === raw);
    if (found !== undefined) return found;
    const near = typeof raw === 'string' ? suggestion(raw, words) : '';
    context.addIssue({ code: 'custom', message: `read ${show(raw)}; expected one of ${words.join(', ')}.${near}` });
    return z.NEVER;
  });
  return field.prefault(fallback).meta({ enum: [...words], description: meaning }) as unknown as z.ZodType<T>;
}

/** A line of text, not empty. */
export function line(meaning: string, example: string): z.ZodType<string> {
  const field = z.unknown().transform((raw, context): string => {
    const text = typeof raw === 'string' ? raw.replace(/\n$/, '') : '';
    if (text.trim() !== '' && printable(text) === text) return text;
    context.addIssue({
      code: 'custom',
      message: `${raw === undefined ? 'missing' : `read ${show(raw)}`}; expected a line of text. Write, for example, ${example}.`,
    });
    return z.NEVER;
  });
  return field.meta({ type: 'string', description: meaning, examples: [example] }) as z.ZodType<string>;
}

interface RawIssue {
  readonly code?: string | undefined;
  readonly input?: unknown;
  readonly keys?: readonly string[];
}

/** Unknown keys of one map that are named, each with what it may have been meant for; more are counted. */
export const MOST_UNKNOWN = 20;

/** A message for a map that is none, or one line for each key that it may not have, in the order zod lists them. */
export function mapErrors(keys: readonly string[]): (issue: RawIssue) => string {
  return (issue) => {
    if (issue.code === 'unrecognized_keys') {
      return (issue.keys ?? [])
        .slice(0, MOST_UNKNOWN)
        .map((key) => `unknown key; expected one of ${keys.join(', ')}.${suggestion(key, keys)}`)
        .join('\n');
    }
    const read = issue.input === undefined ? 'missing' : `read ${show(issue.input)}`;
    return `${read}; expected a map with ${keys.slice(0, 6).join(', ')}${keys.length > 6 ? ', ...' : ''}. Write the keys below it, indented.`;
  };
}

/** A map with these keys and no other. */
export function section<S extends Record<string, z.ZodType>>(meaning: string, shape: S) {
  return z.strictObject(shape, { error: mapErrors(Object.keys(shape)) }).meta({ description: meaning });
}

/** The same, every key of which has a default, so that the whole may be left out. */
export function optionalSection<S extends Record<string, z.ZodType>>(meaning: string, shape: S) {
  // the entries take anything and check it themselves, which the type of an empty map cannot say
  return section(meaning, shape).prefault({} as never);
}

/**
 * A map with exactly one of these keys, which says the kind of what it holds.
 * @param beside keys that may stand beside it, whatever the kind
 */
export function oneOf<S extends Record<string, z.ZodType>, B extends Record<string, z.ZodType> = Record<never, never>>(
  meaning: string,
  shape: S,
  beside: B = {} as B,
) {
  const keys = Object.keys(shape);
  const both = { ...shape, ...beside };
  const optional = Object.fromEntries(Object.entries(both).map(([key, field]) => [key, field.optional()])) as {
    [K in keyof (S & B)]: z.ZodOptional<(S & B)[K]>;
  };
  return z
    .strictObject(optional, { error: mapErrors(Object.keys(both)) })
    .check((context) => {
      const given = Object.keys(context.value as object).filter((key) => keys.includes(key));
      if (given.length === 1 || context.issues.length > 0) return;
      context.issues.push({
        code: 'custom',
        input: context.value,
        message: `read ${given.length === 0 ? 'an empty map' : given.join(' and ')}; expected exactly one of ${keys.join(', ')}. Keep one.`,
      });
    })
    .meta({ description: meaning, minProperties: 1, maxProperties: 1 + Object.keys(beside).length });
}
