import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { tableFromIPC } from 'apache-arrow';
import { describe, expect, test } from 'vitest';
import { tuningSchema } from '../../src/analysis/read/tuningSchema.ts';
import { alight, alightHere, demoFolder, interrupted } from '../helpers/commandLine.ts';

const folder = demoFolder();
const rows = (...path: string[]) => tableFromIPC(readFileSync(join(folder, ...path)));

describe('alight tune STUDY --control', () => {
  test('refuses what does not go with it, before it flies', async () => {
    for (const [words, message] of [
      [['--drops'], '--control: not with --drops'],
      [['--minimise', 'sink:0.9'], '--minimise: not with --control'],
      [['--bounds', 'kq=0..1'], '--bounds: read "kq"; expected one of kp, kd'],
      [['--bounds', 'kd=0..1kg'], '--bounds kd: read "1kg"; expected a number in s'],
      [['--flights', '100'], '--flights: read 100; tuning 5 gains takes at least'],
    ] as const) {
      const run = await alightHere(folder, 'tune', 'thistledown.yaml', '--control', ...words);
      expect(run.code).toBe(2);
      expect(run.err).toContain(message);
    }
  });

  test('writes an answer that the page shows, and a block for the study', async () => {
    const bounds = ['kp=0.5..0.5', 'ki=0.25..0.25', 'driftDamping=0.06..0.06', 'driftTilt=8deg..8deg'].flatMap((text) => [
      '--bounds',
      text,
    ]);
    const run = await alightHere(folder, 'tune', 'thistledown.yaml', '--control', ...bounds, '--flights', '3000');
    expect(run.code).toBe(0);
    expect(run.out).toMatch(/^(Keep|Change) the gains/);
    expect(run.out).toMatch(/^ {4}kd: \S+ s$/m);
    expect((await alightHere(folder, 'report', 'thistledown-control')).code).toBe(0);
    expect(readFileSync(join(folder, 'thistledown-control', 'report.html'), 'utf8')).toContain('Gains of the control');
  });
});

describe('alight tune --drops', { timeout: 120_000 }, () => {
  test('prints drops, fits and rules, and writes them', async () => {
    const ran = alight(folder, 'tune', 'thistledown.yaml', '--drops', '--steps', '5', '--set', 'computer.rate=100 Hz', '--out', 'drops');
    expect(ran.code).toBe(0);
    expect(ran.out).toMatch(/5 drops from 40\.1 to 54\.2 m/);
    expect(ran.out).toMatch(/It can land: every drop/);
    expect(ran.out).toMatch(/fixed-height: \{ kind: fixedHeight, height: 6\.\d+ m, lead: 0\.11 s, tiltGuard: 35 deg \}/);
    expect(ran.out).not.toMatch(/NaN|undefined|null/);
    expect(readdirSync(join(folder, 'drops')).sort()).toEqual(['drops.arrow', 'drops.json', 'run.json', 'study.yaml']);
    expect(rows('drops', 'drops.arrow').numRows).toBe(5);
  });

  test('its rules paste into the study and fly', async () => {
    const { rules } = JSON.parse(readFileSync(join(folder, 'drops', 'drops.json'), 'utf8'));
    expect(rules.map((rule: { name: string }) => rule.name)).toEqual(['fixed-height', 'apogee-line', 'speed-curve', 'predicted-stop']);
    const text = (await alightHere(folder, 'tune', 'thistledown.yaml', '--drops', '--steps', '5', '--out', 'drops', '--force')).out;
    const pasted = [...text.matchAll(/^ {4}([a-z-]+): (\{ kind.*\})$/gm)].flatMap(([, name, rule]) => ['--set', `rules.${name}=${rule}`]);
    expect(pasted).toHaveLength(8);
    const flown = await alightHere(
      folder,
      'fly',
      'thistledown.yaml',
      '--flights',
      '10',
      '--rule',
      'speed-curve',
      '--out',
      'pasted',
      ...pasted,
    );
    expect(flown.err).not.toMatch(/rules/);
    expect(flown.code).toBe(0);
  });

  test('says why a motor cannot land it', async () => {
    const ran = alight(
      folder,
      'tune',
      'thistledown.yaml',
      '--drops',
      '--steps',
      '3',
      '--out',
      'weak',
      '--set',
      'landing.impulseFactor=0.35',
    );
    expect(ran.code).toBe(0);
    expect(ran.out).toMatch(/It cannot land: the softest touchdown of all is [\d.]+ m\/s, the limit 3\.00 m\/s/);
    expect(ran.out).toMatch(/landing impulse 20\.7 N s; the fall brings 26\.4 N s/);
    expect(ran.out).not.toMatch(/For the study file/);
  });
});

