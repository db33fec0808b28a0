/** Static firings as text for a terminal. Computes nothing. */
import type { Estimate, MotorMeasurement, Spread } from '../analysis/measure/measurement.ts';
import { plain, withInterval } from '../report/words.ts';
import { measuredText } from './measuredText.ts';
import { scatterPlot } from './scatterPlot.ts';
import { heading, table } from './terminal.ts';

export function motorText(m: MotorMeasurement): string {
  const many = m.firings.length > 1;
  return measuredText(m, [
    heading(many ? `${m.firings.length} firings` : 'One firing'),
    table(
      ['firing', 'impulse, N s', 'burn time, s', 'average, N', 'peak, N', 'delay, s', 'tare before, N', 'after'],
      m.firings.map((f) => [
        f.name,
        estimate(f.impulse),
        plain(f.burnTime),
        plain(f.average),
        plain(f.peak),
        f.delay === null ? 'unknown' : plain(f.delay),
        level(f.tare.before),
        level(f.tare.after),
      ]),
    ),
    ...(many
      ? [
          '',
          heading('Their means'),
          `  impulse ${estimate(m.impulse)} N s, burn time ${estimate(m.burnTime)} s, average thrust ${estimate(m.average)} N, peak ${estimate(m.peak)} N`,
          '',
          heading('How far they vary'),
          table(['', 'standard deviation', 'the next, nine times in ten'], m.spreads.map(spreadRow)),
          ...correlationLine(m.correlation, m.firings.length),
        ]
      : []),
    '',
    heading('Thrust'),
    ...scatterPlot(
      [
        { mark: '·', label: many ? 'firings' : 'the firing', points: m.traces.flatMap(points) },
        { mark: '#', label: 'the curve below', points: alongCurve(m) },
      ],
      { x: 'time, s', y: 'N' },
    ),
  ]);
}

function spreadRow({ what, sd, next }: Spread): string[] {
  const name = { impulse: 'impulse', burnTime: 'burn time', delay: 'delay' }[what];
  if (what === 'delay') return [name, `${estimate(sd)} s`, `${plain(next[0])} to ${plain(next[1])} s`];
  const share = (x: number): number => 100 * x;
  const inPercent: Estimate = {
    value: share(sd.value),
    interval: sd.interval === null ? null : [share(sd.interval[0]), share(sd.interval[1])],
  };
  return [name, `${estimate(inPercent)} %`, `${plain(next[0])} to ${plain(next[1])} of the mean`];
}

function correlationLine(found: Estimate | null, firings: number): string[] {
  if (found === null) return [];
  const { value, interval } = found;
  return [
    `  correlation of impulse and burn time ${interval === null ? `${value.toFixed(2)}; ${firings} firings give it no interval` : `${value.toFixed(2)} (${interval[0].toFixed(2)} to ${interval[1].toFixed(2)})`}`,
  ];
}

function estimate({ value, interval }: Estimate): string {
  return interval === null ? `${plain(value)} (one value: no interval)` : withInterval(value, interval);
}

function level(x: number | null): string {
  return x === null ? 'not seen' : plain(x);
}

function points({ time, thrust }: MotorMeasurement['curve']): [number, number][] {
  return time.map((t, i) => [t, thrust[i]]);
}

/** Points all along a curve of few corners, from the start of the burn. */
function alongCurve({ curve, traces }: MotorMeasurement): [number, number][] {
  const lead = Math.min(0, ...traces.map(({ time }) => time[0]));
  const { time, thrust } = curve;
  return time.flatMap((t, i): [number, number][] => {
    if (i === 0) return [[t + lead, thrust[0]]];
    const steps = 12;
    return Array.from({ length: steps }, (_, k) => {
      const share = (k + 1) / steps;
      return [time[i - 1] + share * (t - time[i - 1]) + lead, thrust[i - 1] + share * (thrust[i] - thrust[i - 1])];
    });
  });
}
