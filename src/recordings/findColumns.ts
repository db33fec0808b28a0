/** Which column of a head is which of those wanted, and in what unit. Reads no rows. */
import { UserError } from '../errors.ts';
import { suggestion } from '../maths/nearest.ts';
import { type UnitScale, unitScale } from '../study/units.ts';
import { type ColumnMap, type MappedColumn, unitExpected, unitProblem, type WantedColumn } from './columnMap.ts';
import type { Head, Title } from './head.ts';

/** Titles that are listed; more are not. */
const MOST_LISTED = 20;

/** A wanted column and what is read from it. */
export interface FoundColumn {
  readonly wanted: WantedColumn;
  /** Among the cells of a row, from 0. */
  readonly place: number;
  readonly scale: UnitScale;
  readonly numbers: number[];
  readonly words: string[];
}

/** @throws UserError with every problem of the head */
export function findColumns(shown: string, head: Head, wanted: readonly WantedColumn[], map: ColumnMap | null): FoundColumn[] {
  const problems: string[] = [];
  const line = head.line ?? 1;
  const found: FoundColumn[] = [];
  for (const column of wanted) {
    const mapped = map?.get(column.name);
    if (mapped === undefined && column.optional && !isThere(head, column)) continue;
    const place = placeOf(shown, line, head, column, mapped, problems);
    if (place === null) continue;
    const scale = scaleOf(`${shown}:${line}:${head.titles[place].column}`, head.titles[place], column, mapped, problems);
    if (scale !== null) found.push({ wanted: column, place, scale, numbers: [], words: [] });
  }
  for (const [i, column] of found.entries()) {
    const other = found.slice(0, i).find((c) => c.place === column.place);
    if (other !== undefined) {
      const title = head.titles[column.place];
      problems.push(
        `${shown}:${line}:${title.column}: read the column ${JSON.stringify(title.text)} for ${other.wanted.name} and for ${column.wanted.name}; expected a column for each. Name another in --columns.`,
      );
    }
  }
  if (problems.length > 0) throw new UserError(problems);
  return found;
}

function isThere(head: Head, column: WantedColumn): boolean {
  return head.titles.some((title) => isKnownAs(title, column));
}

function isKnownAs(title: Title, column: WantedColumn): boolean {
  return [title.text, title.base].some((text) => {
    const small = text.toLowerCase();
    return small === column.name.toLowerCase() || column.titles.includes(small);
  });
}

/** Place of a wanted column among the titles; null with a problem noted. */
function placeOf(
  shown: string,
  line: number,
  head: Head,
  column: WantedColumn,
  mapped: MappedColumn | undefined,
  problems: string[],
): number | null {
  const { titles } = head;
  const names = titles.map((title) => title.text);
  const listed = `${names.slice(0, MOST_LISTED).join(', ')}${names.length > MOST_LISTED ? ', ...' : ''}`;
  if (mapped?.place != null) {
    if (mapped.place <= titles.length) return mapped.place - 1;
    problems.push(
      `${shown}:${line}:1: read ${titles.length} columns; expected at least ${mapped.place}, for ${column.name} is #${mapped.place}. Name another.`,
    );
    return null;
  }
  if (head.line === null) {
    problems.push(
      `${shown}:1:1: read numbers; expected a head line that names the columns. Add one, or say their places: --columns "${column.name}=#1 [${column.unit}]".`,
    );
    return null;
  }
  const word = mapped?.title ?? null;
  const fits = (same: (title: Title) => boolean): number[] => titles.flatMap((title, i) => (same(title) ? [i] : []));
  let places: number[];
  if (word === null) places = fits((title) => isKnownAs(title, column));
  else {
    places = fits((title) => title.text === word);
    if (places.length === 0) places = fits((title) => title.base === word);
    if (places.length === 0) places = fits((title) => [title.text, title.base].some((t) => t.toLowerCase() === word.toLowerCase()));
    const inUnit = places.filter((place) => titles[place].unit === mapped?.unit);
    if (places.length > 1 && inUnit.length === 1) places = inUnit;
  }
  if (places.length === 1) return places[0];
  if (places.length > 1) {
    const twice = places.map((place) => JSON.stringify(names[place])).join(' and ');
    problems.push(
      `${shown}:${line}:${titles[places[1]].column}: read ${twice}, both of which may be ${column.name}; expected one. Say which: ${column.asked?.place ?? `--columns "${column.name}=#`}${places[0] + 1}${column.asked ? '' : column.words ? '"' : ` [${column.unit}]"`}.`,
    );
    return null;
  }
  const way =
    word === null
      ? `Name it in the head, or say which it is: --columns "${column.name}=TITLE${column.words || column.unit === '' ? '' : ' [UNIT]'}".`
      : 'Name one that is there.';
  problems.push(
    `${shown}:${line}:1: read the columns ${listed}; expected ${word === null ? `one for ${column.name}` : `${JSON.stringify(word)} for ${column.name}`}. ${way}${suggestion(word ?? column.name, names)}`,
  );
  return null;
}

/** How its numbers become SI; null with a problem noted. */
function scaleOf(
  place: string,
  title: Title,
  column: WantedColumn,
  mapped: MappedColumn | undefined,
  problems: string[],
): UnitScale | null {
  if (column.words) return { factor: 1, offset: 0 };
  const unit = mapped?.unit ?? title.unit;
  if (unit === null && column.unit !== '') {
    problems.push(
      `${place}: read the column ${JSON.stringify(title.text)} without a unit; expected ${unitExpected(column)}. Write it in the head, ${title.base} [${column.unit}], or give it: ${column.asked?.unit ?? `--columns "${column.name}=${title.base} [${column.unit}]"`}.`,
    );
    return null;
  }
  const scale = unitScale(unit ?? '', column.unit);
  if ('problem' in scale) {
    problems.push(`${place}: ${unitProblem(unit ?? '', scale.problem, column)}`);
    return null;
  }
  const sign = mapped?.sign ?? 1;
  return { factor: sign * scale.factor, offset: sign * scale.offset };
}
