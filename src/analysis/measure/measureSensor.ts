/**
 * `alight measure sensor`: recordings of an accelerometer and a gyro lying still turned into noise, steps, biases and
 * what the study needs of them. Prints nothing.
 */
import { UserError } from '../../errors.ts';
import { chiSquareQuantile } from '../../maths/incompleteGamma.ts';
import { type Clock, checkRising, readClock } from '../../recordings/clock.ts';
import { readColumnMap, type WantedColumn } from '../../recordings/columnMap.ts';
import { numbersOf, type Recording, readRecording } from '../../recordings/recording.ts';
import { sdInterval } from '../../statistics/samples/normalSample.ts';
import { AXES, type AxisFound, type ClockFound, LEVEL, measurementFacts, type Sensor, type SensorMeasurement } from './measurement.ts';
import { gravityOf, turnOnOf } from './positions.ts';
import { sensorBlock, sensorFinding, sensorHow } from './sensorWords.ts';
import { readStillAxis, type StillAxis } from './stillAxis.ts';

const COLUMN_STEMS: Readonly<Record<Sensor, readonly string[]>> = {
  accelerometer: ['a', 'acc', 'accel', 'accelerometer', 'a_', 'acc_', 'accel_', 'accelerometer_'],
  gyro: ['g', 'gyr', 'gyro', 'w', 'g_', 'gyr_', 'gyro_', 'w_'],
};
const NAMES: Readonly<Record<Sensor, string>> = { accelerometer: 'accel', gyro: 'gyro' };
const UNITS: Readonly<Record<Sensor, string>> = { accelerometer: 'm/s^2', gyro: 'rad/s' };
const SENSORS = ['accelerometer', 'gyro'] as const;

export const SENSOR_COLUMNS: readonly WantedColumn[] = [
  { name: 'time', unit: 's', titles: ['t', 'seconds', 'millis', 'micros'] },
  ...SENSORS.flatMap((sensor) =>
    AXES.map((axis) => ({
      name: `${NAMES[sensor]}${axis}`,
      unit: UNITS[sensor],
      titles: COLUMN_STEMS[sensor].map((stem) => `${stem}${axis.toLowerCase()}`),
      optional: true,
    })),
  ),
];

export interface MeasureSensorOptions {
  /** As after `--columns`; null: by the head alone. */
  readonly columns: string | null;
  /** m/s^2 at the bench. */
  readonly gravity: number;
}

/** Readings of a recording, at least: a second of a fast one, and what twenty blocks need. */
const FEWEST = 200;
/** Blocks of a recording that is watched for being touched, and how much noisier one may be. */
const WATCHED = 40;
const TOUCHED = 3;

interface Still {
  readonly name: string;
  readonly clock: Clock;
  readonly axes: ReadonlyMap<string, StillAxis>;
}

/** @throws UserError with every problem of the first file that has one */
export async function measureSensor(files: readonly string[], options: MeasureSensorOptions): Promise<SensorMeasurement> {
  const map = options.columns === null ? null : readColumnMap(options.columns, SENSOR_COLUMNS);
  const stills: Still[] = [];
  const warnings: string[] = [];
  for (const file of files) {
    const recording = await readRecording(file, SENSOR_COLUMNS, map);
    warnings.push(...recording.warnings);
    stills.push(readStill(recording, warnings));
  }
  const [first] = stills;
  const unlike = stills.find(({ axes }) => [...axes.keys()].join() !== [...first.axes.keys()].join());
  if (unlike !== undefined) {
    throw new UserError(
      `${unlike.name}: read the axes ${[...unlike.axes.keys()].join(', ')}; expected ${[...first.axes.keys()].join(', ')} as in ${first.name}. Measure them apart.`,
    );
  }
  const axes = SENSORS.flatMap((sensor) =>
    AXES.flatMap((axis) => {
      const found = stills.flatMap((still) => still.axes.get(`${NAMES[sensor]}${axis}`) ?? []);
      return found.length === 0 ? [] : [axisOver(sensor, axis, found)];
    }),
  );
  const { turnOn, groups } = turnOnOf(axes);
  const found = { clock: clockOver(stills), axes, turnOn, byGravity: gravityOf(axes, options.gravity), gravity: options.gravity };
  return {
    ...measurementFacts(files),
    kind: 'sensor',
    finding: sensorFinding(found),
    how: sensorHow(found, files.length, groups),
    warnings,
    block: sensorBlock(found),
    ...found,
  };
}

