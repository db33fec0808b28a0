/** `alight measure`: what the bench says, as blocks to paste into a study. */
import { type Command, InvalidArgumentError } from 'commander';
import type { Measurement } from '../analysis/measure/measurement.ts';
import { UserError } from '../errors.ts';
import { printJson, printWarnings, whole } from './options.ts';

interface KeepingOptions {
  readonly out?: string;
  readonly force?: boolean;
  readonly json?: boolean;
}

interface MeasureCommandOptions extends KeepingOptions {
  readonly columns?: string;
}

/** m/s^2 */
const STANDARD_GRAVITY = 9.80665;

interface SensorOptions extends MeasureCommandOptions {
  readonly gravity: number;
}

interface ValuesOptions extends KeepingOptions {
  readonly column: string;
  readonly for: string;
  readonly unit?: string;
  readonly relative?: boolean;
}

interface LegsOptions extends MeasureCommandOptions {
  readonly mass: string;
  readonly legs: number;
  readonly stiffness: string;
}

interface MotorOptions extends MeasureCommandOptions {
  readonly for: 'ascent' | 'landing';
  readonly commandAt?: number;
}

const COLUMNS =
  'which column is what, parted by commas; #2 is the second column, a minus turns the sign, [0.122 mg] is what one count stands for';

export function defineMeasure(program: Command): void {
  const measure = program
    .command('measure')
    .summary('what the bench says: motors, sensors and measured lists as blocks to paste into a study')
    .description('Reads recordings (CSV), says what they show with intervals, and prints lines for a study. No study is changed.')
    .addHelpText(
      'after',
      '\nExamples:\n  alight measure motor studies/stitchwort-firings.csv\n  alight measure sensor studies/stitchwort-still.csv\n  alight measure values studies/stitchwort-bench.csv --column delay_ms --for landing.ignitionDelay',
    );
  defineMotor(measure);
  defineSensor(measure);
  defineValues(measure);
  defineLegs(measure);
}

function defineMotor(measure: Command): void {
  common(measure.command('motor').argument('<files...>', 'recordings of static firings (CSV), one or several firings in each'))
    .option('--for <motor>', 'whose lines to print: ascent or landing', motor, 'landing')
    .option('--command-at <time>', 'moment of the ignition command in each recording’s own time, e.g. 0s', time)
    .summary('static firings: thrust curve, impulse, burn time, delay, and how far they vary')
    .description(
      'Columns: time, thrust; run where a file holds several firings, command where one shows the igniter’s signal.\nOne firing gives a curve; several give the mean curve and what the next motor may be.',
    )
    .addHelpText(
      'after',
      '\nExamples:\n  alight measure motor firing-1.csv firing-2.csv firing-3.csv --columns "time=t [ms], thrust=load [gf]"\n  alight measure motor studies/stitchwort-firings.csv --for landing',
    )
    .action(async (files: string[], options: MotorOptions) => {
      const { measureMotor } = await import('../analysis/measure/measureMotor.ts');
      const { motorText } = await import('./motorText.ts');
      const found = await measureMotor(files, {
        columns: options.columns ?? null,
        motor: options.for,
        commandAt: options.commandAt ?? null,
      });
      await show(found, options, () => motorText(found));
    });
}

function defineSensor(measure: Command): void {
  common(measure.command('sensor').argument('<files...>', 'recordings of a still sensor (CSV); several show how levels change'))
    .option('--gravity <acceleration>', 'gravity at the bench, m/s^2', acceleration, STANDARD_GRAVITY)
    .summary('a still accelerometer and gyro: noise, step, levels, and how they change')
    .description(
      'Columns: time and any of accelX, accelY, accelZ, gyroX, gyroY, gyroZ, body axes (x along the vehicle, nose up).\nSeveral recordings, switched off between, show how biases change; each axis up and down shows bias and scale.',
    )
    .addHelpText(
      'after',
      '\nExamples:\n  alight measure sensor studies/stitchwort-still.csv --columns "accelX=az [g], accelY=ax [g], accelZ=ay [g], gyroX=gz [dps], gyroY=gx [dps], gyroZ=gy [dps]"\n  alight measure sensor still-1.csv still-2.csv still-3.csv --columns "time=t [us], gyroX=-gz [0.00875 dps]"',
    )
    .action(async (files: string[], options: SensorOptions) => {
      const { measureSensor } = await import('../analysis/measure/measureSensor.ts');
      const { sensorText } = await import('./sensorText.ts');
      const found = await measureSensor(files, { columns: options.columns ?? null, gravity: options.gravity });
      await show(found, options, () => sensorText(found));
    });
}

