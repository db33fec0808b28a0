/**
 * The text of a study file read as YAML, and where in it each value stands. Knows nothing of what a study holds.
 */
import { type Document, isAlias, isMap, isNode, isScalar, isSeq, LineCounter, type Pair, parseDocument } from 'yaml';
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

/**
 * Parses the text; every mistake of syntax goes to `findings`.
 * @param name the file's name as problems print it
 * @returns undefined when there was any
 */
export function readDocument(text: string, name: string, findings: Findings): StudyDocument | undefined {
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines, prettyErrors: false, stringKeys: true });
  for (const error of [...document.errors, ...document.warnings]) {
    const at = lines.linePos(error.pos[0]);
    const message = error.message.replace(/\s+/g, ' ').replace(/\.?$/, '.');
    findings.problemAt(`${name}:${at.line}:${at.col}`, `not sound YAML: ${message} Mend the line, or the one above it.`);
  }
  if (findings.problems.length > 0) return undefined;
  let value: unknown;
  try {
    value = document.toJS({ maxAliasCount: MOST_ALIASES });
  } catch (error) {
    if (!(error instanceof ReferenceError)) throw error;
    findings.problemAt(`${name}:1:1`, `read aliases that unfold without end; expected at most ${MOST_ALIASES}. Write the values out.`);
    return undefined;
  }
  return {
    value,
    place: (path, onKey) => {
      const at = lines.linePos(offsetOf(document, path, onKey));
      return { line: at.line, column: at.col };
    },
  };
}
