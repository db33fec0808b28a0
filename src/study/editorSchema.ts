/**
 * What zod makes of the study's definition, made fit for editors: `none` among what may be written, a rule's kind named
 * before its constants are looked at, inputs with their meaning and what they are when left out, names with `*` held to
 * the inputs there are. Plain data in, plain data out; knows no schema but the study's.
 */
import { ruleKinds } from '../avionics/rules/kinds.ts';
import { CATALOGUE, type InputRow } from '../inputs/catalogue.ts';
import { NOMINAL_OF, QUANTITY_PATTERN } from './fields.ts';
import { SAMPLE, SAMPLE_SCHEMA } from './sample.ts';
import { expectedOf } from './units.ts';

/** A JSON Schema node. */
export type SchemaNode = Readonly<Record<string, unknown>>;

const isNode = (value: unknown): value is SchemaNode => typeof value === 'object' && value !== null && !Array.isArray(value);

/** Every node below and this one, changed from the leaves up. @param path keys on the way, as the study has them */
function mapNodes(node: unknown, change: (node: SchemaNode, path: readonly string[]) => SchemaNode, path: readonly string[] = []): unknown {
  if (Array.isArray(node)) return node.map((part) => mapNodes(part, change, path));
  if (!isNode(node)) return node;
  const changed = Object.entries(node).map(([key, value]) => {
    if (key === 'properties' && isNode(value)) {
      return [key, Object.fromEntries(Object.entries(value).map(([name, child]) => [name, mapNodes(child, change, [...path, name])]))];
    }
    return [key, ['examples', 'default', 'enum', 'const'].includes(key) ? value : mapNodes(value, change, path)];
  });
  return change(Object.fromEntries(changed), path);
}

/** The words that leave out what may be left out (fields.ts, orNone). */
const NONE = { enum: ['none', 'off', false], description: 'without it' };

/**
 * @param study what zod makes of the study file's definition
 * @returns the same for editors, and the place of each input's nominal value, dotted
 */
export function forEditors(study: SchemaNode): { readonly schema: SchemaNode; readonly places: ReadonlyMap<string, string> } {
  const places = new Map<string, string>();
  const schema = mapNodes(study, (node, path) => {
    const { [NOMINAL_OF]: key, ...rest } = node;
    if (typeof key === 'string') places.set(key, path.join('.'));
    if (rest.default === 'none' && Array.isArray(rest.anyOf)) return { ...rest, anyOf: [...rest.anyOf, NONE] };
    return path.length === 1 && path[0] === 'rules' && isNode(rest.additionalProperties) && Array.isArray(rest.additionalProperties.oneOf)
      ? { ...rest, additionalProperties: byKind(rest.additionalProperties.oneOf as readonly SchemaNode[]) }
      : rest;
  });
  return { schema: schema as SchemaNode, places };
}

/** A rule's kind is one of a list, said before anything else; its constants follow from it. */
function byKind(kinds: readonly SchemaNode[]): SchemaNode {
  const known = ruleKinds();
  const meanings = known.map(({ kind, meaning }) => `${kind}: ${meaning}`).join('; ');
  return {
    type: 'object',
    description: 'an ignition rule: its kind and its constants',
    required: ['kind'],
    properties: { kind: { enum: known.map(({ kind }) => kind), description: `kind of rule (${meanings})` } },
    // biome-ignore lint/suspicious/noThenProperty: a word of JSON Schema
    allOf: known.map(({ kind }, i) => ({ if: { properties: { kind: { const: kind } }, required: ['kind'] }, then: kinds[i] })),
  };
}

/** The entries of `inputs:`. @param places of nominal values, dotted, by input */
export function inputsForEditors(places: ReadonlyMap<string, string>): SchemaNode {
  return {
    type: 'object',
    description:
      'how inputs vary from flight to flight; a plain value holds one fixed; a name with * stands for every input it matches, each drawn on its own',
    properties: { ...Object.fromEntries(CATALOGUE.map((row) => [row.key, entry(row, describe(row, places))])), [SAMPLE]: SAMPLE_SCHEMA },
    patternProperties: {
      [WITH_STAR]: {
        anyOf: [{ $ref: '#/$defs/distribution' }, { ...VALUE, description: 'every input of that name, the same on every flight' }],
      },
    },
    additionalProperties: false,
    default: {},
  };
}

const VALUE = { type: ['number', 'string'], pattern: QUANTITY_PATTERN };
const YES_NO = { enum: [0, 1, true, false, 'on', 'off', 'yes', 'no'] };

/** The words stand beside both branches: an editor shows those of the branch that it takes. */
function entry(row: InputRow, description: string): SchemaNode {
  const fixed = row.type === 'yesNo' ? YES_NO : { ...VALUE, minimum: row.low, maximum: row.high };
  const otherwise = row.nominal === 'study' ? {} : { default: row.nominal };
  return {
    description,
    ...otherwise,
    anyOf: [
      { $ref: '#/$defs/distribution', description },
      { ...fixed, description },
    ],
  };
}

/** "airframe without motors (a mass in kg); when left out: airframe.mass of the study". */
function describe({ key, meaning, unit, type, nominal }: InputRow, places: ReadonlyMap<string, string>): string {
  const what = type === 'yesNo' ? 'a chance' : expectedOf(unit);
  const place = places.get(key);
  const otherwise =
    nominal !== 'study'
      ? type === 'yesNo'
        ? 'never'
        : `${nominal} ${unit}`.trimEnd()
      : place === undefined
        ? 'the study’s own value'
        : `${place} of the study`;
  return `${meaning} (${what}); when left out: ${otherwise}`;
}

/** Names with `*` whose part before it begins some input's key. */
const WITH_STAR = `^(?:${beginnings(CATALOGUE.map(({ key }) => key))})[A-Za-z0-9.*]*$`;

/** A pattern of what begins one of the words and then has a star. */
function beginnings(words: readonly string[]): string {
  const letters = new Map<string, string[]>();
  for (const word of words) {
    if (word !== '') letters.set(word[0], [...(letters.get(word[0]) ?? []), word.slice(1)]);
  }
  const branches = [...letters].map(([letter, rest]) => {
    const next = beginnings(rest);
    return `${letter === '.' ? '\\.' : letter}${next === '\\*' ? next : `(?:${next})`}`;
  });
  return ['\\*', ...branches].join('|');
}
