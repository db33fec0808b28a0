/**
 * What a person's instrument recorded, read from CSV: the wanted columns in SI, and where each row stands in the file.
 * Does not judge the numbers; clock.ts looks at the times.
 */
import { UserError } from '../errors.ts';
import { readTextFile } from '../study/files.ts';
import type { UnitScale } from '../study/units.ts';
import { Cells, cellNumber, looksNumeric } from './cells.ts';
import type { ColumnMap, WantedColumn } from './columnMap.ts';
import { type FoundColumn, findColumns } from './findColumns.ts';
import { type Head, readHead } from './head.ts';
import { Lines, type TextLine } from './lines.ts';

/** Bytes of a recording at most: an hour of seven columns at 1 kHz. */
const MOST_BYTES = 400 * 1024 * 1024;
/** Beyond this, in SI, a number is a slip of the pen, and arithmetic fails with it. */
const BIGGEST = 1e12;
/** Bad rows and cells that are named; more are counted. */
const MOST_BAD = 20;

export interface Recording {
  /** The file's name as given. */
  readonly shown: string;
  readonly rows: number;
  /** SI, a number a row, by the name wanted. What is optional and not there is absent. */
  readonly numbers: ReadonlyMap<string, Float64Array>;
  /** Columns of words, a word a row. */
  readonly words: ReadonlyMap<string, readonly string[]>;
  /** Line of each row in the file, counted from 1. */
  readonly lines: Int32Array;
  /** What was passed over, one line each. */
  readonly warnings: readonly string[];
}

/** The column, which the recording was asked for and must have. */
export function numbersOf(recording: Recording, name: string): Float64Array {
  const column = recording.numbers.get(name);
  if (column === undefined) throw new Error(`no column ${name} was read from ${recording.shown}`);
  return column;
}

/** Reads a file. @throws UserError with every problem, `file:line:column` first */
export async function readRecording(path: string, wanted: readonly WantedColumn[], map: ColumnMap | null): Promise<Recording> {
  const file = await readTextFile(path, MOST_BYTES);
  if ('problem' in file) throw new UserError(`${path}: ${file.problem}`);
  return parseRecording(file.text, path, wanted, map);
}

/** The same from a text. @param shown the file's name as problems print it */
export function parseRecording(text: string, shown: string, wanted: readonly WantedColumn[], map: ColumnMap | null): Recording {
  const lines = new Lines(text);
  const first: TextLine[] = [];
  while (first.length < 2 && lines.advance()) first.push(lines.line());
  if (first.length === 0) {
    throw new UserError(`${shown}:1:1: read an empty file; expected a head line that names the columns and rows below it. Record again.`);
  }
  const head = readHead(first);
  const found = findColumns(shown, head, wanted, map);
  const rows = new Lines(text);
  for (let k = 0; k < head.lines; k++) rows.advance();
  return readRows(rows, shown, head, found);
}

/** Numbers count up where they divide: 57 ms is 0.057 s, not 0.057000000000000002. */
function applied(value: number, { factor, offset }: UnitScale): number {
  const inverse = Math.round(1 / factor);
  return offset + (Math.abs(inverse) > 1 && 1 / inverse === factor ? value / inverse : value * factor);
}

