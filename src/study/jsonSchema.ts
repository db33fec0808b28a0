/**
 * The study file's definition as JSON Schema, for editors that complete and check YAML, and for listing every place of
 * a study.
 */
import { z } from 'zod';
import { distributionField } from './distributionField.ts';
import { forEditors, inputsForEditors, type SchemaNode } from './editorSchema.ts';
import { STUDY_FILE } from './schema.ts';

/** A JSON Schema node, as far as it is walked here. */
interface Node {
  readonly properties?: Readonly<Record<string, Node>>;
  readonly anyOf?: readonly Node[];
  readonly oneOf?: readonly Node[];
  readonly allOf?: readonly Node[];
  readonly then?: Node;
  readonly additionalProperties?: boolean | Node;
}

const options: z.core.ToJSONSchemaParams = {
  io: 'input',
  unrepresentable: 'any',
  // zod leaves the examples of entries out that it turns into something else
  override: ({ zodSchema, jsonSchema }) => {
    const examples: unknown = z.globalRegistry.get(zodSchema as unknown as z.ZodType)?.examples;
    if (Array.isArray(examples)) jsonSchema.examples = examples;
  },
};

/** JSON Schema (2020-12) of a study file; the inputs and their meanings come from the catalogue. Plain data. */
export function studySchema(): Readonly<Record<string, unknown>> {
  const { schema, places } = forEditors(z.toJSONSchema(STUDY_FILE, options) as SchemaNode);
  const { $schema, properties, ...rest } = schema as { readonly $schema: string; readonly properties: SchemaNode };
  const { $schema: _same, ...distribution } = z.toJSONSchema(distributionField, options);
  return {
    $schema,
    title: 'alight study',
    ...rest,
    properties: { ...properties, inputs: inputsForEditors(places) },
    $defs: { distribution },
  };
}

let places: readonly string[] | undefined;

/** Every place a study may have, dotted; `*` stands for a name of the user's own or a place in a list. */
export function studyPaths(): readonly string[] {
  places ??= placesOf(studySchema() as Node);
  return places;
}

function placesOf(schema: Node): readonly string[] {
  const found = new Set<string>();
  const visit = (node: Node, path: string) => {
    if (path !== '') found.add(path);
    const prefix = path === '' ? '' : `${path}.`;
    for (const [key, child] of Object.entries(node.properties ?? {})) visit(child, `${prefix}${key}`);
    if (typeof node.additionalProperties === 'object') visit(node.additionalProperties, `${prefix}*`);
    for (const child of [...(node.anyOf ?? []), ...(node.oneOf ?? []), ...(node.allOf ?? [])]) visit(child, path);
    if (node.then !== undefined) visit(node.then, path);
  };
  const { inputs: _inputs, ...properties } = schema.properties ?? {};
  visit({ properties }, '');
  return [...found];
}

/** The schema's file, named in the first line of a study. */
export const SCHEMA_NAME = 'study.schema.json';

/** Text of the schema's file beside the studies. */
export function studySchemaText(): string {
  return `${JSON.stringify(studySchema(), null, 1)}\n`;
}
