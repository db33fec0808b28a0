/** Still sensors made up from known densities, levels and steps: all come back within their intervals. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { AxisFound, Estimate, SensorMeasurement } from '../../../src/analysis/measure/measurement.ts';
import { measureSensor } from '../../../src/analysis/measure/measureSensor.ts';
import { readStillAxis } from '../../../src/analysis/measure/stillAxis.ts';
import { UserError } from '../../../src/errors.ts';
import { type MadeSensor, madeStill, stillText } from '../../helpers/madeRecordings.ts';
import { makeNormalNoise } from '../../helpers/normals.ts';
import { plainText, read } from '../../study/plainStudy.ts';

const GRAVITY = 9.80665;
const SENSOR: MadeSensor = {
  rate: 100,
  seconds: 30,
  accelerometer: { mean: [GRAVITY + 0.02, 0.03, -0.01], density: 0.0015, step: 0.0048, drift: 0 },
  gyro: { mean: [0.004, -0.011, 0.002], density: 8.7e-5, step: 0.00053, drift: 0 },
  jitter: 0.00004,
  dropped: new Set(),
};
/** The board's z lies along the vehicle. */
const COLUMNS = 'accelX=az [g], accelY=ax [g], accelZ=ay [g], gyroX=gz [dps], gyroY=gx [dps], gyroZ=gy [dps]';
const OPTIONS = { columns: COLUMNS, gravity: GRAVITY };

let root = '';
beforeAll(() => {
  root = mkdtempSync(join(tmpdir(), 'still-'));
});
afterAll(() => rmSync(root, { recursive: true }));

function file(name: string, text: string): string {
  const path = join(root, name);
  writeFileSync(path, text);
  return path;
}

const made = (sensor: MadeSensor, key: string): string => file(`${key}.csv`, stillText(madeStill(sensor, key)));

const holds = ({ interval }: Estimate, truth: number): boolean => interval !== null && interval[0] <= truth && truth <= interval[1];

const axis = (found: SensorMeasurement, sensor: AxisFound['sensor'], name: AxisFound['axis']): AxisFound => {
  const one = found.axes.find((a) => a.sensor === sensor && a.axis === name);
  if (one === undefined) throw new Error(`no ${sensor} ${name}`);
  return one;
};

