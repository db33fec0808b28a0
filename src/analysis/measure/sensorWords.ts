/** What still recordings say, in words and as lines of a study. Measures nothing. */
import { display } from '../../study/fields.ts';
import { inputLine, inputsSection, written } from './block.ts';
import type { AxisFound, Sensor, SensorMeasurement, TurnOn } from './measurement.ts';
import { axesOf } from './positions.ts';

type Found = Pick<SensorMeasurement, 'gravity' | 'clock' | 'axes' | 'turnOn' | 'byGravity'>;

const SENSORS = ['accelerometer', 'gyro'] as const;
const UNITS: Readonly<Record<Sensor, string>> = { accelerometer: 'm/s^2', gyro: 'rad/s' };
/** Axes whose noise differs by more than this factor get densities of their own. */
const UNLIKE = 1.25;

const plain = (x: number): string => String(Number(x.toPrecision(3)));
/** A density: of a gyro in degrees. */
export function densityText(value: number, sensor: Sensor): string {
  return sensor === 'gyro' ? `${plain((value * 180) / Math.PI)} deg/s/Hz^0.5` : `${plain(value)} m/s^2/Hz^0.5`;
}
const valueText = (value: number, sensor: Sensor): string => display(Number(value.toPrecision(3)), UNITS[sensor]);

/** Root mean square of the densities of a sensor's axes; null where one cannot be told. */
function densityOf(axes: readonly AxisFound[]): number | null {
  if (axes.length === 0 || axes.some(({ density }) => density === null)) return null;
  return Math.sqrt(axes.reduce((sum, { density }) => sum + (density?.value ?? 0) ** 2, 0) / axes.length);
}

