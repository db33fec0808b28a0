/**
 * The text of a study file read as YAML, and where in it each value stands. Knows nothing of what a study holds.
 */
import { type Document, isAlias, isMap, isNode, isScalar, isSeq, LineCounter, type Pair, parseDocument, visit } from 'yaml';
import type { Findings, Path } from './findings.ts';

/** Aliases (`*name`) that may be followed; more is a file made to exhaust memory. */
const MOST_ALIASES = 200;

export interface StudyDocument {
  /** Maps, lists, numbers, texts. */
  readonly value: unknown;
  /** Where the value at a path stands (or its key), else its nearest parent. Counted from 1. */
  readonly place: (path: Path, onKey: boolean) => { readonly line: number; readonly column: number };
}

const keyOf = (pair: Pair): unknown => (isScalar(pair.key) ? pair.key.value : pair.key);

/** Offset of an entry: its value when it stands on the line of its key, else the key. */
function offsetOf(document: Document, path: Path, onKey: boolean): number {
  let node: unknown = document.contents;
  let offset = isNode(node) ? (node.range?.[0] ?? 0) : 0;
  for (const [depth, step] of path.entries()) {
    const last = depth === path.length - 1;
    if (isAlias(node)) node = node.resolve(document);
    if (isMap(node)) {
      const pair = node.items.find((item) => String(keyOf(item)) === String(step));
      if (pair === undefined) return offset;
      const { key, value } = pair;
      const keyStart = isNode(key) ? key.range?.[0] : undefined;
      const valueStart = isNode(value) ? value.range?.[0] : undefined;
      // a value on the key's own line is the better place to point at; a block below it is not
      offset = (last && !onKey && isScalar(value) && value.value !== null ? valueStart : keyStart) ?? offset;
      node = value;
    } else if (isSeq(node)) {
      const item: unknown = node.items[Number(step)];
      if (!isNode(item)) return offset;
      offset = item.range?.[0] ?? offset;
      node = item;
    } else return offset;
  }
  return offset;
}

/** Keys that stand there twice are found by {@link unusable}: the library would compare each with all others. */
export const READING = { prettyErrors: false, stringKeys: true, uniqueKeys: false } as const;

/** A key that is no key like others where objects are made of maps. */
export const RESERVED = '__proto__';

/**
 * What is sound YAML and still cannot be taken: keys that stand there twice or are reserved names, and the first alias
 * without an anchor.
 */
export function unusable(document: Document): { readonly offset: number; readonly text: string }[] {
  const anchors = new Set<string>();
  const found: { offset: number; text: string }[] = [];
  visit(document, {
    Node: (_, node) => {
      if (!isAlias(node) && node.anchor !== undefined) anchors.add(node.anchor);
    },
    Map: (_, { items }) => {
      const keys = new Set<unknown>();
      for (const { key } of items) {
        if (!isScalar(key)) continue;
        const offset = key.range?.[0] ?? 0;
        if (key.value === RESERVED) {
          found.push({ offset, text: `read ${RESERVED} as a name; expected another: that one is reserved. Rename it.` });
        }
        if (keys.has(key.value)) found.push({ offset, text: `read ${key.value} a second time; expected each key once. Remove one.` });
        keys.add(key.value);
      }
    },
    Alias: (_, { source, range }) => {
      if (anchors.has(source)) return undefined;
      found.push({
        offset: range?.[0] ?? 0,
        text: `read *${source}, an alias of a value that is marked &${source} nowhere before; if it is a text, put it in quotes.`,
      });
      return visit.BREAK;
    },
  });
  return found;
}

/** A document that {@link unusable} finds nothing in, as maps, lists, numbers and texts. */
export function unfold(document: Document): { readonly value: unknown } | { readonly problem: string } {
  try {
    return { value: document.toJS({ maxAliasCount: MOST_ALIASES }) };
  } catch (error) {
    if (!(error instanceof ReferenceError)) throw error;
    return { problem: `read aliases that unfold without end; expected at most ${MOST_ALIASES}. Write the values out.` };
  }
}

/**
 * Parses the text; every mistake of syntax goes to `findings`.
 * @param name the file's name as problems print it
 * @returns undefined when there was any
 */
export function readDocument(text: string, name: string, findings: Findings): StudyDocument | undefined {
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines, ...READING });
  // After a mistake of syntax the rest is read askew: what follows the first is its echo.
  for (const error of [...document.errors, ...document.warnings].sort((a, b) => a.pos[0] - b.pos[0]).slice(0, 1)) {
    const position = lines.linePos(error.pos[0]);
    const message = error.message.replace(/\s+/g, ' ').replace(/\.?$/, '.');
    findings.problemAt(`${name}:${position.line}:${position.col}`, `not sound YAML: ${message} Mend the line, or the one above it.`);
  }
  const found = findings.problems.length > 0 ? [] : unusable(document);
  for (const { offset, text: problem } of found) {
    const position = lines.linePos(offset);
    findings.problemAt(`${name}:${position.line}:${position.col}`, problem);
  }
  if (findings.problems.length > 0) return undefined;
  const unfolded = unfold(document);
  if ('problem' in unfolded) {
    findings.problemAt(`${name}:1:1`, unfolded.problem);
    return undefined;
  }
  return {
    value: unfolded.value,
    place: (path, onKey) => {
      const position = lines.linePos(offsetOf(document, path, onKey));
      return { line: position.line, column: position.col };
    },
  };
}
