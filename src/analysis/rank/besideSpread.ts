/**
 * What the study's own flights say beside what spreads cost: which way each input works, whose size matters rather than
 * its spread, and how success goes round a circle. Flies nothing.
 */
import { CATALOGUE, type InputKey, inputIndex } from '../../inputs/catalogue.ts';
import { ranked } from '../../statistics/samples/ranks.ts';
import type { Study } from '../../study/study.ts';
import { column, type FlightColumns, hasResult, outcomeIndex } from '../flights/flightColumns.ts';
import { type Direction, direction, rankedSuccess } from './direction.ts';
import { withoutMiddle } from './fixes.ts';
import type { FixRanking, FixRow } from './ranking.ts';
import { inputSubjects, type Subject } from './rankSubjects.ts';
import { circleSuccess, type Ends, endsOf } from './trends.ts';

/** Rows of flights with a result, and whether each landed. */
interface Counted {
  readonly rows: readonly number[];
  readonly success: Float64Array;
}

function countedRows(base: FlightColumns): Counted {
  const landed = outcomeIndex('landed');
  const rows = Array.from(base.outcome.keys()).filter((i) => hasResult(base, i));
  return { rows, success: Float64Array.from(rows, (i) => (base.outcome[i] === landed ? 1 : 0)) };
}

function valuesOf(base: FlightColumns, { rows }: Counted, key: InputKey): Float64Array {
  const all = column(base, key);
  return Float64Array.from(rows, (i) => all[i]);
}

/** How single inputs work, by key: from the study's own flights. */
export function directionsOf(base: FlightColumns, singles: readonly Subject[]): Map<InputKey, Direction> {
  const found = new Map<InputKey, Direction>();
  const counted = countedRows(base);
  const { success } = counted;
  if (success.every((value) => value === success[0])) return found;
  const to = rankedSuccess(ranked(success));
  for (const key of singles.flatMap(({ keys }) => keys)) {
    if (isCircle(key)) continue;
    const values = valuesOf(base, counted, key);
    if (values.some((value) => value !== values[0])) found.set(key, direction(ranked(values), to, singles.length));
  }
  return found;
}

/**
 * @param works as of {@link directionsOf}   @param rows of the fixes flown, single inputs before their groups
 * @returns the inputs whose size goes with success, though no fix flown is shown to gain by holding them; and the
 * directions that may be any
 */
export function besideSpread(
  study: Study,
  base: FlightColumns,
  works: ReadonlyMap<InputKey, Direction>,
  rows: readonly FixRow[],
): Pick<FixRanking, 'bySize' | 'circles'> {
  const counted = countedRows(base);
  const apart = ({ least, most }: Ends): number => Math.abs((most.share ?? 0) - (least.share ?? 0));
  const bySize = [...works]
    .filter(([key, way]) => (way === 'more helps' || way === 'more hurts') && !isYesNo(key) && !gainsByHolding(key, rows))
    .map(([key]) => endsOf(key, valuesOf(base, counted, key), counted.success, works.size))
    .sort((a, b) => apart(b) - apart(a));
  const free = withoutMiddle(
    study,
    inputSubjects(study).flatMap(({ keys }) => keys),
  );
  const circles =
    counted.rows.length === 0 ? [] : free.map((key) => circleSuccess(key, valuesOf(base, counted, key), counted.success, free.length));
  return { bySize, circles };
}

/** Whether the first row that holds this input, its own or its group's, is shown to gain. */
function gainsByHolding(key: InputKey, rows: readonly FixRow[]): boolean {
  const interval = rows.find(({ keys }) => keys.includes(key))?.perfect?.interval ?? null;
  return interval !== null && interval[0] > 0;
}

function isCircle(key: InputKey): boolean {
  return CATALOGUE[inputIndex(key)].circle === true;
}

function isYesNo(key: InputKey): boolean {
  return CATALOGUE[inputIndex(key)].type === 'yesNo';
}
