import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { alight, alightHere, demoFolder } from '../helpers/commandLine.ts';

const folder = demoFolder();
const SWEEP = ['sweep', 'thistledown.yaml', '--as-programmed', '--flights', '60'];

describe('alight sweep', () => {
  test('opens with what is best and what cannot be told from it, then bands, endings and how found', async () => {
    const ran = alight(folder, ...SWEEP, '--over', 'rules.fixed-height.height=3..11m', '--steps', '3', '--out', 'heights');
    expect(ran.code).toBe(0);
    for (const words of [
      /rules\.fixed-height\.height, 3 points by rule fixed-height, seed 1\n\nBest of 3: /,
      /60 flights each on the same luck/,
      /bands hold for all 3 together \(98\.33 % each\)/,
      /How they ended, share of all flights/,
      /Flown as programmed/,
      /look stale by about -/,
      /neither permission nor proof/,
    ]) {
      expect(ran.out).toMatch(words);
    }
    expect(readdirSync(join(folder, 'heights')).sort()).toEqual(['run.json', 'study.yaml', 'sweep.arrow', 'sweep.json']);
  });

  test('says what becomes of an input’s spread, and shows motors beside their impulse', async () => {
    const kept = await alightHere(folder, ...SWEEP, '--over', 'airframe.mass=0.9,1kg', '--out', 'kept');
    expect(kept.out).toContain('airframe.mass varies about each value as it does in the study; --hold holds it there');
    const held = await alightHere(folder, ...SWEEP, '--over', 'airframe.mass=0.9,1kg', '--hold', '--out', 'held');
    expect(held.out).toContain('airframe.mass is held at each value, without its spread');
    const motors = await alightHere(
      folder,
      ...SWEEP,
      '--over',
      'landing.curve=thistledown-landing.csv,thistledown-ascent.csv',
      '--out',
      'motors',
    );
    expect(motors.out).toMatch(/Motors and the fall they meet[\s\S]*thistledown-landing\.csv +50\.1 +59\.2 +\d+ \(\d+ to \d+\)/);
  });

  test('--json holds everything', async () => {
    const ran = await alightHere(folder, ...SWEEP, '--over', 'wind.speed=1,3 m/s', '--out', 'json', '--json');
    const { run, folder: where, ...sweep } = JSON.parse(ran.out);
    expect(sweep).toEqual(JSON.parse(readFileSync(join(folder, 'json', 'sweep.json'), 'utf8')));
    expect([run.threads > 0, where]).toEqual([true, 'json']);
  });

  test.each([
    [[], '--over <path=values> is missing: a number of the study'],
    [['--over', 'wind.speed'], '--over wind.speed: read no path and values'],
    [
      ['--over', 'wind.sped=1,2'],
      '--over wind.sped=1: unknown path; expected an input or a place of the study. Did you mean "wind.speed"?',
    ],
  ])('refuses %j in one line', async (args, message) => {
    const ran = await alightHere(folder, ...SWEEP, ...args, '--out', 'refused');
    expect([ran.code, ran.out]).toEqual([2, '']);
    expect(ran.err).toContain(message);
    expect(readdirSync(folder)).not.toContain('refused');
  });
});
