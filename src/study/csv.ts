/** Plain tables of numbers in CSV: one header line, commas, full stops as decimal points. Knows no motor. */

import { suggestion } from '../maths/nearest.ts';
import type { Findings } from './findings.ts';

/** Bad rows and cells of a file that are named; more are counted. */
const MOST_BAD = 20;

interface Cell {
  readonly text: string;
  /** Counted from 1. */
  readonly column: number;
}

/** A number and where it stands. */
export interface TableNumber {
  readonly value: number;
  /** `file:line:column` */
  readonly place: string;
}

function cells(line: string): Cell[] {
  const found: Cell[] = [];
  let start = 0;
  for (const part of line.split(',')) {
    const text = part.trim().replace(/^"(.*)"$/, '$1');
    found.push({ text, column: start + 1 + (part.length - part.trimStart().length) });
    start += part.length + 1;
  }
  return found;
}

/**
 * The named columns of a table, row by row. Blank lines and lines that start with # are passed over; other columns are
 * ignored.
 * @param shown the file's name as problems print it
 * @returns one list for each name, all equally long; undefined when anything was wrong (said in `findings`)
 */
export function readColumns(text: string, shown: string, names: readonly string[], findings: Findings): TableNumber[][] | undefined {
  const before = findings.problems.length;
  let bad = 0;
  const problem = (line: number, column: number, text: string): void => {
    if (++bad <= MOST_BAD) findings.problemAt(`${shown}:${line}:${column}`, text);
  };
  const lines = text
    .replace(/^\uFEFF/, '')
    .split(/\r\n|\n|\r/)
    .map((content, i) => ({ content, number: i + 1 }))
    .filter(({ content }) => content.trim() !== '' && !content.trimStart().startsWith('#'));
  const header = lines[0];
  if (header === undefined) {
    findings.problemAt(`${shown}:1:1`, `read an empty table; expected a header line ${names.join(',')} and rows below it. Add them.`);
    return undefined;
  }
  const titles = cells(header.content);
  const places = names.map((name) => {
    const column = titles.findIndex((title) => title.text === name);
    const twice = titles.slice(column + 1).find((title) => column >= 0 && title.text === name);
    if (column < 0) {
      const words = titles.map((title) => title.text);
      findings.problemAt(
        `${shown}:${header.number}:1`,
        `read the columns ${words.slice(0, MOST_BAD).join(', ')}${words.length > MOST_BAD ? ', ...' : ''}; expected a column ${name}. Name it in the header line.${suggestion(name, words)}`,
      );
    } else if (twice !== undefined) {
      findings.problemAt(`${shown}:${header.number}:${twice.column}`, `read the column ${name} twice; expected it once. Rename one.`);
    }
    return column;
  });
  if (findings.problems.length > before) return undefined;
  const columns: TableNumber[][] = names.map(() => []);
  for (const line of lines.slice(1)) {
    const row = cells(line.content);
    if (row.length !== titles.length) {
      problem(line.number, 1, `read ${row.length} values; expected ${titles.length}, one for each column. Mend the row.`);
      continue;
    }
    for (const [i, column] of places.entries()) {
      const cell = row[column];
      if (cell === undefined) continue;
      const value = cell.text === '' ? Number.NaN : Number(cell.text);
      const place = `${shown}:${line.number}:${cell.column}`;
      if (Number.isFinite(value)) columns[i]?.push({ value, place });
      else
        problem(
          line.number,
          cell.column,
          `read ${JSON.stringify(cell.text)}; expected a number for ${names[i]}. Write plain digits, such as 0.15.`,
        );
    }
  }
  if (bad > MOST_BAD) findings.problemAt(shown, `read ${bad - MOST_BAD} more rows or cells that do not fit; mend these first.`);
  return findings.problems.length > before ? undefined : columns;
}