function readStill(recording: Recording, warnings: string[]): Still {
  const { shown, lines } = recording;
  const time = numbersOf(recording, 'time');
  const names = [...recording.numbers.keys()].filter((name) => name !== 'time');
  if (names.length === 0) {
    const all = SENSOR_COLUMNS.filter(({ name }) => name !== 'time').map(({ name }) => name);
    throw new UserError(
      `${shown}:1:1: read no axis of a sensor; expected at least one of ${all.join(', ')}. Name it in the head, or say which it is: --columns "gyroX=TITLE [dps]".`,
    );
  }
  if (time.length < FEWEST) {
    throw new UserError(`${shown}:${lines[0]}:1: read ${time.length} rows; expected at least ${FEWEST}. Record longer.`);
  }
  checkRising(recording);
  const clock = readClock(time);
  const cuts = [0, ...clock.gaps.map(({ row }) => row + 1), time.length];
  const axes = new Map<string, StillAxis>();
  for (const name of names) {
    const values = numbersOf(recording, name);
    const pieces = cuts.slice(1).map((to, i) => values.subarray(cuts[i], to));
    axes.set(name, readStillAxis(pieces, clock.interval));
    const touched = touchedAt(time, values);
    if (touched !== null)
      warnings.push(
        `${shown}: ${name} is more than ${TOUCHED} times as restless at ${plain(touched)} s as usual: was it touched? Nothing was left out.`,
      );
    if (values.every((value) => value === values[0]))
      warnings.push(`${shown}: ${name} never changes: its noise hides under the step, or the column is no reading.`);
  }
  return { name: shown, clock, axes };
}

/** Time of the first block that is much noisier than the median block; null without one. */
function touchedAt(time: Float64Array, values: Float64Array): number | null {
  const sds = Float64Array.from({ length: WATCHED }, (_, k) => {
    const block = values.subarray(Math.floor((k * values.length) / WATCHED), Math.floor(((k + 1) * values.length) / WATCHED));
    const mean = block.reduce((a, b) => a + b, 0) / block.length;
    return Math.sqrt(block.reduce((sum, x) => sum + (x - mean) ** 2, 0) / block.length);
  });
  const usual = sds.slice().sort()[WATCHED / 2];
  const block = usual > 0 ? sds.findIndex((sd) => sd > TOUCHED * usual) : -1;
  return block < 0 ? null : time[Math.floor((block * values.length) / WATCHED)];
}

/** Noise pooled over the recordings; step and wander of the recording that tells them best. */
function axisOver(sensor: Sensor, axis: AxisFound['axis'], found: readonly StillAxis[]): AxisFound {
  const told = found.filter(({ density }) => density !== null);
  const freedom = told.reduce((sum, one) => sum + one.freedom, 0);
  const square = told.reduce((sum, one) => sum + one.freedom * (one.density?.value ?? 0) ** 2, 0) / Math.max(freedom, 1);
  const only = told.length === 1 ? told[0].density : null;
  const density = Math.sqrt(square);
  const hidden = found.flatMap(({ densityAtMost }) => (densityAtMost === null ? [] : [densityAtMost]));
  const steps = found.flatMap(({ step }) => (step === null ? [] : [step])).sort((a, b) => width(a) - width(b));
  const longest = found.reduce((a, b) => (b.curve.length > a.curve.length ? b : a));
  return {
    sensor,
    axis,
    means: found.map(({ mean }) => mean),
    sd: Math.sqrt(found.reduce((sum, { sd }) => sum + sd * sd, 0) / found.length),
    density: told.length === 0 ? null : (only ?? { value: density, interval: sdInterval(density, freedom, LEVEL) }),
    densityAtMost: told.length > 0 || hidden.length === 0 ? null : Math.max(...hidden),
    step: steps[0] ?? null,
    wander: longest.wander,
    curve: longest.curve.map(({ tau, deviation }) => ({ tau, deviation })),
  };
}

function width({ interval }: { readonly interval: readonly [number, number] }): number {
  return interval[1] - interval[0];
}

/** All recordings together. */
function clockOver(stills: readonly Still[]): ClockFound {
  const clocks = stills.map(({ clock }) => clock);
  const gaps = clocks.flatMap((clock) => clock.gaps);
  const length = clocks.reduce((sum, clock) => sum + clock.length, 0);
  const intervals = clocks.map(({ interval }) => interval).sort((a, b) => a - b);
  const interval = intervals[intervals.length >> 1];
  const steady = clocks.filter(({ jitter }) => jitter !== null);
  const freedom = steady.reduce((sum, clock) => sum + Math.round(clock.length / clock.interval) - clock.gaps.length - 1, 0);
  const jitter = Math.sqrt(steady.reduce((sum, clock) => sum + (clock.jitter ?? 0) ** 2, 0) / Math.max(1, steady.length));
  return {
    interval,
    jitter: steady.length === 0 || freedom < 1 ? null : { value: jitter, interval: sdInterval(jitter, freedom, LEVEL) },
    longest: Math.max(...clocks.map((clock) => clock.longest)),
    missing: gaps.reduce((sum, gap) => sum + gap.missing, 0),
    gaps: gaps.length,
    gapRate: { value: gaps.length / length, interval: rateInterval(gaps.length, length) },
    gapLength: gaps.length === 0 ? null : gaps.reduce((sum, gap) => sum + gap.length - interval, 0) / gaps.length,
    length,
  };
}

/** Exact interval of a Poisson rate. Source: F. Garwood, Biometrika 28 (1936) 437-442. */
function rateInterval(events: number, length: number): readonly [number, number] {
  const tail = 0.5 * (1 - LEVEL);
  const low = events === 0 ? 0 : chiSquareQuantile(2 * events, tail) / 2;
  return [low / length, chiSquareQuantile(2 * events + 2, 1 - tail) / 2 / length];
}

function plain(x: number): string {
  return String(Number(x.toPrecision(4)));
}
