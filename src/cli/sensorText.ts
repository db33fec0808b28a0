/** Still recordings as text for a terminal. Computes nothing but places in a plot. */
import type { AxisFound, ClockFound, Estimate, SensorMeasurement } from '../analysis/measure/measurement.ts';
import { count, plain, shown, withInterval } from '../report/words.ts';
import { measuredText } from './measuredText.ts';
import { scatterPlot } from './scatterPlot.ts';
import { heading, table } from './terminal.ts';

const UNITS = { accelerometer: 'm/s^2', gyro: 'rad/s' } as const;
const MARKS = ['x', 'y', 'z'] as const;

export function sensorText(m: SensorMeasurement): string {
  return measuredText(m, [
    heading(m.files.length === 1 ? 'One recording' : `${m.files.length} recordings`),
    ...clockLines(m.clock),
    '',
    heading('Axes'),
    table(['axis', 'unit', 'level', 'noise, unit/Hz^0.5', 'step', 'wander', 'after, s'], m.axes.map(axisRow), [0, 1]),
    ...(m.files.length > 1 ? ['  level: of the first recording'] : []),
    ...(m.byGravity.length === 0
      ? []
      : [
          '',
          heading('Accelerometer by gravity'),
          table(
            ['axis', 'bias, m/s^2', 'scale error, %'],
            m.byGravity.map(({ axis, bias, scale }) => [axis.toLowerCase(), estimate(bias, 1), estimate(scale, 100)]),
          ),
        ]),
    ...(m.turnOn.length === 0
      ? []
      : [
          '',
          heading('From one recording to the next'),
          ...m.turnOn.map(({ sensor, sd, freedom }) => {
            const { unit, factor } = shown(UNITS[sensor]);
            return `  ${sensor}: level changes by ${estimate(sd, factor)} ${unit}, one standard deviation, ${freedom} degrees of freedom`;
          }),
        ]),
    ...(['accelerometer', 'gyro'] as const).flatMap((sensor) => curveLines(m.axes.filter((axis) => axis.sensor === sensor))),
  ]);
}

function clockLines(clock: ClockFound): string[] {
  const ms = (x: number): string => plain(1000 * x);
  return [
    `  ${plain(clock.length)} s, a reading every ${ms(clock.interval)} ms (${plain(1 / clock.interval)} Hz), jitter ${clock.jitter === null ? 'not to be told' : `${estimate(clock.jitter, 1000)} ms`}, longest ${ms(clock.longest)} ms`,
    clock.gaps === 0
      ? `  no reading is missing; gaps are rarer than ${plain(clock.gapRate.interval?.[1] ?? 0)} a second`
      : `  ${count(clock.missing)} readings are missing in ${count(clock.gaps)} gaps: ${estimate(clock.gapRate, 1)} gaps a second, ${ms(clock.gapLength ?? 0)} ms longer than an interval on average`,
  ];
}

function axisRow({ sensor, axis, means, density, densityAtMost, step, wander }: AxisFound): string[] {
  const { unit, factor } = shown(UNITS[sensor]);
  return [
    `${sensor} ${axis.toLowerCase()}`,
    unit,
    estimate(means[0], factor),
    density === null ? (densityAtMost === null ? 'not white' : `under ${plain(factor * densityAtMost)}`) : estimate(density, factor),
    step === null ? 'none seen' : estimate(step, factor),
    `${wander.atMost ? 'at most ' : ''}${estimate(wander, factor)}`,
    plain(wander.tau),
  ];
}

function estimate({ value, interval }: Estimate, factor: number): string {
  if (interval === null) return plain(factor * value);
  // A step that fits to the last digit has no width to print.
  if (interval[1] - interval[0] < 1e-9 * Math.abs(value)) return plain(factor * value);
  return withInterval(factor * value, [factor * interval[0], factor * interval[1]]);
}

/** Deviation over averaging time, both as powers of ten. */
function curveLines(axes: readonly AxisFound[]): string[] {
  const series = axes
    .map(({ axis, curve }, i) => ({
      mark: MARKS[i],
      label: axis.toLowerCase(),
      points: curve.filter(({ deviation }) => deviation > 0).map(({ tau, deviation }) => [Math.log10(tau), Math.log10(deviation)] as const),
    }))
    .filter(({ points }) => points.length > 0);
  if (series.length === 0) return [];
  const [{ sensor }] = axes;
  return ['', heading(`${sensor}: Allan deviation`), ...scatterPlot(series, { x: 'log10 of s averaged', y: `log10 of ${UNITS[sensor]}` })];
}
