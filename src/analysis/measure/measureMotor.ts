/**
 * `alight measure motor`: static firings turned into a thrust curve, the spreads of impulse, burn time and delay, and
 * how the first two go together. Draws nothing and prints nothing.
 */
import { UserError } from '../../errors.ts';
import { CATALOGUE, inputIndex } from '../../inputs/catalogue.ts';
import { type Distribution, quantile } from '../../inputs/distributions.ts';
import type { Clock } from '../../recordings/clock.ts';
import { readColumnMap, type WantedColumn } from '../../recordings/columnMap.ts';
import { numbersOf, type Recording, readRecording } from '../../recordings/recording.ts';
import { correlation, correlationInterval, meanInterval, normalSample, sdInterval } from '../../statistics/samples/normalSample.ts';
import { type Firing, readFiring } from './firing.ts';
import { meanCurve } from './meanCurve.ts';
import { type Estimate, type FiringFound, LEVEL, type MotorMeasurement, measurementFacts, type Spread } from './measurement.ts';
import { motorBlock, motorFinding, motorHow } from './motorWords.ts';
import { CENTRAL, predictive } from './predictive.ts';
import { type Run, runsOf } from './runs.ts';

export const MOTOR_COLUMNS: readonly WantedColumn[] = [
  { name: 'time', unit: 's', titles: ['t', 'seconds', 'millis', 'micros'] },
  { name: 'thrust', unit: 'N', titles: ['force', 'load', 'f'] },
  { name: 'run', unit: '', titles: ['firing', 'test'], optional: true },
  { name: 'command', unit: '', titles: ['fire', 'igniter'], optional: true },
];

export interface MeasureMotorOptions {
  /** As after `--columns`; null: by the head alone. */
  readonly columns: string | null;
  readonly motor: 'ascent' | 'landing';
  /** Moment of the command in every recording's own time, s; null: by the column `command`, if there is one. */
  readonly commandAt: number | null;
}

/** Share of the burn time that a gap in it may have. */
const LONGEST_GAP = 0.02;
/** Points for the picture: of one firing at most, and of all. */
const TRACE_POINTS = 300;
const ALL_POINTS = 6000;

/**
 * @param files recordings, one firing or several in each
 * @throws UserError with every problem of the first file that has one
 */
export async function measureMotor(files: readonly string[], options: MeasureMotorOptions): Promise<MotorMeasurement> {
  const map = options.columns === null ? null : readColumnMap(options.columns, MOTOR_COLUMNS);
  const firings: { readonly firing: Firing; readonly command: number | null }[] = [];
  const warnings: string[] = [];
  for (const file of files) {
    const recording = await readRecording(file, MOTOR_COLUMNS, map);
    warnings.push(...recording.warnings);
    for (const run of runsOf(recording)) {
      const firing = firingOf(recording, run, warnings);
      firings.push({ firing, command: options.commandAt ?? commandTime(recording, run) });
    }
  }
  return answer(files, firings, options.motor, warnings);
}

function firingOf(recording: Recording, { name, from, to, clock }: Run, warnings: string[]): Firing {
  const time = numbersOf(recording, 'time').subarray(from, to);
  const firing = readFiring(name, time, numbersOf(recording, 'thrust').subarray(from, to));
  const place = `${recording.shown}:${recording.lines[from]}:1`;
  if (firing === 'turned') {
    throw new UserError(
      `${place}: read forces that go down from the level without thrust; expected thrust above it. Turn the sign: --columns "thrust=-TITLE [UNIT]".`,
    );
  }
  if (firing === 'no thrust') {
    throw new UserError(`${place}: read no thrust that stands out from its noise; expected a firing. Leave it out, or check the columns.`);
  }
  checkGaps(recording, from, firing, clock);
  warnings.push(...firingWarnings(firing, clock));
  return firing;
}

/** @throws UserError when readings are missing where the motor burns */
function checkGaps({ shown, lines }: Recording, from: number, { start, end, burnTime }: Firing, { gaps }: Clock): void {
  const inside = gaps.filter((gap) => gap.time < end && gap.time + gap.length > start && gap.length > LONGEST_GAP * burnTime);
  if (inside.length === 0) return;
  throw new UserError(
    inside.map(
      ({ row, time, length }) =>
        `${shown}:${lines[from + row]}:1: read nothing from ${plain(time)} s on for ${plain(length)} s of the burn; expected gaps under ${100 * LONGEST_GAP} % of it. Leave this firing out: what it gave there is not known.`,
    ),
  );
}

function firingWarnings({ name, cut, spike, tare, burnTime, averaged }: Firing, { interval }: Clock): string[] {
  const found: string[] = [];
  if (cut.start) found.push(`${name}: begins under thrust, so that the start is cut off: its burn time and impulse are too small.`);
  if (cut.end) found.push(`${name}: ends under thrust, so that the tail is cut off: its burn time and impulse are too small.`);
  if (spike !== null) {
    found.push(
      `${name}: the peak is one reading at ${plain(spike)} s, more than twice its neighbours; if it is no thrust, both ends of the burn are wrong. Mend the reading.`,
    );
  }
  if (tare.before === null && tare.after === null) {
    found.push(
      `${name}: has too few readings without thrust to tell the stand’s own level; nothing was taken off. Record from before the command on.`,
    );
  }
  if (burnTime < 20 * interval)
    found.push(`${name}: has ${Math.floor(burnTime / interval)} readings in the burn; its ends are rough. Record faster.`);
  if (averaged > 1) found.push(`${name}: is noisy, so that the ends of the burn were looked for in averages of ${averaged} readings.`);
  return found;
}

