/** A flight computer's log as the replay takes it: columns, checks on the pad, the clock. Replays nothing. */
import { UserError } from '../../errors.ts';
import { checkRising, readClock } from '../../recordings/clock.ts';
import { type ColumnMap, readColumnMap, type WantedColumn } from '../../recordings/columnMap.ts';
import { numbersOf, type Recording, readRecording } from '../../recordings/recording.ts';

const column = (name: string, unit: string, titles: readonly string[]): WantedColumn => ({
  name,
  unit,
  titles: [name.toLowerCase(), ...titles],
});
const optional = (name: string, unit: string, titles: readonly string[]): WantedColumn => ({
  ...column(name, unit, titles),
  optional: true,
  blank: true,
});

/** By the names of `alight trace --log`; body x is along the axis, toward the nose. */
export const LOG_WANTED: readonly WantedColumn[] = [
  column('time', 's', ['t']),
  column('accelerationX', 'm/s^2', ['ax', 'accx']),
  column('accelerationY', 'm/s^2', ['ay', 'accy']),
  column('accelerationZ', 'm/s^2', ['az', 'accz']),
  column('rateX', 'rad/s', ['gx', 'gyrox']),
  column('rateY', 'rad/s', ['gy', 'gyroy']),
  column('rateZ', 'rad/s', ['gz', 'gyroz']),
  optional('barometer', 'm', []),
  optional('height', 'm', []),
  optional('speedUp', 'm/s', []),
  optional('phase', '', []),
  optional('commandY', 'rad', []),
  optional('commandZ', 'rad', []),
];

export type LogColumn = 'time' | 'accelerationX' | 'accelerationY' | 'accelerationZ' | 'rateX' | 'rateY' | 'rateZ' | OptionalColumn;
export type OptionalColumn = 'barometer' | 'height' | 'speedUp' | 'phase' | 'commandY' | 'commandZ';

/** What the times say of the loop, as a study's own inputs. */
export interface LogTiming {
  readonly samples: number;
  /** s */
  readonly length: number;
  /** Hz, of the usual interval. */
  readonly rate: number;
  /** s; null for fewer than two intervals. */
  readonly jitter: number | null;
  readonly stalls: number;
  /** 1/s, with about 95 %. */
  readonly stallRate: number;
  readonly stallRateInterval: readonly [number, number];
  /** s, mean; null without a stall. */
  readonly stallDuration: number | null;
}

export interface FlightLog {
  readonly shown: string;
  readonly rows: number;
  /** SI; what is optional may be absent, NaN where a cell was empty. */
  readonly column: (name: LogColumn) => Float64Array | null;
  readonly timing: LogTiming;
  readonly warnings: readonly string[];
}

/** m/s^2 where a log starts, on the pad or with the first thrust: less or more is another unit. */
const LEAST_PULL = 6;
const MOST_PULL = 200;
/** Share of it along the axis, on a rail: less is another axis. */
const ALONG = 0.8;
/** Rows that stand for the start. */
const PAD_ROWS = 3;
const FEWEST_ROWS = 50;

/** @param columns as after --columns; null: by their titles   @throws UserError with every problem */
export async function readFlightLog(path: string, columns: string | null, from = '--columns'): Promise<FlightLog> {
  const map: ColumnMap | null = columns === null ? null : readColumnMap(columns, LOG_WANTED, from);
  const recording = await readRecording(path, LOG_WANTED, map);
  checkRising(recording);
  if (recording.rows < FEWEST_ROWS) {
    throw new UserError(`${path}: read ${recording.rows} rows; expected a flight, ${FEWEST_ROWS} at least. Name the whole log.`);
  }
  checkPad(recording);
  return {
    shown: recording.shown,
    rows: recording.rows,
    column: (name) => recording.numbers.get(name) ?? null,
    timing: timingOf(numbersOf(recording, 'time')),
    warnings: recording.warnings,
  };
}

function checkPad(recording: Recording): void {
  const mean = (name: LogColumn): number =>
    numbersOf(recording, name)
      .subarray(0, PAD_ROWS)
      .reduce((sum, v) => sum + v / PAD_ROWS, 0);
  const [x, y, z] = [mean('accelerationX'), mean('accelerationY'), mean('accelerationZ')];
  const pull = Math.hypot(x, y, z);
  const place = `${recording.shown}:${recording.lines[0]}:1`;
  const axes = `x ${x.toFixed(2)}, y ${y.toFixed(2)}, z ${z.toFixed(2)} m/s^2`;
  if (!(pull >= LEAST_PULL && pull <= MOST_PULL)) {
    throw new UserError(
      `${place}: read ${axes} at the start of the log; expected a pull of about 9.8 m/s^2 on the pad, or more. The unit may be another, or columns swapped: give them in --columns.`,
    );
  }
  if (x >= ALONG * pull) return;
  throw new UserError(
    `${place}: read ${axes} at the start of the log; expected the pull along x, toward the nose, about +9.8 m/s^2 on the pad. Columns may be swapped, or a sign turned: --columns "accelerationX=-...".`,
  );
}

function timingOf(time: Float64Array): LogTiming {
  const clock = readClock(time);
  const stalls = clock.gaps.length;
  const missed = clock.gaps.reduce((sum, { missing }) => sum + missing, 0);
  // Of a Poisson count, by its root: good enough to say how much one flight tells.
  const end = (sign: number): number => Math.max(0, Math.sqrt(stalls) + 0.98 * sign) ** 2 / clock.length;
  return {
    samples: time.length,
    length: clock.length,
    rate: 1 / clock.interval,
    jitter: clock.jitter,
    stalls,
    stallRate: stalls / clock.length,
    stallRateInterval: [stalls === 0 ? 0 : end(-1), stalls === 0 ? 3 / clock.length : end(1)],
    stallDuration: stalls === 0 ? null : (missed * clock.interval) / stalls,
  };
}
