/** The pictures and the page of measurements, from what is measured of made-up recordings. */
import { describe, expect, test } from 'vitest';
import { measureLegs } from '../../../src/analysis/measure/measureLegs.ts';
import { measureMotor } from '../../../src/analysis/measure/measureMotor.ts';
import type { Measurement } from '../../../src/analysis/measure/measurement.ts';
import { measureSensor } from '../../../src/analysis/measure/measureSensor.ts';
import { measureValues } from '../../../src/analysis/measure/measureValues.ts';
import { measurementSchema } from '../../../src/analysis/read/measurementSchema.ts';
import { measurementPage } from '../../../src/report/measurementPage.ts';
import { measuredFigures } from '../../../src/report/pictures/measured.ts';
import { drawing } from './madeUp.ts';
import { expectKept } from './readable.ts';

const study = (name: string): string => `studies/${name}`;
const COLUMNS = 'accelX=az [g], accelY=ax [g], accelZ=ay [g], gyroX=gz [dps], gyroY=gx [dps], gyroZ=gy [dps]';

const motor = await measureMotor([study('stitchwort-firings.csv')], { columns: null, motor: 'landing', commandAt: null });
const sensor = await measureSensor([study('stitchwort-still.csv')], { columns: COLUMNS, gravity: 9.80665 });
const values = await measureValues(study('stitchwort-bench.csv'), {
  column: 'delay_ms',
  unit: null,
  input: 'landing.ignitionDelay',
  relative: false,
});
const legs = await measureLegs(study('stitchwort-drops.csv'), { columns: null, mass: 1.28, legs: 4, stiffness: 600 });
const all: readonly Measurement[] = [motor, sensor, values, legs];

describe('pictures, as when last looked at', () => {
  test('thrust', () => expectKept('measured-thrust', measuredFigures(drawing, motor)[0]));
  test('deviations', () => expectKept('measured-gyro', measuredFigures(drawing, sensor)[1]));
  test('rebound', () => expectKept('measured-rebound', measuredFigures(drawing, legs)[0]));
  test('values', () => expectKept('measured-values', measuredFigures(drawing, values)[0]));
});

describe('findings are true whatever the numbers', () => {
  test('one firing has no mean', () => {
    const [figure] = measuredFigures(drawing, { ...motor, firings: motor.firings.slice(0, 1), traces: motor.traces.slice(0, 1) });
    expect(figure.title).toMatch(/^One firing of /);
    expect(figure.caption).not.toContain('mean');
  });

  test('a sensor whose noise cannot be told, and one that never moves', () => {
    const untold = { ...sensor, axes: sensor.axes.map((axis) => ({ ...axis, density: null })) };
    expect(measuredFigures(drawing, untold)[0].title).toBe('The accelerometer’s noise cannot be told from this');
    const dead = { ...sensor, axes: sensor.axes.map((axis) => ({ ...axis, curve: axis.curve.map((p) => ({ ...p, deviation: 0 })) })) };
    expect(measuredFigures(drawing, dead)).toEqual([]);
  });

  test('values that fit nothing are not said to be fewer than what is drawn', () => {
    const [figure] = measuredFigures(drawing, { ...values, chosen: 'sample' });
    expect(figure.caption).toContain('the values themselves');
  });
});

describe('a page and its numbers', () => {
  test.each(all.map((m) => [m.kind, m] as const))('of a %s', async (_, m) => {
    const page = await measurementPage(m);
    expect(page).toContain(m.finding.replaceAll('’', '’'));
    expect(page).not.toMatch(/NaN|undefined|Infinity|<script/);
    for (const line of m.block) expect(page).toContain(line.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;'));
    expect(measurementSchema.parse(JSON.parse(JSON.stringify(m)))).toEqual(JSON.parse(JSON.stringify(m)));
  });
});
