/**
 * The first lines of a recording: what parts its cells, what its columns are called and in which units. Reads no rows.
 */
import { unitScale } from '../study/units.ts';
import { Cells, looksNumeric, type Separator } from './cells.ts';
import type { TextLine } from './lines.ts';

/** A column's title as it stands in the head. */
export interface Title {
  readonly text: string;
  /** Without the unit. */
  readonly base: string;
  /** In brackets, after a last slash or underscore, or in a line of units below; null when the head says none. */
  readonly unit: string | null;
  /** Where it stands, counted from 1. */
  readonly column: number;
}

export interface Head {
  readonly separator: Separator;
  /** Its line; null when the file begins with numbers. */
  readonly line: number | null;
  readonly titles: readonly Title[];
  /** Lines taken from those given. */
  readonly lines: number;
}

const BRACKETS = /^(.*?)\s*[[(]([^\])]*)[\])]$/;
const SLASH = /^([^/]+?)\s*\/\s*(\S.*)$/;
const UNDERSCORE = /^(.+)_([^_]+)$/;

/** Whichever of tab, semicolon and comma stands in the line, in this order; blanks if none. */
function separatorOf(line: string): Separator {
  const bare = line.replace(/"[^"]*"/g, '');
  return bare.includes('\t') ? '\t' : bare.includes(';') ? ';' : bare.includes(',') ? ',' : ' ';
}

/** What a cell of the head says. */
function title(text: string, column: number): Title {
  const brackets = BRACKETS.exec(text);
  if (brackets !== null) return { text, base: brackets[1], unit: brackets[2].trim(), column };
  for (const pattern of [SLASH, UNDERSCORE]) {
    const parts = pattern.exec(text);
    if (parts !== null && isUnit(parts[2])) return { text, base: parts[1], unit: parts[2], column };
  }
  return { text, base: text, unit: null, column };
}

/** Whether the word is a unit of anything that a recording may hold. */
function isUnit(word: string): boolean {
  return MEASURED.some((unit) => 'factor' in unitScale(word, unit));
}

/** What recordings hold. */
const MEASURED = ['s', 'N', 'm/s^2', 'rad/s', 'm', 'm/s', 'K', 'Pa', 'kg', 'rad', 'N s'];

interface HeadCell {
  readonly text: string;
  readonly column: number;
}

/** The cells of a line as texts, and where each stands. Between blanks, a unit in brackets belongs to what is before. */
function texts(line: TextLine, separator: Separator): readonly HeadCell[] {
  const cells = new Cells();
  cells.split(line.text, 0, line.text.length, separator);
  const found: HeadCell[] = [];
  for (let i = 0; i < cells.count; i++) {
    const text = line.text.slice(cells.starts[i], cells.ends[i]).trim();
    const before = found[found.length - 1];
    const isUnitOf = separator === ' ' && before !== undefined && /^[[(]/.test(text) && !/[\])]$/.test(before.text);
    if (isUnitOf) found[found.length - 1] = { text: `${before.text} ${text}`, column: before.column };
    else found.push({ text, column: cells.starts[i] + 1 });
  }
  return found;
}

/**
 * @param lines the first of the file that are neither blank nor comments; at least one
 * @returns titles `#1`, `#2` when the first line holds numbers and nothing else
 */
export function readHead(lines: readonly TextLine[]): Head {
  const [first, second] = lines;
  const separator = separatorOf(first.text);
  const cells = withoutLast(texts(first, separator));
  if (cells.every(({ text }) => text === '' || looksNumeric(text))) {
    const titles = cells.map(({ column }, i) => ({ text: `#${i + 1}`, base: `#${i + 1}`, unit: null, column }));
    return { separator, line: null, titles, lines: 0 };
  }
  const titles = cells.map(({ text, column }) => title(text, column));
  const below = second === undefined ? [] : withoutLast(texts(second, separator));
  if (!isLineOfUnits(below.map((cell) => cell.text)) || below.length !== titles.length) {
    return { separator, line: first.number, titles, lines: 1 };
  }
  const units = below.map(({ text }) => text.replace(/^[[(](.*)[\])]$/, '$1').trim());
  const both = titles.map((t, i) => (units[i] === '' ? t : { ...t, unit: units[i] }));
  return { separator, line: first.number, titles: both, lines: 2 };
}

/** Without an empty cell after a last separator. */
function withoutLast(cells: readonly HeadCell[]): readonly HeadCell[] {
  return cells.length > 1 && cells[cells.length - 1].text === '' ? cells.slice(0, -1) : cells;
}

function isLineOfUnits(cells: readonly string[]): boolean {
  const said = cells.filter((text) => text !== '' && text !== '-');
  return said.length > 0 && said.every((text) => !looksNumeric(text) && isUnit(text.replace(/^[[(](.*)[\])]$/, '$1').trim()));
}