describe('alight tune --rule', { timeout: 180_000 }, () => {
  test('prints constants, fresh flights and map, and writes them', async () => {
    // Lit two metres too high by the study's constants, so that there is something to mend.
    const args = ['--rule', 'apogee-line', '--flights', '5000', '--bounds', 'c0=-20 m..2000 cm', '--set', 'rules.apogee-line.c0=-1 m'];
    const ran = await alightHere(folder, 'tune', 'thistledown.yaml', ...args, '--out', 'line');
    expect(ran.code).toBe(0);
    expect(ran.out).toMatch(/On 500 fresh flights, that no constants were chosen on/);
    expect(ran.out).toMatch(/landings, best minus present: /);
    expect(ran.out).toMatch(/^ {2}c1( +\d+\.\d\d){7}$/m);
    expect(ran.out).toMatch(/apogee-line: \{ kind: apogeeLine, c0: -?[\d.]+ m, c1: [\d.]+, lead: 0\.11 s, tiltGuard: 35 deg \}/);
    expect(ran.out).not.toMatch(/NaN|undefined|null/);
    expect(ran.err).toMatch(/of 5,000 flights/);
    expect(readdirSync(join(folder, 'line')).sort()).toEqual(['run.json', 'study.yaml', 'tuning.arrow', 'tuning.json']);
    const table = rows('line', 'tuning.arrow');
    const tuning = JSON.parse(readFileSync(join(folder, 'line', 'tuning.json'), 'utf8'));
    expect(tuningSchema.parse(tuning)).toEqual(tuning);
    expect(table.numRows).toBe(tuning.map.points.length);
    expect([...(table.getChild('landed') ?? [])]).toEqual(tuning.map.points.map((point: { landed: number }) => point.landed));
    expect([...(table.getChild('verdict') ?? [])].filter((verdict) => verdict === 'best')).toHaveLength(1);
    expect(tuning.free[0]).toEqual({ key: 'c0', unit: 'm', low: -20, high: 20 });
  });

  test('Ctrl-C keeps the best so far and says that it is unfinished', async () => {
    const args = ['tune', 'thistledown.yaml', '--rule', 'fixed-height', '--flights', '6000', '--out', 'cut'];
    const ran = await interrupted(folder, /of 6,000 flights/, args);
    expect(ran.code).toBe(130);
    expect(ran.out).toMatch(/Unfinished: interrupted after [\d,]+ of 6,000 flights, \d whole rounds/);
    expect(ran.out).toMatch(/its success probability is not known/);
    expect(ran.out).toMatch(/fixed-height: \{ kind: fixedHeight/);
    expect(readdirSync(join(folder, 'cut')).sort()).toEqual(['flights.journal', 'run.json', 'study.yaml', 'tuning.json']);
  });

  test('refuses options that do not fit', async () => {
    for (const [args, message] of [
      [[], /give --rule NAME to tune a rule, --drops/],
      [['--rule', 'none'], /expected one of the study's rules/],
      [['--drops', '--flights', '5000'], /--flights: only without --drops/],
      [['--rule', 'fixed-height', '--steps', '5'], /--steps: only with --drops/],
      [['--rule', 'fixed-height', '--bounds', 'height'], /expected name=low\.\.high/],
      [['--rule', 'fixed-height', '--bounds', 'height=low..7'], /read "low"; expected a number in m/],
      [['--rule', 'fixed-height', '--minimise', 'tilt'], /expected sink:share/],
    ] as const) {
      const ran = await alightHere(folder, 'tune', 'thistledown.yaml', ...args);
      expect(ran.code).toBe(2);
      expect(ran.err).toMatch(message);
    }
  });
});
