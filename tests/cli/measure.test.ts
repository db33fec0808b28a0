/** `alight measure` as a user runs it. */
import { cpSync, existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, test } from 'vitest';
import { alight, alightHere, demoFolder } from '../helpers/commandLine.ts';

const folder = demoFolder();
for (const name of ['stitchwort-firings.csv', 'stitchwort-still.csv', 'stitchwort-bench.csv', 'stitchwort-drops.csv'])
  cpSync(resolve('studies', name), join(folder, name));

describe('alight measure', () => {
  test('motor: the sentence first, the block last, and a curve that a study flies', async () => {
    const run = alight(folder, 'measure', 'motor', 'stitchwort-firings.csv', '--out', 'firings');
    expect(run.code).toBe(0);
    expect(run.err).toBe('');
    expect(run.out).toMatch(/^5 firings gave 76\.\d N s in 4\.\d+ s on average, and nine times in ten/);
    expect(run.out).toMatch(/^ {2}landing\.impulseFactor: \{ student: \{ scale: [\d.]+ %, freedom: 4 } }$/m);
    expect((await alightHere(folder, 'check', 'thistledown.yaml', '--set', 'landing.curve=firings/curve.csv')).code).toBe(0);
  });

  test('what was kept stays, is replaced when asked, and has its page again', async () => {
    expect(await alightHere(folder, 'measure', 'motor', 'stitchwort-firings.csv', '--out', 'firings')).toMatchObject({ code: 2, out: '' });
    expect((await alightHere(folder, 'measure', 'motor', 'stitchwort-firings.csv', '--out', 'firings', '--force')).code).toBe(0);
    const page = readFileSync(join(folder, 'firings', 'report.html'), 'utf8');
    expect((await alightHere(folder, 'report', 'firings', '--force')).code).toBe(0);
    expect(readFileSync(join(folder, 'firings', 'report.html'), 'utf8')).toBe(page);
    const both = await alightHere(folder, 'report', 'firings', 'firings', '--out', 'both.html');
    expect(both.code).toBe(2);
    expect(both.err).toContain('firings: holds a measurement, which has a page of its own; name that folder alone');
    writeFileSync(join(folder, 'firings', 'measurement.json'), '{ "program": "alight 0.1.0", "kind": "motor" }');
    const damaged = await alightHere(folder, 'report', 'firings', '--force');
    expect(damaged.code).toBe(2);
    expect(damaged.err).toContain('measurement.json: damaged: ');
  });

  test('sensor: board axes named on the command line', async () => {
    const columns = 'accelX=az [g], accelY=ax [g], accelZ=ay [g], gyroX=gz [dps], gyroY=gx [dps], gyroZ=gy [dps]';
    const run = alight(folder, 'measure', 'sensor', 'stitchwort-still.csv', '--columns', columns, '--json');
    expect(run.code).toBe(0);
    const found = JSON.parse(run.out);
    expect(found.axes[0].means[0].value).toBeCloseTo(9.828, 2);
    expect(found.clock).toMatchObject({ gaps: 2, missing: 3 });
    const text = (await alightHere(folder, 'measure', 'sensor', 'stitchwort-still.csv', '--columns', columns)).out;
    expect(text).toMatch(/^The accelerometer’s noise is 0\.001\d+ m\/s\^2\/Hz\^0\.5 and the gyro’s noise is /);
    expect(text).toContain('gyro: Allan deviation');
  });

  test('values: what lies far out is warned of', async () => {
    const run = alight(folder, 'measure', 'values', 'stitchwort-bench.csv', '--column', 'delay_ms', '--for', 'landing.ignitionDelay');
    expect(run.code).toBe(0);
    expect(run.err).toBe(
      'warning: stitchwort-bench.csv:11:1: 0.167 s lies far from the others; it was kept. Look whether it was a slip.\n',
    );
    expect(run.out).toMatch(/^12 values of landing\.ignitionDelay go with a bell curve of the logarithm/);
  });

  test('legs: drops and what they say of the damping', async () => {
    const run = alight(folder, 'measure', 'legs', 'stitchwort-drops.csv', '--mass', '1.28kg', '--stiffness', '600N/m');
    expect(run.code).toBe(0);
    // made from 9 N s/m
    expect(run.out).toMatch(/^Each leg’s damping is (8\.[5-9]|9|9\.[0-5])\d* N s\/m, 0\.3\d+ of critical; the legs throw the vehicle back/);
    const wrong = await alightHere(folder, 'measure', 'legs', 'stitchwort-drops.csv', '--mass', '1.28m', '--stiffness', '600N/m');
    expect(wrong.code).toBe(2);
    expect(wrong.err).toBe('--mass: read "1.28m" (that is a length); expected a value above 0 in kg. Write, for example, 1.2kg.\n');
  });

  test('what is wrong is said in one clear line each, exit 2, and nothing is written', async () => {
    writeFileSync(join(folder, 'empty.csv'), '');
    writeFileSync(join(folder, 'text.csv'), 't [ms];load [gf]\n0;1,5\n1;abc\n');
    for (const [words, message] of [
      [
        ['motor', 'empty.csv'],
        'empty.csv:1:1: read an empty file; expected a head line that names the columns and rows below it. Record again.\n',
      ],
      [['motor', 'text.csv'], 'text.csv:3:3: read "abc"; expected a number for thrust. Mend the cell, or leave the row out.\n'],
      [['sensor', 'nowhere.csv'], 'nowhere.csv: no such file; expected a text file. Check the name.\n'],
      [['motor', 'stitchwort-firings.csv', '--columns', 'thrust=load [kg]'], '--columns: read the unit "kg" for thrust (that is a mass);'],
      [['motor', 'stitchwort-firings.csv', '--for', 'booster'], 'expected ascent or landing.'],
      [['sensor', 'stitchwort-still.csv', '--gravity', '98'], 'expected gravity somewhere on the ground'],
    ] as const) {
      const run = await alightHere(folder, 'measure', ...words, '--out', 'nothing');
      expect(run.code).toBe(2);
      expect(run.out).toBe('');
      expect(run.err).toContain(message);
      expect(existsSync(join(folder, 'nothing'))).toBe(false);
    }
  });

  test('each kind has help with an example', async () => {
    for (const kind of ['motor', 'sensor', 'values', 'legs']) {
      expect((await alightHere(folder, 'measure', kind, '--help')).out).toContain(`alight measure ${kind} `);
    }
  });
});
