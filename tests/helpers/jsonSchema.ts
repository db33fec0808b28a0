/** Whether a value fits a JSON Schema: as much of draft 2020-12 as the study's schema uses; what it does not know it refuses. */

export type Node = Readonly<Record<string, unknown>>;

const KNOWN = new Set([
  ...['$schema', '$defs', '$ref', 'title', 'description', 'default', 'examples', 'type', 'enum', 'const', 'pattern', 'minimum', 'maximum'],
  ...['exclusiveMinimum', 'exclusiveMaximum', 'properties', 'required', 'additionalProperties', 'patternProperties', 'propertyNames'],
  ...['minProperties', 'maxProperties', 'items', 'prefixItems', 'minItems', 'maxItems', 'anyOf', 'oneOf', 'allOf', 'if', 'then'],
]);

const isMap = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

function typeOf(value: unknown): string {
  if (value === null) return 'null';
  return Array.isArray(value) ? 'array' : typeof value;
}

/** @returns `path: keyword` of each thing that does not fit */
export function unfit(value: unknown, node: Node | boolean, root: Node, path = ''): string[] {
  if (node === true) return [];
  if (node === false) return [`${path}: not allowed`];
  const strange = Object.keys(node).filter((key) => !KNOWN.has(key));
  if (strange.length > 0) throw new Error(`the validator of these tests does not know ${strange.join(', ')}`);
  const own = (key: string) => node[key];
  const fits = (part: unknown): boolean => unfit(value, part as Node, root, path).length === 0;
  const found: string[] = [];
  const want = (keyword: string, holds: boolean): void => {
    if (own(keyword) !== undefined && !holds) found.push(`${path}: ${keyword}`);
  };
  if (typeof own('$ref') === 'string') {
    const target = (own('$ref') as string)
      .slice(2)
      .split('/')
      .reduce<unknown>((at, key) => (at as Node)[key], root);
    found.push(...unfit(value, target as Node, root, path));
  }
  const types = [own('type')].flat();
  const type = typeOf(value);
  want('type', types.includes(type) || (types.includes('integer') && Number.isInteger(value)));
  want('enum', (own('enum') as unknown[] | undefined)?.includes(value) ?? true);
  want('const', own('const') === value);
  if (typeof value === 'string') want('pattern', new RegExp(String(own('pattern'))).test(value));
  if (typeof value === 'number') {
    want('minimum', value >= Number(own('minimum')));
    want('maximum', value <= Number(own('maximum')));
    want('exclusiveMinimum', value > Number(own('exclusiveMinimum')));
    want('exclusiveMaximum', value < Number(own('exclusiveMaximum')));
  }
  want('anyOf', (own('anyOf') as unknown[] | undefined)?.some(fits) ?? true);
  want('oneOf', (own('oneOf') as unknown[] | undefined)?.filter(fits).length === 1);
  for (const part of (own('allOf') as Node[] | undefined) ?? []) found.push(...unfit(value, part, root, path));
  if (own('if') !== undefined && fits(own('if'))) found.push(...unfit(value, (own('then') as Node | undefined) ?? true, root, path));
  if (Array.isArray(value)) {
    want('minItems', value.length >= Number(own('minItems')));
    want('maxItems', value.length <= Number(own('maxItems')));
    const items = own('items') as Node | boolean | undefined;
    if (items !== undefined)
      value.forEach((item, i) => {
        found.push(...unfit(item, items, root, `${path}.${i}`));
      });
  }
  if (isMap(value)) found.push(...unfitMap(value, node, root, path));
  return found;
}

function unfitMap(value: Readonly<Record<string, unknown>>, node: Node, root: Node, path: string): string[] {
  const keys = Object.keys(value);
  const properties = (node.properties ?? {}) as Readonly<Record<string, Node>>;
  const patterns = Object.entries((node.patternProperties ?? {}) as Readonly<Record<string, Node>>);
  const rest = (node.additionalProperties ?? true) as Node | boolean;
  const missing = ((node.required ?? []) as string[]).filter((key) => !keys.includes(key)).map((key) => `${path}.${key}: missing`);
  const few = keys.length < Number(node.minProperties ?? 0) ? [`${path}: minProperties`] : [];
  const many = keys.length > Number(node.maxProperties ?? Number.POSITIVE_INFINITY) ? [`${path}: maxProperties`] : [];
  const inside = keys.flatMap((key) => {
    const here = `${path}.${key}`;
    const named = [
      ...(Object.hasOwn(properties, key) ? [properties[key]] : []),
      ...patterns.flatMap(([pattern, own]) => (new RegExp(pattern).test(key) ? [own] : [])),
    ];
    return (named.length === 0 ? [rest] : named).flatMap((own) => unfit(value[key], own, root, here));
  });
  return [...missing, ...few, ...many, ...inside];
}
