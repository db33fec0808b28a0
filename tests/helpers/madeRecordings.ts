/**
 * Recordings as a bench would make them, from what is known of the motor or the sensor: made up, for tests and for the
 * examples in studies/.
 */
import { curveTable, thrustAt } from '../../src/maths/thrustCurve.ts';
import type { ThrustCurve } from '../../src/study/study.ts';
import { makeNormalNoise } from './normals.ts';

const GRAVITY = 9.80665;

export interface MadeFiring {
  readonly impulseFactor: number;
  readonly burnTimeFactor: number;
  /** s from the command, which is at 0. */
  readonly delay: number;
}

export interface Stand {
  /** Readings a second. */
  readonly rate: number;
  /** Standard deviation of a reading, N. */
  readonly noise: number;
  /** What the stand shows before, and how much less after the burn, N. */
  readonly tare: number;
  readonly lost: number;
  /** s recorded before the command and after the nominal end. */
  readonly before: number;
  readonly after: number;
  /** N of one count; 0: none. */
  readonly count: number;
}

/** Time from the command, s, and force as the stand shows it, N. */
export function madeFiring(curve: ThrustCurve, firing: MadeFiring, stand: Stand, key: string): { time: number[]; force: number[] } {
  const table = curveTable(curve.time, curve.thrust);
  const end = curve.time[curve.time.length - 1];
  const normal = makeNormalNoise(key);
  const { rate, noise, tare, lost, before, after, count } = stand;
  const n = Math.round((before + end + after) * rate);
  const time = Array.from({ length: n }, (_, i) => i / rate - before);
  let given = 0;
  const force = time.map((t) => {
    const s = (t - firing.delay) / firing.burnTimeFactor;
    const thrust = (thrustAt(table, s) * firing.impulseFactor) / firing.burnTimeFactor;
    given += thrust / rate / (table.total * firing.impulseFactor);
    const shown = tare + thrust - lost * Math.min(1, given) + noise * normal();
    return count === 0 ? shown : Math.round(shown / count) * count;
  });
  return { time, force };
}

/** As a logger writes it: a number of the firing, milliseconds, gram-force; semicolons. */
export function firingsText(firings: readonly { time: readonly number[]; force: readonly number[] }[]): string {
  const rows = firings.flatMap(({ time, force }, k) =>
    time.map((t, i) => `${k + 1};${(1000 * t).toFixed(1)};${((1000 * force[i]) / GRAVITY).toFixed(1)};${t >= 0 ? 1 : 0}`),
  );
  return `firing;t [ms];load [gf];command\n${rows.join('\n')}\n`;
}

/** What a still sensor writes: seconds, three axes of specific force in m/s^2 and three of rate in rad/s. */
export interface MadeSensor {
  readonly rate: number;
  readonly seconds: number;
  /** True values of the three axes and their noise density, step and drift (a walk's density per root second). */
  readonly accelerometer: MadeTriad;
  readonly gyro: MadeTriad;
  /** sd of the sampling instants, s. */
  readonly jitter: number;
  /** Readings that were not written, by number. */
  readonly dropped: ReadonlySet<number>;
}

interface MadeTriad {
  readonly mean: readonly [number, number, number];
  readonly density: number;
  readonly step: number;
  readonly drift: number;
}

export interface MadeStill {
  readonly time: Float64Array;
  readonly axes: readonly Float64Array[];
}

export function madeStill(sensor: MadeSensor, key: string): MadeStill {
  const { rate, seconds, accelerometer, gyro, jitter, dropped } = sensor;
  const n = Math.round(rate * seconds);
  const normal = makeNormalNoise(key);
  const kept = Array.from({ length: n }, (_, i) => i).filter((i) => !dropped.has(i));
  const instants = Float64Array.from({ length: n }, (_, i) => i / rate + jitter * normal());
  const axes = [accelerometer, gyro].flatMap(({ mean, density, step, drift }) =>
    mean.map((level) => {
      let wander = 0;
      const values = Float64Array.from({ length: n }, () => {
        wander += (drift / Math.sqrt(rate)) * normal();
        const x = level + wander + density * Math.sqrt(rate) * normal();
        return step === 0 ? x : Math.round(x / step) * step;
      });
      return Float64Array.from(kept, (i) => values[i]);
    }),
  );
  return { time: Float64Array.from(kept, (i) => instants[i]), axes };
}

/** As a logger writes it: milliseconds, g and degrees a second; the board lies with z along the vehicle. */
export function stillText({ time, axes }: MadeStill): string {
  const [ax, ay, az, gx, gy, gz] = axes;
  const g = (x: number): string => (x / GRAVITY).toFixed(5);
  const dps = (x: number): string => ((x * 180) / Math.PI).toFixed(4);
  const rows = Array.from(
    time,
    (t, i) => `${(1000 * t).toFixed(2)},${g(ay[i])},${g(az[i])},${g(ax[i])},${dps(gy[i])},${dps(gz[i])},${dps(gx[i])}`,
  );
  return `t [ms],ax [g],ay [g],az [g],gx [dps],gy [dps],gz [dps]\n${rows.join('\n')}\n`;
}
