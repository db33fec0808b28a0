/** `alight check --fly` and the head of `alight fly`: what is wrong with the nominal flight, said once. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { alight, alightHere, demoFolder } from '../helpers/commandLine.ts';

const folder = demoFolder();
const SMALL = ['--set', 'landing.curve=[[0, 0], [0.05, 30], [0.15, 44], [0.5, 37.7], [0.6, 0]]'];

describe('alight check --fly', () => {
  test('a vehicle that lands: says so, with what it has little room for, and that it is one flight', async () => {
    const ran = alight(folder, 'check', '--fly', 'thistledown.yaml');
    expect(ran.code).toBe(0);
    expect(ran.out).toMatch(/sound\. .*no warnings/);
    expect(ran.out).toMatch(/The nominal flight lands by rule fixed-height: sink \d\.\d+ m\/s/);
    expect(ran.out).not.toMatch(/What is wrong/);
    expect(ran.out).toMatch(/What it has little room for:\n {2}1\. /);
    expect(ran.out).toMatch(/says nothing of how often/);
  });

  test('a landing motor too small: needed against had, once, in place of the warning that foretold it', async () => {
    const foretold = alight(folder, 'check', 'thistledown.yaml', '--set', 'landing.impulseFactor=0.3');
    expect(foretold.out).toMatch(/it cannot land/);
    const ran = await alightHere(folder, 'check', '--fly', 'thistledown.yaml', '--set', 'landing.impulseFactor=0.3');
    expect(ran.code).toBe(0);
    expect(ran.out).toMatch(/no warnings/);
    expect(ran.out).toMatch(/1\. The landing motor cannot stop the fall.*17\.\d N s|thrust is at most/);
    expect(ran.out).not.toMatch(/it cannot land/);
  });

  test('in JSON the numbers, null for what did not happen', async () => {
    const { nominal } = JSON.parse((await alightHere(folder, 'check', '--fly', 'thistledown.yaml', ...SMALL, '--json')).out);
    expect(nominal).toMatchObject({ outcome: 'lit too high', rule: 'fixed-height', landingJudged: true });
    const found = nominal.findings.find(({ key }: { key: string }) => key === 'cannotStop');
    expect(found.needed).toBeGreaterThan(found.impulse);
    expect(JSON.parse((await alightHere(folder, 'check', 'thistledown.yaml', '--json')).out).nominal).toBeUndefined();
  });

  test('flies the rule that is named, and asks for --fly with it', async () => {
    expect((await alightHere(folder, 'check', '--fly', 'thistledown.yaml', '--rule', 'apogee-line')).out).toMatch(/by rule apogee-line/);
    const alone = await alightHere(folder, 'check', 'thistledown.yaml', '--rule', 'apogee-line');
    expect([alone.code, alone.err]).toEqual([2, '--rule: it names the rule that --fly flies; add --fly\n']);
    const unknown = await alightHere(folder, 'check', '--fly', 'thistledown.yaml', '--rule', 'apogee');
    expect(unknown.code).toBe(2);
    expect(unknown.err).toMatch(/--rule: read "apogee"; expected one of/);
  });
});

describe('alight check', () => {
  test('says how well so many flights will tell the odds, and how many more a narrower interval takes', async () => {
    const few = await alightHere(folder, 'check', 'thistledown.yaml', '--set', 'flights=500');
    expect(few.out).toMatch(/^500 flights will tell the landing odds to ± 4\.\d %.*; ± 3\.0 % takes 1,\d{3}, ± 1\.0 % takes 9,\d{3}, /m);
    const { precision } = JSON.parse((await alightHere(folder, 'check', 'thistledown.yaml', '--set', 'flights=500', '--json')).out);
    expect(precision.wishes.map(({ halfWidth }: { halfWidth: number }) => halfWidth)).toEqual([0.03, 0.01, 0.005]);
    const even = await alightHere(folder, 'check', 'thistledown.yaml', '--set', 'design=sobol');
    expect(even.out).toMatch(/takes them as independent/);
  });
});

describe('the head of alight fly', () => {
  const fly = (...more: readonly string[]) =>
    alightHere(folder, 'fly', 'thistledown.yaml', '--flights', '4', '--threads', '1', '--force', ...more);

  test('is silent where the nominal flight lands', async () => {
    expect((await fly()).err).not.toMatch(/warning/);
  });

  test('says what is wrong first, and where to read on', async () => {
    const ran = await fly('--set', 'phases.replay=on', '--set', 'computer.rate=100 Hz');
    expect(ran.code).toBe(0);
    expect(ran.err).toMatch(/warning: the nominal flight does not land by rule fixed-height: lit too low/);
    expect(ran.err).toMatch(/Rule fixed-height lights 3\.\d+ m too low.*`alight check --fly thistledown\.yaml`/);
    expect(existsSync(join(folder, 'thistledown-results', 'summary.json'))).toBe(true);
  });
});
