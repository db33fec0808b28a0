/**
 * Rows sorted into classes of about equal size by one column, never parting equal values: the ground of every
 * given-data measure.
 */
import { type Ranked, tieEnd } from './ranks.ts';

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
  if (!(Number.isInteger(wanted) && wanted >= 1 && wanted <= 255))
    throw new RangeError(`${wanted} classes: expected a whole number from 1 to 255`);
  const { values, order } = x;
  const n = order.length;
  const ends = distinctAtMost(x, wanted) ? groupEnds(x) : evenEnds(x, wanted);
  const kept = joinSmall(ends, n);
  const classOf = new Uint8Array(values.length);
  const sizes = new Uint32Array(kept.length);
  let start = 0;
  for (const [c, end] of kept.entries()) {
    for (let i = start; i < end; i++) classOf[order[i]] = c;
    sizes[c] = end - start;
    start = end;
  }
  return { classOf, count: kept.length, sizes };
}

function distinctAtMost(x: Ranked, most: number): boolean {
  let distinct = 0;
  for (let start = 0; start < x.order.length; start = tieEnd(x.values, x.order, start)) {
    distinct++;
    if (distinct > most) return false;
  }
  return true;
}

/** The end of each group of equal values. */
function groupEnds(x: Ranked): number[] {
  const ends: number[] = [];
  for (let end = 0; end < x.order.length; ) {
    end = tieEnd(x.values, x.order, end);
    ends.push(end);
  }
  return ends;
}

/**
 * A class ends at the first group that carries it past its share; a group as large as a share starts a class of its
 * own.
 */
function evenEnds(x: Ranked, wanted: number): number[] {
  const n = x.order.length;
  const share = n / wanted;
  const ends: number[] = [];
  let last = 0;
  let target = share;
  for (let start = 0; start < n; ) {
    const end = tieEnd(x.values, x.order, start);
    if (end - start >= share && start > last) {
      ends.push(start);
      last = start;
    }
    if (end >= target || end === n) {
      ends.push(end);
      last = end;
      target = (Math.floor(end / share + 1e-9) + 1) * share;
    }
    start = end;
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
