/**
 * What the times of a recording say of the clock that wrote them: the usual interval, its jitter, gaps, and where it
 * was set back. Judges nothing else.
 */
import { UserError } from '../errors.ts';
import { numbersOf, type Recording } from './recording.ts';

/** Intervals longer than so many usual ones are gaps. */
const GAP = 1.5;

/** Samples missing between two rows. */
export interface Gap {
  /** Row before it, from 0. */
  readonly row: number;
  /** Time of that row, s. */
  readonly time: number;
  /** From there to the next row, s. */
  readonly length: number;
  /** Samples that would have stood there. */
  readonly missing: number;
}

export interface Clock {
  /** Median of the intervals, s. */
  readonly interval: number;
  /** Standard deviation of the intervals that are no gaps, s; null for fewer than two. */
  readonly jitter: number | null;
  readonly shortest: number;
  readonly longest: number;
  readonly gaps: readonly Gap[];
  /** From first to last row, s. */
  readonly length: number;
}

const SET_BACK = 'The clock was set back there; cut the file in two.';
/** Steps back of a clock that are named. */
const MOST_NAMED = 5;

/**
 * @param time ascending strictly, at least two
 * @throws RangeError otherwise
 */
export function readClock(time: Float64Array): Clock {
  if (time.length < 2) throw new RangeError(`a clock is told from two times at least, not ${time.length}`);
  const intervals = new Float64Array(time.length - 1);
  for (let i = 0; i < intervals.length; i++) intervals[i] = time[i + 1] - time[i];
  const sorted = intervals.slice().sort();
  if (!(sorted[0] > 0)) throw new RangeError('times do not rise');
  const interval = 0.5 * (sorted[(sorted.length - 1) >> 1] + sorted[sorted.length >> 1]);
  const gaps: Gap[] = [];
  let count = 0;
  let mean = 0;
  let squares = 0;
  for (let i = 0; i < intervals.length; i++) {
    const length = intervals[i];
    if (length > GAP * interval) {
      gaps.push({ row: i, time: time[i], length, missing: Math.round(length / interval) - 1 });
      continue;
    }
    count++;
    const away = length - mean;
    mean += away / count;
    squares += away * (length - mean);
  }
  return {
    interval,
    jitter: count > 1 ? Math.sqrt(squares / (count - 1)) : null,
    shortest: sorted[0],
    longest: sorted[sorted.length - 1],
    gaps,
    length: time[time.length - 1] - time[0],
  };
}

/**
 * Refuses times that stand still or go back, each place with line, what was read and what it may be.
 * @param from first row, and `to` the row after the last: a part of a recording that numbers its runs
 * @param remedy what to do where the clock goes back
 * @throws UserError
 */
export function checkRising(recording: Recording, from = 0, to = recording.rows, remedy = SET_BACK): void {
  const time = numbersOf(recording, 'time');
  const problems: string[] = [];
  let count = 0;
  for (let i = from + 1; i < to; i++) {
    if (time[i] > time[i - 1]) continue;
    count++;
    if (count > MOST_NAMED) continue;
    const still = time[i] === time[i - 1];
    const read = still ? `the time ${time[i]} s twice` : `the time ${time[i]} s after ${time[i - 1]} s`;
    const why = still ? 'Give each time once; a clock that is too coarse needs another unit or more digits.' : remedy;
    problems.push(`${recording.shown}:${recording.lines[i]}:1: read ${read}; expected times that rise. ${why}`);
  }
  if (count === 0) return;
  // A clock is set back seldom; a column that falls every few rows is something else.
  const often = count > 0.1 * (to - from);
  if (often) {
    throw new UserError(
      `${recording.shown}:${recording.lines[from]}:1: read times that do not rise in ${count} of ${to - from - 1} rows; expected times. Columns may be swapped: name them in --columns.`,
    );
  }
  if (count > MOST_NAMED) problems.push(`${recording.shown}: read ${count - MOST_NAMED} more times that do not rise; mend these first.`);
  throw new UserError(problems);
}
