/**
 * By what a file is known to be written by this program: only such files may be replaced or removed. Does not check
 * that it is whole.
 */
import { closeSync, constants, fstatSync, openSync, readSync } from 'node:fs';
import { RESOLVED_HEAD } from '../study/resolved.ts';

/** Kinds of file this program writes. */
export type MarkedKind =
  | 'arrow'
  | 'answers'
  | 'run'
  | 'study'
  | 'page'
  | 'header'
  | 'trace'
  | 'schema'
  | 'cardText'
  | 'curve'
  | 'journal'
  | 'partList';

/** The line that pages carry in their head. */
export const PAGE_MARK = '<meta name="generator" content="alight">';

/** How thrust curves begin that were measured. */
export const CURVE_MARK = '# Thrust curve made by alight ';

/** The first bytes of a journal. */
export const JOURNAL_MARK = 'alightJ1';

/** Bytes looked at from the start of a file. */
const HEAD = 4096;

/** @throws what the file system throws when it cannot be read */
export function carriesMark(path: string, kind: MarkedKind): boolean {
  // Neither a link nor a pipe is followed: both are no file of ours.
  const fd = openSync(path, constants.O_RDONLY | constants.O_NOFOLLOW | constants.O_NONBLOCK);
  try {
    const { size } = fstatSync(fd);
    const bytes = (offset: number, length: number): Buffer => {
      const out = Buffer.alloc(Math.max(0, Math.min(length, size - offset)));
      return out.subarray(0, readSync(fd, out, 0, out.length, offset));
    };
    return kind === 'arrow' ? arrowMark(size, bytes) : textMark(kind, bytes(0, HEAD).toString('utf8'));
  } finally {
    closeSync(fd);
  }
}

function textMark(kind: Exclude<MarkedKind, 'arrow'>, head: string): boolean {
  switch (kind) {
    case 'answers':
      return /^\{\s*"program": "alight /.test(head);
    case 'run':
      return /^\{\s*"seconds": [^,]+,\s*"threads": \d+,\s*"flightsPerSecond": [^,]+,\s*"node": "[^"]*"(,\s*"asked": "[0-9a-f]{64}")?\s*\}\s*$/.test(
        head,
      );
    case 'study':
      return head.startsWith(`#${RESOLVED_HEAD}`);
    case 'page':
      return head.includes(PAGE_MARK);
    case 'curve':
      return head.startsWith(CURVE_MARK);
    case 'cardText':
      return /^.*: field card\n/.test(head);
    case 'header':
      return head.includes('Made by alight ');
    case 'trace':
      return /^(?:# alight log[^\n]*\n)?time \(s\),/.test(head);
    case 'partList':
      return / --part 1\/\d+ --out /.test(head.slice(0, head.indexOf('\n')));
    case 'journal':
      return head.startsWith(JOURNAL_MARK);
    case 'schema':
      return /"title": "alight (?:study|logbook)"/.test(head);
  }
}

/** In the table of contents at its end, or in the schema after the first label where the end is missing. */
function arrowMark(size: number, bytes: (offset: number, length: number) => Buffer): boolean {
  if (bytes(0, 6).toString('latin1') !== 'ARROW1') return false;
  if (bytes(8, 8).toString('latin1') === 'alight:S') return true;
  const tail = bytes(size - 10, 10);
  if (tail.length < 10 || tail.toString('latin1', 4) !== 'ARROW1') return false;
  const length = tail.readInt32LE(0);
  return length > 0 && length < size && /alight\.(format|table|trace)/.test(bytes(size - 10 - length, length).toString('latin1'));
}