/** The first rise of the column `command` past half of its highest; null where it does not rise. */
function commandTime(recording: Recording, { from, to }: Run): number | null {
  const signal = recording.numbers.get('command')?.subarray(from, to);
  if (signal === undefined) return null;
  const half = 0.5 * signal.reduce((a, b) => Math.max(a, b));
  const row = signal.findIndex((value) => value > half);
  return row < 1 ? null : numbersOf(recording, 'time')[from + row];
}

function answer(
  files: readonly string[],
  found: readonly { readonly firing: Firing; readonly command: number | null }[],
  motor: 'ascent' | 'landing',
  warnings: readonly string[],
): MotorMeasurement {
  const firings = found.map(({ firing }) => firing);
  const impulses = firings.map((f) => f.impulse);
  const burnTimes = firings.map((f) => f.burnTime);
  const [meanImpulse, meanBurn] = [normalSample(impulses).mean, normalSample(burnTimes).mean];
  const { curve, lead } = meanCurve(firings, meanBurn, meanImpulse);
  const rows: FiringFound[] = found.map(({ firing: f, command }) => ({
    name: f.name,
    peak: f.peak,
    burnTime: f.burnTime,
    impulse: { value: f.impulse, interval: f.impulseInterval },
    average: f.average,
    delay: command === null ? null : f.start - lead - command,
    tare: { before: f.tare.before, after: f.tare.after, noise: f.tare.noise },
  }));
  const delays = rows.flatMap(({ delay }) => (delay === null ? [] : [delay]));
  const early = rows.filter(({ delay }) => delay !== null && delay < 0);
  if (early.length > 0) {
    throw new UserError(
      early.map(({ name }) => `${name}: thrust begins before the command; expected it after. Check --command-at and the column command.`),
    );
  }
  const spreads = [
    relativeSpread('impulse', impulses, CATALOGUE[inputIndex(`${motor}.impulseFactor`)]),
    relativeSpread('burnTime', burnTimes, CATALOGUE[inputIndex(`${motor}.burnTimeFactor`)]),
    spreadOf('delay', delays, CATALOGUE[inputIndex(`${motor}.ignitionDelay`)]),
  ].filter((spread) => spread !== null);
  const estimates = {
    firings: rows,
    impulse: rows.length === 1 ? rows[0].impulse : mean(impulses),
    burnTime: mean(burnTimes),
    average: mean(firings.map((f) => f.average)),
    peak: mean(firings.map((f) => f.peak)),
    spreads,
    correlation: correlationOf(impulses, burnTimes),
    curve,
  };
  return {
    ...measurementFacts(files),
    kind: 'motor',
    motor,
    finding: motorFinding(estimates),
    how: motorHow(estimates),
    warnings,
    block: motorBlock(estimates, motor, files),
    ...estimates,
    traces: firings.map((firing) => trace(firing, firings.length)),
  };
}

function mean(values: readonly number[]): Estimate {
  const sample = normalSample(values);
  return { value: sample.mean, interval: meanInterval(sample, LEVEL) };
}

function relativeSpread(what: Spread['what'], values: readonly number[], row: (typeof CATALOGUE)[number]): Spread | null {
  const { mean: middle } = normalSample(values);
  return spreadOf(
    what,
    values.map((v) => v / middle),
    row,
    1,
  );
}

/** @param nominal the mean as the study has it, where that is known beforehand */
function spreadOf(what: Spread['what'], values: readonly number[], row: (typeof CATALOGUE)[number], nominal?: number): Spread | null {
  const sample = normalSample(values.length === 0 ? [0] : values);
  const found = values.length < 2 ? null : predictive(values, row);
  if (found === null || sample.sd === null) return null;
  // The mean of values over their mean is 1 but for rounding.
  const distribution: Distribution = found.kind === 'student' && nominal !== undefined ? { ...found, mean: nominal } : found;
  const between = quantile(distribution);
  return {
    what,
    mean: { value: sample.mean, interval: meanInterval(sample, LEVEL) },
    sd: { value: sample.sd, interval: sdInterval(sample.sd, sample.count - 1, LEVEL) },
    next: [between(CENTRAL[0]), between(CENTRAL[1])],
    distribution,
  };
}

function correlationOf(x: readonly number[], y: readonly number[]): Estimate | null {
  const r = x.length < 3 ? null : correlation(x, y);
  return r === null ? null : { value: r, interval: correlationInterval(r, x.length, LEVEL) };
}

/** Few enough points for a picture, means of the readings between; time from the start of the burn. */
function trace({ time, force, start }: Firing, firings: number): MotorMeasurement['traces'][number] {
  const most = Math.max(10, Math.min(TRACE_POINTS, Math.floor(ALL_POINTS / firings)));
  const step = Math.max(1, Math.ceil(time.length / most));
  const starts = Array.from({ length: Math.ceil(time.length / step) }, (_, k) => k * step);
  const average = (values: Float64Array, from: number): number => {
    const part = values.subarray(from, from + step);
    return part.reduce((a, b) => a + b, 0) / part.length;
  };
  return { time: starts.map((k) => average(time, k) - start), thrust: starts.map((k) => average(force, k)) };
}

function plain(x: number): string {
  return String(Number(x.toPrecision(4)));
}
