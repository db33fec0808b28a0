/** What the bench showed: thrust of the firings, deviations of a still sensor, a list of values with what fits it. */
import type {
  AxisFound,
  LegsMeasurement,
  Measurement,
  MotorMeasurement,
  SensorMeasurement,
  ValuesMeasurement,
} from '../../analysis/measure/measurement.ts';
import { cdf } from '../../inputs/distributions.ts';
import { type Drawing, WIDTH } from '../drawing.ts';
import { type Figure, still } from '../figure.ts';
import { inputWords } from '../inputWords.ts';
import { plain, shown } from '../words.ts';

export function measuredFigures(drawing: Drawing, m: Measurement): readonly Figure[] {
  switch (m.kind) {
    case 'motor':
      return [thrustFigure(drawing, m)];
    case 'sensor':
      return (['accelerometer', 'gyro'] as const).flatMap((sensor) => deviationFigure(drawing, m, sensor) ?? []);
    case 'values':
      return m.chosen === 'chance' ? [] : [valuesFigure(drawing, m)];
    case 'legs':
      return [reboundFigure(drawing, m)];
  }
}

function thrustFigure({ Plot, draw }: Drawing, { firings, traces, curve, impulse, burnTime }: MotorMeasurement): Figure {
  const many = firings.length > 1;
  const begins = Math.min(0, ...traces.map(({ time }) => time[0]));
  const lines = traces.flatMap(({ time, thrust }, k) => time.map((t, i) => ({ time: t, thrust: thrust[i], firing: firings[k].name })));
  const mean = curve.time.map((t, i) => ({ time: t + begins, thrust: curve.thrust[i] }));
  const drawn = draw(
    `Thrust over time of ${firings.length} firings, ${many ? 'with their mean' : 'with the curve made of it'}: ${plain(impulse.value)} N s in ${plain(burnTime.value)} s.`,
    {
      width: WIDTH,
      height: 280,
      x: { label: 'time from the start of the burn, s', ticks: 6 },
      y: { label: 'thrust, N', grid: true, ticks: 5 },
      marks: [
        Plot.ruleY([0], { stroke: 'var(--faint)' }),
        Plot.line(lines, { x: 'time', y: 'thrust', z: 'firing', stroke: 'var(--beyond)', strokeWidth: 1, title: 'firing' }),
        Plot.line(mean, { x: 'time', y: 'thrust', stroke: 'var(--ink)', strokeWidth: 1.8 }),
      ],
    },
  );
  const title = many
    ? `${firings.length} firings of ${plain(impulse.value)} N s in ${plain(burnTime.value)} s on average`
    : `One firing of ${plain(impulse.value)} N s in ${plain(burnTime.value)} s`;
  const caption = `Pale: ${many ? 'each firing' : 'the firing'} without the stand’s own level. Dark: the curve to paste, ${many ? 'their mean at one burn time and one impulse' : 'thinned to its corners'}.`;
  return still('measured-thrust', title, drawn, caption);
}

/** Colours of the axes; dashes tell them apart too. */
const AXIS_LOOKS = {
  X: { stroke: 'var(--ruleA)', dash: 'none' },
  Y: { stroke: 'var(--measure)', dash: '6 3' },
  Z: { stroke: 'var(--ruleB)', dash: '2 3' },
} as const;

function deviationFigure({ Plot, draw }: Drawing, { axes: all }: SensorMeasurement, sensor: AxisFound['sensor']): Figure | null {
  const axes = all.filter((axis) => axis.sensor === sensor && axis.curve.some(({ deviation }) => deviation > 0));
  if (axes.length === 0) return null;
  const { unit, factor } = shown(sensor === 'gyro' ? 'rad/s' : 'm/s^2');
  const series = axes.map(({ axis, curve, density }) => ({
    axis,
    density,
    points: curve.filter(({ deviation }) => deviation > 0).map(({ tau, deviation }) => ({ tau, deviation: deviation * factor })),
  }));
  const [first, last] = [series[0].points[0].tau, series[0].points[series[0].points.length - 1].tau];
  const told = series.flatMap(({ density }) => (density === null ? [] : [density.value * factor]));
  const typical = told.length === 0 ? null : Math.sqrt(told.reduce((sum, d) => sum + d * d, 0) / told.length);
  const white = typical === null ? [] : [first, last].map((tau) => ({ tau, deviation: typical / Math.sqrt(tau) }));
  const named = series
    .map(({ axis, density }) => `${axis.toLowerCase()} ${density === null ? 'not to be told' : plain(density.value * factor)}`)
    .join(', ');
  const drawn = draw(`Allan deviation of the ${sensor}’s axes over averaging time. Noise densities, ${unit}/√Hz: ${named}.`, {
    width: WIDTH,
    height: 280,
    marginLeft: 66,
    x: { type: 'log', label: 's averaged over', ticks: 5, tickFormat: (v: number) => plainTick(v) },
    y: { type: 'log', label: `Allan deviation, ${unit}`, grid: true, ticks: 4, tickFormat: (v: number) => plainTick(v), labelOffset: 60 },
    marks: [
      Plot.line(white, { x: 'tau', y: 'deviation', stroke: 'var(--faint)', strokeWidth: 1 }),
      ...series.map(({ axis, points }) =>
        Plot.line(points, {
          x: 'tau',
          y: 'deviation',
          stroke: AXIS_LOOKS[axis].stroke,
          strokeDasharray: AXIS_LOOKS[axis].dash,
          strokeWidth: 1.8,
        }),
      ),
      ...series.map(({ axis, points }, i) =>
        Plot.text([points[Math.floor((0.35 + 0.25 * i) * points.length)]], {
          x: 'tau',
          y: 'deviation',
          text: () => axis.toLowerCase(),
          dy: -9,
          fill: 'var(--ink)',
        }),
      ),
    ],
  });
  const title =
    typical === null ? `The ${sensor}’s noise cannot be told from this` : `The ${sensor}’s noise is ${plain(typical)} ${unit}/√Hz`;
  const caption = `Axes x, y, z of the vehicle (line, dashes, dots): ${named} ${unit}/√Hz. Pale: white noise of ${typical === null ? 'no density that could be told' : 'that density'}. Where the curve turns up, the level wanders.`;
  return still(`measured-${sensor}`, title, drawn, caption);
}