function readRows(rows: Lines, shown: string, head: Head, found: readonly FoundColumn[]): Recording {
  const { text } = rows;
  const { separator, titles } = head;
  const cells = new Cells();
  const lines: number[] = [];
  const warnings: string[] = [];
  const bad = new BadCells(shown);
  const mark = new DecimalMark(separator === ',');
  while (rows.advance()) {
    cells.split(text, rows.start, rows.end, separator);
    const { count } = cells;
    const emptyLast = count === titles.length + 1 && cells.starts[count - 1] === cells.ends[count - 1];
    if (count !== titles.length && !emptyLast) {
      if (rows.isLastUnended() && count < titles.length) {
        warnings.push(`${shown}:${rows.number}: the last row is cut off and was passed over.`);
        break;
      }
      bad.note(
        rows.number,
        1,
        `read ${count} values; expected ${titles.length}, one for each column. Mend the row.${commaHint(separator, count, titles.length)}`,
      );
      continue;
    }
    lines.push(rows.number);
    for (const column of found) {
      const start = cells.starts[column.place];
      const end = cells.ends[column.place];
      if (column.wanted.words) {
        column.words.push(text.slice(start, end));
        continue;
      }
      const value = applied(cellNumber(text, start, end, mark.isComma(text, start, end)), column.scale);
      column.numbers.push(value);
      if (!(Math.abs(value) <= BIGGEST) && !(column.wanted.blank && isBlankCell(text, start, end))) {
        const cell = text.slice(start, end);
        bad.note(rows.number, start - rows.start + 1, cellProblem(cell, column.wanted, mark));
      }
    }
  }
  bad.throwIfAny();
  if (lines.length === 0) {
    throw new UserError(`${shown}:${rows.number}:1: read no row below the head; expected numbers. Record again, or name another file.`);
  }
  return {
    shown,
    rows: lines.length,
    numbers: new Map(found.filter((c) => !c.wanted.words).map((c) => [c.wanted.name, Float64Array.from(c.numbers)])),
    words: new Map(found.filter((c) => c.wanted.words).map((c) => [c.wanted.name, c.words])),
    lines: Int32Array.from(lines),
    warnings,
  };
}

/** Points or commas: a file has one of them, told by the first number that has either. */
class DecimalMark {
  private comma: boolean | null;
  constructor(pointsOnly: boolean) {
    this.comma = pointsOnly ? false : null;
  }
  isComma(text: string, start: number, end: number): boolean {
    if (this.comma !== null) return this.comma;
    for (let i = start; i < end; i++) {
      const c = text.charCodeAt(i);
      if (c === 44 || c === 46) {
        this.comma = c === 44;
        return this.comma;
      }
    }
    return false;
  }
  get word(): string {
    return this.comma ? 'comma' : 'point';
  }
  /** Whether a cell has the other mark. */
  isOther(cell: string): boolean {
    return cell.includes(this.comma ? '.' : ',');
  }
}

function cellProblem(cell: string, wanted: WantedColumn, mark: DecimalMark): string {
  const read = JSON.stringify(cell.length > 40 ? `${cell.slice(0, 37)}...` : cell);
  if (looksNumeric(cell)) {
    if (mark.isOther(cell))
      return `read ${read} after numbers with a decimal ${mark.word}; expected one decimal mark throughout. Save the file anew.`;
    return `read ${read}; expected a number for ${wanted.name} of a size that can be. Check its power of ten.`;
  }
  return `read ${read}; expected a number for ${wanted.name}. Mend the cell, or leave the row out.`;
}

function commaHint(separator: string, count: number, wanted: number): string {
  return separator === ',' && count > wanted ? ' If commas are decimal marks too, save it with semicolons between the columns.' : '';
}

function isBlankCell(text: string, start: number, end: number): boolean {
  return start === end || (end - start === 3 && text.slice(start, end).toLowerCase() === 'nan');
}

/** Problems of rows: the first are named, the rest counted. */
class BadCells {
  private readonly problems: string[] = [];
  private count = 0;
  private readonly shown: string;
  constructor(shown: string) {
    this.shown = shown;
  }
  note(line: number, column: number, text: string): void {
    if (++this.count <= MOST_BAD) this.problems.push(`${this.shown}:${line}:${column}: ${text}`);
  }
  throwIfAny(): void {
    if (this.count === 0) return;
    const more =
      this.count > MOST_BAD ? [`${this.shown}: read ${this.count - MOST_BAD} more rows or cells that do not fit; mend these first.`] : [];
    throw new UserError([...this.problems, ...more]);
  }
}
