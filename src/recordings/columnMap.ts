/**
 * Which column of a recording is what, as a person says it: `time=t [ms], thrust=-load [gf]`. Reads no file.
 */
import { UserError } from '../errors.ts';
import { suggestion } from '../maths/nearest.ts';
import { dimensionWord, unitScale } from '../study/units.ts';

/** A column that a question asks for. */
export interface WantedColumn {
  /** What it is called here: `time`, `thrust`. */
  readonly name: string;
  /** SI unit; '' for a plain number. */
  readonly unit: string;
  /** Titles by which it is known without a map, in small letters. */
  readonly titles: readonly string[];
  /** The recording may do without it. */
  readonly optional?: boolean;
  /** Cells may be empty or `nan`, which reads as NaN: a value that was not taken in that row. */
  readonly blank?: boolean;
  /** How a person gives its unit and its place (a number follows), where that is not by --columns. */
  readonly asked?: { readonly unit: string; readonly place: string };
  /** Its cells are words, not numbers. */
  readonly words?: boolean;
}

/** Where a wanted column is. */
export interface MappedColumn {
  /** Title in the head, without its unit; null when it is given by its place. */
  readonly title: string | null;
  /** Counted from 1; null when it is given by its title. */
  readonly place: number | null;
  /** As given, a number of them for one count included; null when the head says it. */
  readonly unit: string | null;
  /** -1 when the column counts the other way. */
  readonly sign: 1 | -1;
}

/** By the name of the wanted column. */
export type ColumnMap = ReadonlyMap<string, MappedColumn>;

const EXAMPLE = '"time=t [ms], thrust=load [gf]"';
const ENTRY = /^([A-Za-z][\w.]*)\s*=\s*(-?)\s*(?:"([^"]*)"|#(\d+)|([^[\]"]*?))\s*(?:\[([^\]]*)\])?$/;

/** The parts between commas that stand outside quotes and brackets. */
function entries(text: string): string[] {
  const parts: string[] = [];
  let part = '';
  let quoted = false;
  let bracket = false;
  for (const c of text) {
    if (c === '"') quoted = !quoted;
    else if (c === '[' && !quoted) bracket = true;
    else if (c === ']' && !quoted) bracket = false;
    if (c === ',' && !quoted && !bracket) {
      parts.push(part);
      part = '';
    } else part += c;
  }
  return [...parts, part].map((p) => p.trim()).filter((p) => p !== '');
}

/**
 * @param text `name=title [unit]`, parted by commas; a title in quotes may hold anything, `#2` is the second column, and
 * a minus before it turns the sign. A unit may be what one count stands for: `[0.122 mg]`
 * @param from what to name in problems: `--columns`, or a place in a file
 * @throws UserError with every problem
 */
export function readColumnMap(text: string, wanted: readonly WantedColumn[], from = '--columns'): ColumnMap {
  const map = new Map<string, MappedColumn>();
  const problems: string[] = [];
  const names = wanted.map((column) => column.name);
  for (const entry of entries(text)) {
    const match = ENTRY.exec(entry);
    const title = (match?.[3] ?? match?.[5] ?? '').trim();
    if (match === null || (title === '' && match[4] === undefined)) {
      problems.push(`${from}: read ${JSON.stringify(entry)}; expected a name, = and a column. Write, for example, ${EXAMPLE}.`);
      continue;
    }
    const [, name, minus, , place, , unit] = match;
    const column = wanted.find((w) => w.name === name);
    if (column === undefined) {
      problems.push(`${from}: read ${JSON.stringify(name)}; expected one of ${names.join(', ')}.${suggestion(name, names)}`);
      continue;
    }
    if (map.has(name)) problems.push(`${from}: read ${name} twice; expected it once. Remove one.`);
    if (place !== undefined && Number(place) === 0) problems.push(`${from}: read #0 for ${name}; expected columns counted from #1.`);
    if (column.words && (unit !== undefined || minus !== '')) {
      problems.push(`${from}: read ${JSON.stringify(entry)}; expected a column of words, which have neither unit nor sign. Remove them.`);
    } else if (unit !== undefined) {
      const scale = unitScale(unit, column.unit);
      if ('problem' in scale) problems.push(`${from}: ${unitProblem(unit, scale.problem, column)}`);
    }
    map.set(name, {
      title: place === undefined ? title : null,
      place: place === undefined ? null : Number(place),
      unit: unit?.trim() ?? null,
      sign: minus === '' ? 1 : -1,
    });
  }
  if (map.size === 0 && problems.length === 0) problems.push(`${from}: read nothing; expected columns. Write, for example, ${EXAMPLE}.`);
  if (problems.length > 0) throw new UserError(problems);
  return map;
}

/** `read the unit "kg" for thrust (that is a mass); expected a unit of a force in N. ...` */
export function unitProblem(unit: string, problem: string, column: WantedColumn): string {
  const why = problem === '' ? '' : ` (${problem})`;
  return `read the unit ${JSON.stringify(unit)} for ${column.name}${why}; expected ${unitExpected(column)}. Give the unit that the numbers are in.`;
}

/** `a force in N or a unit like it`. */
export function unitExpected({ unit }: WantedColumn): string {
  return unit === '' ? 'plain numbers' : `${dimensionWord(unit)} in ${unit} or a unit like it`;
}