function defineValues(measure: Command): void {
  keeping(measure.command('values').argument('<file>', 'a list of measured numbers (CSV)'))
    .requiredOption('--column <name>', 'the column, by its title or as #2')
    .requiredOption('--for <input>', 'the input that the numbers are of; alight inputs lists them')
    .option('--unit <unit>', 'unit of the numbers (default: what the head says)')
    .option('--relative', 'take each over their mean: for factors')
    .summary('a measured list: which distribution goes with it, or the values themselves')
    .description('Holds each kind of distribution against the values, names those that lie far out, and leaves none out.')
    .addHelpText(
      'after',
      '\nExamples:\n  alight measure values studies/stitchwort-bench.csv --column delay_ms --for landing.ignitionDelay\n  alight measure values weights.csv --column "#2" --unit g --for airframe.mass',
    )
    .action(async (file: string, options: ValuesOptions) => {
      const { measureValues } = await import('../analysis/measure/measureValues.ts');
      const { valuesText } = await import('./valuesText.ts');
      const { column, unit, for: input, relative } = options;
      const found = await measureValues(file, { column, unit: unit ?? null, input, relative: relative ?? false });
      await show(found, options, () => valuesText(found));
    });
}

function defineLegs(measure: Command): void {
  common(measure.command('legs').argument('<file>', 'drops upon the legs (CSV): from what height, and how high they came up again'))
    .requiredOption('--mass <mass>', 'all that was dropped, e.g. 1.28kg')
    .requiredOption('--stiffness <stiffness>', 'of one leg, e.g. 600N/m')
    .option('--legs <number>', 'how many legs touch at once', whole(3, 8), 4)
    .summary('drops from a chair, filmed: the damping of the legs')
    .description('Columns: drop and rebound, both heights of the feet above a hard floor. The vehicle falls upright onto all legs at once.')
    .addHelpText('after', '\nExample:\n  alight measure legs studies/stitchwort-drops.csv --mass 1.28kg --stiffness 600N/m --legs 4')
    .action(async (file: string, options: LegsOptions) => {
      const { measureLegs } = await import('../analysis/measure/measureLegs.ts');
      const { measuredLegsText } = await import('./measuredLegsText.ts');
      const mass = await positive(options.mass, 'kg', '--mass');
      const stiffness = await positive(options.stiffness, 'N/m', '--stiffness');
      const found = await measureLegs(file, { columns: options.columns ?? null, mass, legs: options.legs, stiffness });
      await show(found, options, () => measuredLegsText(found));
    });
}

/** A value above 0 with its unit; a bare number is SI. @throws UserError */
async function positive(text: string, unit: string, option: string): Promise<number> {
  const { readQuantity } = await import('../study/units.ts');
  const read = readQuantity(text, unit);
  if ('value' in read && read.value > 0) return read.value;
  const why = 'problem' in read && read.problem !== '' ? ` (${read.problem})` : '';
  throw new UserError(
    `${option}: read ${JSON.stringify(text)}${why}; expected a value above 0 in ${unit}. Write, for example, 1.2${unit}.`,
  );
}

function common(command: Command): Command {
  return keeping(command.option('--columns <map>', `${COLUMNS}: "time=t [ms]"`));
}

function keeping(command: Command): Command {
  return command
    .option('--out <folder>', 'also keep the numbers (measurement.json), a page with pictures and, of a motor, curve.csv there')
    .option('--force', 'replace results that are in the folder')
    .option('--json', 'print the result as JSON, SI, full digits');
}

async function show(found: Measurement, options: KeepingOptions, text: () => string): Promise<void> {
  printWarnings(found.warnings);
  if (options.out !== undefined) {
    const { measurementPage } = await import('../report/measurementPage.ts');
    const { keepMeasurement } = await import('../analysis/measure/keepMeasurement.ts');
    await keepMeasurement(options.out, options.force ?? false, found, await measurementPage(found));
  }
  if (options.json) printJson(found);
  else process.stdout.write(`${text()}${options.out === undefined ? '' : `\n\nNumbers and page are in ${options.out}`}\n`);
}

function motor(text: string): 'ascent' | 'landing' {
  if (text === 'ascent' || text === 'landing') return text;
  throw new InvalidArgumentError('expected ascent or landing.');
}

/** m/s^2, from a number with or without its unit. */
function acceleration(text: string): number {
  const match = /^([\d.]+)\s*(m\/s\^?2)?$/.exec(text.trim());
  const value = match === null ? Number.NaN : Number(match[1]);
  if (!(value > 9.7 && value < 9.9)) throw new InvalidArgumentError('expected gravity somewhere on the ground, e.g. 9.81.');
  return value;
}

/** s, from a number with or without its unit. */
function time(text: string): number {
  const match = /^([+-]?[\d.]+)\s*(s|ms)?$/.exec(text.trim());
  const value = match === null ? Number.NaN : Number(match[1]);
  if (!Number.isFinite(value)) throw new InvalidArgumentError('expected a time, e.g. 0s or 250ms.');
  return match?.[2] === 'ms' ? value / 1000 : value;
}
