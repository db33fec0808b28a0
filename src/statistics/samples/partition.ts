/**
 * Rows sorted into classes of about equal size by one column, never parting equal values: the ground of every
 * given-data measure.
 */
import { Places, type Tie, tieOf } from './places.ts';
import type { Ranked } from './ranks.ts';

export interface Partition {
  /** Class of each row, 0..count-1, ascending with the value. */
  readonly classOf: Uint8Array;
  readonly count: number;
  /** Rows in each class. */
  readonly sizes: Uint32Array;
}

/** Fewest rows of a class, so that a straight line and a variance can be had in each. */
const LEAST_ROWS = 5;

/**
 * Classes for n rows, the cube root of n from 2 to 32: their number and the rows in each then both grow. Common
 * practice, no source.
 */
export function classesFor(rows: number): number {
  return Math.max(2, Math.min(32, Math.round(Math.cbrt(rows))));
}

/**
 * At most `wanted` classes of about equal size. A column of no more distinct values than that gets a class for each;
 * one frequent value among others gets its own. Classes of fewer than 5 rows join a neighbour.
 * @param wanted 1..255
 */
export function partition(x: Ranked, wanted: number): Partition {
  const { order, ascending } = x;
  const sizes = classSizes(ascending, wanted);
  const classOf = new Uint8Array(order.length);
  let start = 0;
  for (const [c, size] of sizes.entries()) {
    for (let i = start; i < start + size; i++) classOf[order[i]] = c;
    start += size;
  }
  return { classOf, count: sizes.length, sizes };
}

/** Rows in each of those classes, ascending. @param ascending the column's values from the smallest to the largest */
export function classSizes(ascending: Float64Array, wanted: number): Uint32Array {
  checkWanted(wanted);
  const n = ascending.length;
  const tieAt = (place: number): Tie => tieOf(place, n, (k) => ascending[k]);
  return sizesOf(joinSmall(tiesAtMost(tieAt, n, wanted) ?? evenEnds(tieAt, n, wanted), n));
}

/**
 * The same classes of a column that nobody has ranked, by finding the few values where they end: a tenth of the time.
 * @throws RangeError on an empty column or a value that is not finite
 */
export function partitionOf(values: Float64Array, wanted: number): Partition {
  checkWanted(wanted);
  const n = values.length;
  const places = new Places(values);
  const tieAt = (place: number): Tie => places.tieAt(place);
  const kept = joinSmall(tiesAtMost(tieAt, n, wanted) ?? evenEnds(tieAt, n, wanted), n);
  const last = Float64Array.from(kept, (end) => tieAt(end - 1).value);
  const classOf = new Uint8Array(n);
  for (let i = 0; i < n; i++) {
    let low = 0;
    let high = last.length - 1;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (values[i] <= last[middle]) high = middle;
      else low = middle + 1;
    }
    classOf[i] = low;
  }
  return { classOf, count: kept.length, sizes: sizesOf(kept) };
}

function checkWanted(wanted: number): void {
  if (!(Number.isInteger(wanted) && wanted >= 1 && wanted <= 255))
    throw new RangeError(`${wanted} classes: expected a whole number from 1 to 255`);
}

function sizesOf(ends: readonly number[]): Uint32Array {
  return Uint32Array.from(ends, (end, c) => end - (c === 0 ? 0 : ends[c - 1]));
}

/** The ends of all groups of equal values, where they are no more than `most`; null otherwise. */
function tiesAtMost(tieAt: (place: number) => Tie, n: number, most: number): number[] | null {
  const ends: number[] = [];
  for (let end = 0; end < n; ) {
    if (ends.length === most) return null;
    end = tieAt(end).end;
    ends.push(end);
  }
  return ends;
}

/**
 * A class ends at the first group that carries it past its share; a group as large as a share starts a class of its
 * own. Only groups over a multiple of the share do either, so no others are looked at.
 */
function evenEnds(tieAt: (place: number) => Tie, n: number, wanted: number): number[] {
  const share = n / wanted;
  const ends: number[] = [];
  let last = 0;
  let target = share;
  while (last < n) {
    const { start, end } = tieAt(Math.min(n, Math.ceil(target)) - 1);
    if (end - start >= share && start > last) ends.push(start);
    ends.push(end);
    last = end;
    target = (Math.floor(end / share + 1e-9) + 1) * share;
  }
  return ends;
}

function joinSmall(ends: readonly number[], n: number): number[] {
  const kept: number[] = [];
  let start = 0;
  for (const end of ends) {
    if (end - start < LEAST_ROWS && end < n) continue;
    kept.push(end);
    start = end;
  }
  // a small last class joins the one before it
  const lastStart = kept.at(-2) ?? 0;
  if (kept.length > 1 && n - lastStart < LEAST_ROWS) kept.splice(-2, 1);
  return kept;
}
