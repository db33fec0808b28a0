/**
 * Several still recordings side by side: how levels change from one switching on to the next, and what gravity up and
 * down an axis tells of its bias and scale. Reads no recording.
 */
import { normalQuantile } from '../../maths/normal.ts';
import { normalSample, sdInterval } from '../../statistics/samples/normalSample.ts';
import { AXES, type AxisFound, type Estimate, type GravityFound, LEVEL, type Sensor, type TurnOn } from './measurement.ts';

/** Which axis of the accelerometer pointed up (1) or down (-1) in a recording; of no accelerometer all lie alike. */
function position(axes: readonly AxisFound[], recording: number): string {
  const felt = axes.filter(({ sensor }) => sensor === 'accelerometer').map(({ axis, means }) => ({ axis, value: means[recording].value }));
  if (felt.length < AXES.length) return 'alike';
  const most = felt.reduce((a, b) => (Math.abs(b.value) > Math.abs(a.value) ? b : a));
  return `${most.value > 0 ? '+' : '-'}${most.axis}`;
}

/**
 * Recordings in one position are compared with each other, each sensor's axes together.
 * @returns also how many recordings lie in each position
 */
export function turnOnOf(axes: readonly AxisFound[]): { readonly turnOn: readonly TurnOn[]; readonly groups: ReadonlyMap<string, number> } {
  const recordings = axes[0].means.map((_, i) => i);
  const groups = new Map<string, number[]>();
  for (const i of recordings) {
    const name = position(axes, i);
    groups.set(name, [...(groups.get(name) ?? []), i]);
  }
  const turnOn = (['accelerometer', 'gyro'] as const).flatMap((sensor): TurnOn[] => {
    let [squares, freedom] = [0, 0];
    for (const axis of axes.filter((one) => one.sensor === sensor)) {
      for (const group of sensor === 'gyro' ? [recordings] : groups.values()) {
        const sample = normalSample(group.map((i) => axis.means[i].value));
        if (sample.sd === null) continue;
        squares += (sample.count - 1) * sample.sd ** 2;
        freedom += sample.count - 1;
      }
    }
    if (freedom === 0) return [];
    const sd = Math.sqrt(squares / freedom);
    return [{ sensor, sd: { value: sd, interval: sdInterval(sd, freedom, LEVEL) }, freedom }];
  });
  return { turnOn, groups: new Map([...groups].map(([name, group]) => [name, group.length])) };
}

/**
 * Bias (u + d)/2 and scale error (u - d)/(2 g) - 1 of each axis that was turned up and down.
 * @param gravity m/s^2
 */
export function gravityOf(axes: readonly AxisFound[], gravity: number): readonly GravityFound[] {
  const felt = axes.filter(({ sensor }) => sensor === 'accelerometer');
  if (felt.length < AXES.length) return [];
  const recordings = felt[0].means.map((_, i) => ({ i, where: position(axes, i) }));
  return felt.flatMap(({ axis, means }): GravityFound[] => {
    const levels = ['+', '-'].map((way) => recordings.filter(({ where }) => where === `${way}${axis}`).map(({ i }) => means[i]));
    if (levels.some((found) => found.length === 0)) return [];
    const [up, down] = levels.map(levelOf);
    const error = Math.hypot(up.error, down.error);
    const half = normalQuantile(0.5 * (1 + LEVEL)) * error;
    const estimate = (value: number, reach: number): Estimate => ({ value, interval: [value - reach, value + reach] });
    return [
      {
        axis,
        bias: estimate(0.5 * (up.mean + down.mean), 0.5 * half),
        scale: estimate((up.mean - down.mean) / (2 * gravity) - 1, half / (2 * gravity)),
      },
    ];
  });
}

/** Mean of the recordings in one position, and its standard error: from their spread, or of one from its own interval. */
function levelOf(means: readonly Estimate[]): { readonly mean: number; readonly error: number } {
  const { mean, sd, count } = normalSample(means.map(({ value }) => value));
  const own = means.map(({ interval }) => (interval === null ? 0 : (interval[1] - interval[0]) / (2 * normalQuantile(0.5 * (1 + LEVEL)))));
  const single = Math.sqrt(own.reduce((sum, e) => sum + e * e, 0)) / count;
  return { mean, error: sd === null ? single : Math.max(single, sd / Math.sqrt(count)) };
}

/** The three axes of a sensor. */
export function axesOf(axes: readonly AxisFound[], sensor: Sensor): readonly AxisFound[] {
  return axes.filter((axis) => axis.sensor === sensor);
}