/** One sentence, true whatever the numbers. */
export function sensorFinding(found: Found): string {
  const noise = SENSORS.flatMap((sensor) => {
    const axes = axesOf(found.axes, sensor);
    if (axes.length === 0) return [];
    const density = densityOf(axes);
    return [`the ${sensor}’s noise ${density === null ? 'cannot be told' : `is ${densityText(density, sensor)}`}`];
  });
  const changes = found.turnOn.map(({ sensor, sd }) => `the ${sensor}’s level by ${valueText(sd.value, sensor)}`);
  const next =
    changes.length > 0
      ? `; from one recording to the next ${changes.join(' and ')} (one standard deviation)`
      : '; how biases change from one switching on to the next it takes several recordings to say, so switch off, on, and record again';
  const text = `${noise.join(' and ')}${next}.`;
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** @param groups recordings in each position */
export function sensorHow(found: Found, recordings: number, groups: ReadonlyMap<string, number>): readonly string[] {
  const { byGravity, turnOn, gravity } = found;
  return [
    'Noise density is the overlapping Allan deviation times the root of the averaging time, at the shortest time from which on it falls as white noise does; what rounding to the step adds (step squared over 12 a reading) is taken off.',
    'The step is that of a grid through all values that occur. The wander is the least Allan deviation over 0.664 (bias instability); where it still falls at the longest time it is a bound.',
    'Intervals are 95 %. No average reaches over a gap. A level’s interval is from the means of 20 blocks.',
    ...(axesOf(found.axes, 'accelerometer').length === 0
      ? []
      : byGravity.length > 0
        ? [
            `Bias and scale of an accelerometer’s axis are from gravity up and down it, taken as ${plain(gravity)} m/s^2 (--gravity): a bench tilted by 1 deg errs by 0.0015 m/s^2.`,
          ]
        : [
            'A single position does not tell an accelerometer’s bias from a tilted bench: 1 deg is 0.17 m/s^2. Six positions do, each axis up and down.',
          ]),
    ...(turnOn.length > 0
      ? [
          `${recordings} recordings${groups.size > 1 ? `, ${groups.size} positions; only those in one position are compared for the accelerometer` : ''}; the axes of a sensor are taken together.`,
        ]
      : []),
    'A recording at rest says nothing of a gyro’s scale error, of temperature, or of vibration under thrust.',
  ];
}

/** Lines of YAML. */
export function sensorBlock(found: Found): readonly string[] {
  const inputs = [
    ...SENSORS.flatMap((sensor) => noiseLines(found.axes, sensor)),
    ...gravityLines(found),
    ...SENSORS.flatMap((sensor) => biasLines(found, sensor)),
  ];
  return [
    'sensors: # beside the range of each, which a recording at rest does not show',
    ...SENSORS.flatMap((sensor) => sensorLines(axesOf(found.axes, sensor), sensor)),
    ...clockLines(found),
    ...inputsSection(inputs),
  ];
}

function sensorLines(axes: readonly AxisFound[], sensor: Sensor): readonly string[] {
  if (axes.length === 0) return [];
  const density = densityOf(axes);
  const steps = axes.flatMap(({ step }) => (step === null ? [] : [step.value]));
  const lsb = steps.length === 0 ? '' : `, lsb: ${written(Math.max(...steps), UNITS[sensor])}`;
  const bounds = axes.flatMap(({ densityAtMost }) => (densityAtMost === null ? [] : [densityAtMost]));
  if (density !== null) return [`  ${sensor}: { noise: ${written(density, `${UNITS[sensor]}/Hz^0.5`)}${lsb} }`];
  if (bounds.length > 0) {
    return [
      `  ${sensor}: { noise: ${written(Math.max(...bounds), `${UNITS[sensor]}/Hz^0.5`)}${lsb} } # at most: noise hides under the step`,
    ];
  }
  return [`  # ${sensor}: no stretch of the curve is white noise; record longer, or look at the picture`];
}

/** Axes that differ get a line each. */
function noiseLines(all: readonly AxisFound[], sensor: Sensor): readonly string[] {
  const axes = axesOf(all, sensor);
  const values = axes.flatMap(({ density }) => (density === null ? [] : [density.value]));
  if (values.length < axes.length || values.length < 2 || Math.max(...values) < UNLIKE * Math.min(...values)) return [];
  return axes.map(({ axis }, i) =>
    inputLine({ key: `${sensor}.noise${axis}`, distribution: { kind: 'fixed', value: values[i] }, note: i === 0 ? 'the axes differ' : '' }),
  );
}

/** What the flight computer's own loop would show of its timing. */
function clockLines({ clock }: Found): readonly string[] {
  const rate = plain(1 / clock.interval);
  if (clock.gapLength === null) return [`# computer: { rate: ${rate} Hz } # if the flight computer’s own loop wrote this`];
  return [
    `# computer: { rate: ${rate} Hz, stallRate: ${plain(clock.gapRate.value)} 1/s, stallDuration: ${plain(clock.gapLength)} s } # if the flight computer’s own loop wrote this`,
  ];
}

function gravityLines({ byGravity }: Found): readonly string[] {
  return byGravity.map(({ axis, scale }) => {
    const sd = scale.interval === null ? 0 : (scale.interval[1] - scale.interval[0]) / 4;
    return inputLine({
      key: `accelerometer.scale${axis}`,
      distribution: sd === 0 ? { kind: 'fixed', value: scale.value } : { kind: 'normal', mean: scale.value, sd },
      note: '',
    });
  });
}

/** About the measured level where that is one: a gyro's, and an accelerometer's from two positions. */
function biasLines({ axes, turnOn, byGravity }: Found, sensor: Sensor): readonly string[] {
  const change = turnOn.find((one) => one.sensor === sensor);
  return axesOf(axes, sensor).flatMap((found) => {
    const { axis, means } = found;
    const up = byGravity.find((one) => one.axis === axis);
    const level = sensor === 'gyro' ? means.reduce((sum, { value }) => sum + value, 0) / means.length : (up?.bias.value ?? null);
    return biasLine(`${sensor}.bias${axis}`, sensor, level, change, means.length);
  });
}

function biasLine(
  key: `${Sensor}.bias${AxisFound['axis']}`,
  sensor: Sensor,
  level: number | null,
  change: TurnOn | undefined,
  recordings: number,
): readonly string[] {
  if (change === undefined) {
    return level === null ? [] : [`# ${key}: ${written(level, UNITS[sensor])} # this time; record several to say how it changes`];
  }
  const { sd, freedom } = change;
  const scale = sd.value * Math.sqrt(1 + 1 / recordings);
  const note = level === null ? 'about 0: a standing bias takes six positions' : '';
  return [inputLine({ key, distribution: { kind: 'student', mean: level ?? 0, scale, freedom }, note })];
}