function plainTick(v: number): string {
  return String(Number(v.toPrecision(2)));
}

const BINS = 12;

function valuesFigure({ Plot, draw }: Drawing, { input, unit: si, values, distribution, chosen, next }: ValuesMeasurement): Figure {
  const { unit, factor } = shown(si);
  const [low, high] = [values[0], values[values.length - 1]];
  const width = (high - low) / BINS;
  const below = cdf(distribution);
  const bars = Array.from({ length: BINS }, (_, i) => {
    const [from, to] = [low + i * width, low + (i + 1) * width];
    const count = values.filter((v) => v >= from && (i === BINS - 1 ? v <= high : v < to)).length;
    return {
      low: from * factor,
      high: to * factor,
      middle: 0.5 * (from + to) * factor,
      count,
      expected: values.length * (below(to) - below(from)),
    };
  });
  const what = inputWords(input);
  const label = unit === '' ? what : `${what}, ${unit}`;
  const drawn = draw(`Histogram of ${values.length} values of ${what}, and how many of each the distribution taken would have.`, {
    width: WIDTH,
    height: 250,
    x: { label, ticks: 6 },
    y: { label: 'values', grid: true, ticks: 4 },
    marks: [
      Plot.rectY(bars, { x1: 'low', x2: 'high', y: 'count', fill: 'var(--measure)', insetRight: 1 }),
      Plot.line(bars, { x: 'middle', y: 'expected', stroke: 'var(--ink)', strokeWidth: 1.8 }),
      Plot.ruleY([0], { stroke: 'var(--faint)' }),
    ],
  });
  const range =
    next === null
      ? ''
      : `, the next between ${plain(next[0] * factor)} and ${plain(next[1] * factor)}${unit === '' ? '' : ` ${unit}`} nine times in ten`;
  const shape =
    chosen === 'sample'
      ? 'that fit no shape tried'
      : chosen === 'student'
        ? 'too few for a shape'
        : `that go with a ${chosen} distribution`;
  return still(
    'measured-values',
    `${values.length} values ${shape}${range}`,
    drawn,
    `Bars: the values. Line: how many the distribution to paste would put in each bar${chosen === 'sample' ? ': the values themselves' : '; wider than the values, for so few are known'}.`,
  );
}

function reboundFigure({ Plot, draw }: Drawing, { drops, curve, damping, ratio }: LegsMeasurement): Figure {
  const drawn = draw(
    `Height of rebound over height of drop, ${drops.length} seen, and the line of a damping of ${plain(damping.value)} N s/m a leg.`,
    {
      width: WIDTH,
      height: 250,
      x: { label: 'dropped from, m', ticks: 6, domain: [0, curve[curve.length - 1].drop] },
      y: { label: 'rebound, m', grid: true, ticks: 4 },
      marks: [
        Plot.ruleY([0], { stroke: 'var(--faint)' }),
        Plot.line(curve, { x: 'drop', y: 'rebound', stroke: 'var(--ink)', strokeWidth: 1.8 }),
        Plot.dot(drops, { x: 'drop', y: 'rebound', r: 4, fill: 'var(--measure)' }),
      ],
    },
  );
  const caption = `Dots: the drops. Line: by the damping found, ${plain(damping.value)} N s/m a leg. Where the line lies at 0, the vehicle stays down.`;
  return still('measured-rebound', `The legs are damped by ${plain(ratio.value)} of critical`, drawn, caption);
}
