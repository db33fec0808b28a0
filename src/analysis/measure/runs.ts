/** A recording taken apart into the runs it holds. Looks at no force. */
import { UserError } from '../../errors.ts';
import { type Clock, checkRising, readClock } from '../../recordings/clock.ts';
import { numbersOf, type Recording } from '../../recordings/recording.ts';

/** Rows of a recording that belong together. */
export interface Run {
  readonly name: string;
  readonly from: number;
  /** Row after the last. */
  readonly to: number;
  readonly clock: Clock;
}

/** Readings that a run has at least. */
const FEWEST = 10;
/** Runs of a file at most: more is a column that numbers something else. */
const MOST_RUNS = 1000;

/**
 * By the column `run`, where there is one: rows of one number stand together.
 * @throws UserError when times do not rise within a run, a number comes back, or a run has too few rows
 */
export function runsOf(recording: Recording): readonly Run[] {
  const { shown, rows, lines } = recording;
  const numbers = recording.numbers.get('run');
  const parts: { readonly name: string; readonly from: number; to: number }[] = [];
  const seen = new Map<number, number>();
  for (let i = 0; i < rows; i++) {
    const number = numbers === undefined ? 0 : numbers[i];
    const last = parts[parts.length - 1];
    if (last !== undefined && (numbers === undefined || numbers[i - 1] === number)) {
      last.to = i + 1;
      continue;
    }
    const before = seen.get(number);
    if (before !== undefined) {
      throw new UserError(
        `${shown}:${lines[i]}:1: read run ${number} again, which began in line ${before}; expected the rows of a run together. Sort the rows.`,
      );
    }
    seen.set(number, lines[i]);
    parts.push({ name: numbers === undefined ? shown : `${shown}, run ${number}`, from: i, to: i + 1 });
    if (parts.length > MOST_RUNS) {
      throw new UserError(`${shown}: read more than ${MOST_RUNS} runs; expected a column that numbers runs. Name another in --columns.`);
    }
  }
  return parts.map(({ name, from, to }) => {
    if (to - from < FEWEST) {
      throw new UserError(
        `${shown}:${lines[from]}:1: read ${to - from} rows${numbers === undefined ? '' : ` in run ${numbers[from]}`}; expected at least ${FEWEST}. Record longer, or leave it out.`,
      );
    }
    const remedy =
      numbers === undefined
        ? 'The clock was set back there: name the column that numbers the runs, --columns run=TITLE, or cut the file in two.'
        : undefined;
    checkRising(recording, from, to, remedy);
    return { name, from, to, clock: readClock(numbersOf(recording, 'time').subarray(from, to)) };
  });
}
