import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { OUTCOMES, OUTPUTS } from '../../src/flight/outputs.ts';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import { alight, alightHere, demoFolder } from '../helpers/commandLine.ts';

const folder = demoFolder();

describe('the small commands', () => {
  test('new writes a study that checks and flies', async () => {
    expect(alight(folder, 'new', 'first').code).toBe(0);
    expect(alight(folder, 'check', 'first.yaml').code).toBe(0);
    expect((await alightHere(folder, 'fly', 'first.yaml', '--flights', '20')).code).toBe(0);
    expect(readFileSync(join(folder, 'first.yaml'), 'utf8')).toMatch(/^# yaml-language-server: \$schema=\.\/study\.schema\.json/);
    const again = await alightHere(folder, 'new', 'first');
    expect(again.code).toBe(2);
    expect(again.err).toMatch(/first\.yaml: exists already/);
    expect((await alightHere(folder, 'new', 'second')).code).toBe(0);
  });

  test('inputs and outputs list the two tables whole', async () => {
    expect(JSON.parse(alight(folder, 'inputs', '--json').out).map((r: { key: string }) => r.key)).toEqual(CATALOGUE.map((r) => r.key));
    expect(JSON.parse(alight(folder, 'outputs', '--json').out).map((r: { key: string }) => r.key)).toEqual(OUTPUTS.map((r) => r.key));
    const text = (await alightHere(folder, 'inputs')).out;
    for (const { key } of CATALOGUE) expect(text).toContain(key);
    expect(CATALOGUE.length).toBeGreaterThanOrEqual(45);
  });

  test('outcomes explains every one, in their order', async () => {
    const rows = JSON.parse(alight(folder, 'outcomes', '--json').out);
    expect(rows.map(({ outcome }: { outcome: string }) => outcome)).toEqual(OUTCOMES);
    for (const { outcome, meaning, lookAt } of rows) {
      expect(meaning.length).toBeGreaterThan(20);
      expect([outcome, lookAt.length > 20]).toEqual([outcome, outcome !== 'landed']);
    }
    const text = (await alightHere(folder, 'outcomes')).out;
    expect(text).toMatch(/tipped over\n.*\n.*\n {2}where touchdown is simulated: it fell over on its legs.*\n {4}look at the friction/);
    expect(text).toMatch(/lit too low\n {2}it touched down too hard.*\n {2}look at the rule’s height/);
  });

  test('check says what varies and warns with numbers', async () => {
    const ran = await alightHere(folder, 'check', 'thistledown.yaml', '--set', 'ascent.impulseFactor=0.7');
    expect(ran.out).toMatch(/sound\. Thistledown.*inputs vary, rules fixed-height, apogee-line, speed-curve, predicted-stop/);
    expect(ran.out).toMatch(/ascent thrust is at most 1\.8\d? times the weight/);
    const json = JSON.parse((await alightHere(folder, 'check', 'thistledown.yaml', '--json')).out);
    expect(json.varying).toBeGreaterThanOrEqual(45);
  });

  test('check reads the legs where touchdown is simulated, and only there', async () => {
    const ran = await alightHere(folder, 'check', 'thistledown.yaml', '--variant', 'springs');
    expect(ran.code).toBe(0);
    expect(ran.out).toMatch(/The legs.* stand an upright touchdown of 3\.53 m\/s; beyond it a leg breaks first\./);
    const { legs } = JSON.parse((await alightHere(folder, 'check', 'thistledown.yaml', '--variant', 'springs', '--json')).out);
    expect(legs).toMatchObject({ breaksFirst: 'strength', strength: 60 });
    expect((await alightHere(folder, 'check', 'thistledown.yaml')).out).not.toContain('The legs');
    expect(JSON.parse((await alightHere(folder, 'check', 'thistledown.yaml', '--json')).out).legs).toBeUndefined();
    const weak = await alightHere(folder, 'check', 'thistledown.yaml', '--variant', 'springs', '--set', 'vehicle.legs.strength=1 N');
    // The variant's own value goes in after the settings.
    expect(weak.code).toBe(0);
  });

  test('every command has a help with an example and a sentence for each option', async () => {
    const commands = [...alight(folder, '--help').out.matchAll(/^ {2}([a-z]+) /gm)].map((m) => m[1]).filter((c) => c !== 'help');
    expect(commands.length).toBeGreaterThanOrEqual(6);
    for (const command of commands) {
      const { code, out } = await alightHere(folder, command, '--help');
      expect(code).toBe(0);
      expect(out).toMatch(/Examples?:\n {2}alight /);
      for (const [, option, words] of out.matchAll(/^ {2}(-[^\n]*?) {2,}(\S[^\n]*)$/gm))
        expect([option, words.length > 8]).toEqual([option, true]);
    }
  });

  test.each([
    [
      'join part-1',
      ['alight join: --out <folder> is missing: folder for the results. Example: alight join part-1 part-2 --out thistledown-results'],
    ],
    [
      'learn',
      [
        'alight learn: <study> is missing: study file (YAML).',
        'alight learn: <logbook> is missing: logbook file (YAML). Example: alight learn studies/thistledown.yaml studies/thistledown-logbook.yaml',
      ],
    ],
    ['logbook check a', ['alight logbook check: <logbook> is missing: logbook file (YAML). Example: alight logbook check studies/']],
    ['fly a --flights', ['--flights: has no value; expected --flights <number>: flights to fly', '--flights 2000']],
  ])('what a command lacks is said all at once, with an example: alight %s', async (words, said) => {
    const { code, err } = await alightHere(folder, ...words.split(' '));
    expect(code).toBe(2);
    for (const line of said) expect(err).toContain(line);
    expect(err.trimEnd().split('\n')).toHaveLength(words.startsWith('fly') ? 1 : said.length);
  });

  test('the version is the package’s', async () => {
    const { version } = JSON.parse(readFileSync('package.json', 'utf8'));
    expect(alight(folder, '--version').out.trim()).toBe(version);
  });
});