describe('one recording', () => {
  it('has density, level and step of each axis, in body axes and SI', async () => {
    const found = await measureSensor([made(SENSOR, 'one')], OPTIONS);
    for (const { sensor, axis: name, means, density, step } of found.axes) {
      const { mean, density: truth, step: grid } = SENSOR[sensor];
      // one draw of eighteen intervals: three times the half width, so that a false alarm is seldom
      const near = ({ value, interval }: Estimate, right: number): boolean =>
        interval !== null && Math.abs(value - right) <= 1.5 * (interval[1] - interval[0]) + 1e-12;
      expect(near(means[0], mean[['X', 'Y', 'Z'].indexOf(name)]), `${sensor} ${name} level`).toBe(true);
      expect(density !== null && near(density, truth), `${sensor} ${name} density`).toBe(true);
      expect(step !== null && near(step, grid), `${sensor} ${name} step`).toBe(true);
    }
    expect(found.turnOn).toEqual([]);
    expect(found.byGravity).toEqual([]);
    expect(found.clock.interval).toBeCloseTo(0.01, 6);
    expect(found.clock.gapRate.value).toBe(0);
    expect(found.finding).toMatch(/^The accelerometer’s noise is 0\.001\d+ m\/s\^2\/Hz\^0\.5 and the gyro’s noise is .* record again\.$/);
  });

  it('missing readings are counted and reached over by no average', async () => {
    const found = await measureSensor([made({ ...SENSOR, dropped: new Set([500, 501, 502, 1000]) }, 'gaps')], OPTIONS);
    expect(found.clock).toMatchObject({ missing: 4, gaps: 2 });
    expect(found.clock.gapLength).toBeCloseTo(0.02, 3);
    const [low, high] = found.clock.gapRate.interval ?? [0, 0];
    // Garwood: 2 events have 0.2422 to 7.2247
    expect(low * 30).toBeCloseTo(0.2422, 2);
    expect(high * 30).toBeCloseTo(7.2247, 1);
    expect(found.block.join('\n')).toMatch(/# computer: \{ rate: 100 Hz, stallRate: 0\.0667 1\/s, stallDuration: 0\.0\d+ s \}/);
  });

  it('the block is read by a study', async () => {
    const { block } = await measureSensor([made(SENSOR, 'block')], OPTIONS);
    const line = (key: string): string => (block.find((one) => one.trim().startsWith(key)) ?? '').replace(' }', ', range: 157 }');
    const { study } = await read(plainText({ 30: line('accelerometer:'), 31: line('gyro:') }));
    expect(study.sensors.accelerometer.noise / 0.0015).toBeCloseTo(1, 1);
    expect(study.sensors.gyro.lsb / 0.00053).toBeCloseTo(1, 2);
  });

  it('a sensor whose noise hides under its step says so', async () => {
    const found = await measureSensor([made({ ...SENSOR, gyro: { ...SENSOR.gyro, density: 1e-5 } }, 'hidden')], OPTIONS);
    const { density, densityAtMost } = axis(found, 'gyro', 'X');
    expect(density).toBeNull();
    expect(densityAtMost).toBeGreaterThan(1e-5);
    expect(found.block.find((line) => line.trim().startsWith('gyro:'))).toContain('# at most');
    expect(found.finding).toContain('the gyro’s noise cannot be told');
  });

  it('a sensor that was touched, or is dead, is named and kept', async () => {
    const text = stillText(madeStill(SENSOR, 'touched')).split('\n');
    const shaken = text.map((row, i) => (i > 1500 && i < 1560 ? row.replace(/,[^,]*$/, `,${i % 2 === 0 ? 9 : -9}`) : row));
    const found = await measureSensor([file('touched.csv', shaken.join('\n'))], OPTIONS);
    expect(found.warnings).toHaveLength(1);
    expect(found.warnings[0]).toMatch(
      /touched\.csv: gyroX is more than 3 times as restless at 15 s as usual: was it touched\? Nothing was left out\.$/,
    );
    const dead = text.map((row, i) => (i === 0 ? row : row.replace(/,[^,]*$/, ',0')));
    expect((await measureSensor([file('dead.csv', dead.join('\n'))], OPTIONS)).warnings[0]).toContain('gyroX never changes');
  });
});

describe('intervals hold as often as they say', () => {
  const RUNS = 300;
  const DENSITY = 0.002;

  it.each([
    ['fine steps', 0.001],
    ['steps of half the noise', 0.01],
  ])('density, level and step of white noise, %s', (_, step) => {
    const held = { density: 0, level: 0, step: 0 };
    for (let k = 0; k < RUNS; k++) {
      const normal = makeNormalNoise(`coverage/${step}/${k}`);
      const level = 0.3 + step * normal();
      const readings = Float64Array.from({ length: 2000 }, () => Math.round((level + DENSITY * 10 * normal()) / step) * step);
      const found = readStillAxis([readings], 0.01);
      if (found.density !== null && holds(found.density, DENSITY)) held.density++;
      if (holds(found.mean, level)) held.level++;
      if (found.step !== null && Math.abs(found.step.value - step) <= found.step.interval[1] - found.step.value + 1e-12) held.step++;
    }
    // 285 of 300, four standard errors of 3.8; the degrees of freedom are approximate
    expect(Math.abs(held.density - 285)).toBeLessThan(16);
    expect(Math.abs(held.level - 285)).toBeLessThan(16);
    expect(held.step).toBe(RUNS);
  });

  it('a filter in the sensor does not pass for little noise', () => {
    const normal = makeNormalNoise('filtered');
    let y = 0;
    // first order, eight readings long: white beyond some tenths of a second
    const readings = Float64Array.from({ length: 200_000 }, () => {
      y += (DENSITY * 10 * normal() - y) / 8;
      return y;
    });
    const { density } = readStillAxis([readings], 0.01);
    expect(Math.abs((density?.value ?? 0) / DENSITY - 1)).toBeLessThan(0.1);
  });

  it('a floor is seen where the level wanders, and only a bound where it does not', () => {
    const normal = makeNormalNoise('wander');
    let walk = 0;
    const wandering = Float64Array.from({ length: 100_000 }, () => {
      walk += 0.001 * normal();
      return walk + 0.02 * normal();
    });
    expect(readStillAxis([wandering], 0.01).wander.atMost).toBe(false);
    const steady = Float64Array.from({ length: 100_000 }, () => 0.02 * normal());
    expect(readStillAxis([steady], 0.01).wander.atMost).toBe(true);
  });
});

describe('several recordings', () => {
  it('show how levels change from one switching on to the next', async () => {
    const normal = makeNormalNoise('turn on');
    const files = Array.from({ length: 6 }, (_, k) =>
      made(
        {
          ...SENSOR,
          seconds: 5,
          gyro: { ...SENSOR.gyro, mean: [0.004 + 0.001 * normal(), -0.011 + 0.001 * normal(), 0.002 + 0.001 * normal()] },
        },
        `on-${k}`,
      ),
    );
    const found = await measureSensor(files, OPTIONS);
    const gyro = found.turnOn.find(({ sensor }) => sensor === 'gyro');
    expect(gyro?.freedom).toBe(15);
    expect(gyro !== undefined && holds(gyro.sd, 0.001)).toBe(true);
    const line = found.block.find((one) => one.trim().startsWith('gyro.biasY')) ?? '';
    const { study } = await read(plainText({ 37: line }));
    expect(study.inputs['gyro.biasY']).toMatchObject({ kind: 'student', freedom: 15 });
  });

  it('each axis up and down gives bias and scale', async () => {
    const scale = [1.002, 0.997, 1.0005];
    const bias = [0.05, -0.03, 0.01];
    const files = [0, 1, 2].flatMap((up) =>
      [1, -1].map((way) => {
        const mean = bias.map((b, i) => b + (i === up ? way * GRAVITY * scale[i] : 0)) as [number, number, number];
        return made({ ...SENSOR, seconds: 10, accelerometer: { ...SENSOR.accelerometer, mean } }, `side-${up}${way}`);
      }),
    );
    const found = await measureSensor(files, OPTIONS);
    expect(found.byGravity.map(({ axis: name }) => name)).toEqual(['X', 'Y', 'Z']);
    for (const [i, one] of found.byGravity.entries()) {
      // the level is known to 0.5 mm/s^2; five times that
      expect(Math.abs(one.bias.value - bias[i])).toBeLessThan(0.0025);
      expect(Math.abs(one.scale.value - (scale[i] - 1))).toBeLessThan(0.00025);
    }
    expect(found.block.some((line) => line.trim().startsWith('accelerometer.scaleY: { normal: { mean: -0.00'))).toBe(true);
  });
});

describe('what is wrong with a recording', () => {
  const problems = async (text: string, columns: string | null = null): Promise<readonly string[]> => {
    const path = file('bad.csv', text);
    try {
      await measureSensor([path], { columns, gravity: GRAVITY });
    } catch (error) {
      if (error instanceof UserError) return error.problems.map((line) => line.replaceAll(path, 'bad.csv'));
      throw error;
    }
    return [];
  };
  const rows = (n: number): string => Array.from({ length: n }, (_, i) => `${i},${i % 3}`).join('\n');

  it('no axis', async () => {
    expect(await problems(`t [ms],x\n${rows(300)}\n`)).toEqual([
      'bad.csv:1:1: read no axis of a sensor; expected at least one of accelX, accelY, accelZ, gyroX, gyroY, gyroZ. Name it in the head, or say which it is: --columns "gyroX=TITLE [dps]".',
    ]);
  });

  it('an axis without a unit, and one in another', async () => {
    expect(await problems(`t [ms],gx\n${rows(300)}\n`)).toEqual([
      'bad.csv:1:8: read the column "gx" without a unit; expected an angular rate in rad/s or a unit like it. Write it in the head, gx [rad/s], or give it: --columns "gyroX=gx [rad/s]".',
    ]);
    expect(await problems(`t [ms],gx [N]\n${rows(300)}\n`)).toEqual([
      'bad.csv:1:8: read the unit "N" for gyroX (that is a force); expected an angular rate in rad/s or a unit like it. Give the unit that the numbers are in.',
    ]);
  });

  it('too short', async () => {
    expect(await problems(`t [ms],gx [dps]\n${rows(30)}\n`)).toEqual(['bad.csv:2:1: read 30 rows; expected at least 200. Record longer.']);
  });
});
