import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { tableFromIPC } from '@uwdata/flechette';
import { describe, expect, test } from 'vitest';
import { OUTPUTS } from '../../src/flight/outputs.ts';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import { alight, alightHere, demoFolder, interrupted } from '../helpers/commandLine.ts';

const folder = demoFolder();
const hash = (name: string) =>
  createHash('sha256')
    .update(readFileSync(join(folder, name)))
    .digest('hex');

describe('alight fly', async () => {
  const ran = alight(folder, 'fly', 'thistledown.yaml', '--flights', '300', '--threads', '2', '--out', 'two');

  test('answers on the terminal: probability with both intervals, causes, touchdown, scatter, speed, cautions', () => {
    expect(ran.code).toBe(0);
    for (const words of [
      /Landing success\s+\d+ %\s+95 % interval \d+ to \d+ %/,
      /300 flights flown, 0 without a result/,
      /Clopper and Pearson's.*Wilson's/,
      /Causes of failure/,
      /lit too high/,
      /sink speed, m\/s/,
      /limit 3\.00/,
      /Landing scatter/,
      /flights\/s/,
      /neither permission nor proof/,
      /range safety officer/,
    ]) {
      expect(ran.out).toMatch(words);
    }
  });

  test('writes the flights, the answers, the resolved study and the machine’s facts', () => {
    expect(readdirSync(join(folder, 'two')).sort()).toEqual(['flights.arrow', 'run.json', 'study.yaml', 'summary.json']);
    const table = tableFromIPC(readFileSync(join(folder, 'two', 'flights.arrow')));
    expect(table.numRows).toBe(300);
    expect(table.numCols).toBe(2 + CATALOGUE.length + OUTPUTS.length);
    const summary = JSON.parse(readFileSync(join(folder, 'two', 'summary.json'), 'utf8'));
    expect(summary.odds.flights).toBe(300);
    const landed = [...(table.getChild('outcome') ?? [])].filter((o) => o === 'landed').length;
    expect(summary.odds.landed).toBe(landed);
  });

  test('gives the same bytes with another number of threads and other chunks', async () => {
    expect(
      (await alightHere(folder, 'fly', 'thistledown.yaml', '--flights', '300', '--threads', '1', '--chunk', '7', '--out', 'one')).code,
    ).toBe(0);
    for (const name of ['flights.arrow', 'summary.json', 'study.yaml']) expect(hash(`one/${name}`)).toBe(hash(`two/${name}`));
  });

  test('flies the resolved study again to the same flights', async () => {
    expect((await alightHere(folder, 'fly', 'two/study.yaml', '--out', 'again')).code).toBe(0);
    const rows = (name: string) => [...(tableFromIPC(readFileSync(join(folder, name, 'flights.arrow'))).getChild('sink') ?? [])];
    expect(rows('again')).toEqual(rows('two'));
  });

  test('--json gives the same answers, and another seed others', async () => {
    const json = JSON.parse((await alightHere(folder, 'fly', 'thistledown.yaml', '--flights', '300', '--out', 'json', '--json')).out);
    const summary = JSON.parse(readFileSync(join(folder, 'two', 'summary.json'), 'utf8'));
    expect(json.odds).toEqual(summary.odds);
    expect(json.touchdown).toEqual(summary.touchdown);
    const other = JSON.parse(
      (await alightHere(folder, 'fly', 'thistledown.yaml', '--flights', '300', '--seed', '0', '--out', 'seed', '--json')).out,
    );
    expect(other.seed).toBe('0');
    expect(other.touchdown).not.toEqual(summary.touchdown);
  });

  test('refuses a folder that holds results, unless forced', async () => {
    const before = hash('two/flights.arrow');
    const refused = await alightHere(folder, 'fly', 'thistledown.yaml', '--flights', '5', '--out', 'two');
    expect(refused.code).toBe(2);
    expect(refused.err).toMatch(/two: holds results already .*--force/);
    expect(hash('two/flights.arrow')).toBe(before);
    expect((await alightHere(folder, 'fly', 'thistledown.yaml', '--flights', '5', '--out', 'two', '--force')).code).toBe(0);
    expect(hash('two/flights.arrow')).not.toBe(before);
  });

  test('records what was replaced, and flies it', async () => {
    const set = ['--set', 'ascent.impulseFactor=1.021', '--set', 'wind.speed=3 m/s'];
    expect((await alightHere(folder, 'fly', 'thistledown.yaml', '--flights', '20', '--out', 'set', ...set)).code).toBe(0);
    const table = tableFromIPC(readFileSync(join(folder, 'set', 'flights.arrow')));
    expect(JSON.parse(table.schema.metadata?.get('alight.overrides') ?? '')).toContain('ascent.impulseFactor=1.021');
    expect([...(table.getChild('ascent.impulseFactor') ?? [])]).toEqual(new Array(20).fill(1.021));
    expect([...(table.getChild('wind.speed') ?? [])]).toEqual(new Array(20).fill(3));
  });

  test('flies until the interval is narrow enough, at the same flight whatever the threads', async () => {
    const flown = async (threads: string) => {
      const args = ['fly', 'thistledown.yaml', '--flights', '6000', '--half-width', '3%', '--threads', threads, '--json'];
      return JSON.parse((await alightHere(folder, ...args, '--out', `narrow-${threads}`)).out);
    };
    const [one, two] = [await flown('1'), await flown('2')];
    expect(one.stoppedBy).toBe('enough');
    expect(one.odds.flights).toBe(2000);
    expect((one.odds.interval[1] - one.odds.interval[0]) / 2).toBeLessThanOrEqual(0.03);
    expect(two.odds).toEqual(one.odds);
  });

  test('Ctrl-C ends cleanly and keeps what is flown', async () => {
    const ran = await interrupted(folder, /\d+ of .* flights/, ['fly', 'thistledown.yaml', '--flights', '20000', '--out', 'cut']);
    expect(ran.code).toBe(130);
    expect(ran.out).toMatch(/Interrupted: flights 1 to \d+ are kept/);
    const table = tableFromIPC(readFileSync(join(folder, 'cut', 'flights.arrow')));
    expect(table.numRows).toBeGreaterThan(0);
    expect(table.numRows).toBeLessThan(20000);
    const whole = tableFromIPC(readFileSync(join(folder, 'two', 'flights.arrow')));
    const first = Math.min(table.numRows, whole.numRows);
    const sink = (t: typeof table) => [...(t.getChild('sink') ?? [])].slice(0, first);
    expect(sink(table)).toEqual(sink(whole));
    const summary = JSON.parse(readFileSync(join(folder, 'cut', 'summary.json'), 'utf8'));
    expect(summary.stoppedBy).toBe('interrupted');
    expect(summary.odds.flights).toBe(table.numRows);
  });
});

describe('bad input ends with one clear line each and exit code 2, and writes nothing', () => {
  const study = readFileSync(join(folder, 'thistledown.yaml'), 'utf8');
  const cases: [name: string, edit: (text: string) => string | Uint8Array, words: RegExp][] = [
    ['an unknown key', (t) => t.replace('seed: 1', 'sede: 1'), /^s\.yaml:\d+:1 sede: unknown key.*Did you mean "seed"\?$/m],
    ['a wrong unit', (t) => t.replace('rate: 50 Hz', 'rate: 50 kg'), /^s\.yaml:\d+:\d+ computer\.rate: read "50 kg" \(that is a mass\)/m],
    ['a negative mass', (t) => t.replace('mass: 930 g', 'mass: -930 g'), /vehicle\.airframe\.mass: read "-930 g"/],
    ['not a number', (t) => t.replace('mass: 930 g', 'mass: .nan'), /vehicle\.airframe\.mass: read/],
    ['infinity', (t) => t.replace('mass: 930 g', 'mass: .inf'), /vehicle\.airframe\.mass: read/],
    ['a missing curve', (t) => t.replace('thistledown-landing.csv', 'nowhere.csv'), /landing\.curve: .*nowhere\.csv/],
    ['a path out of the folder', (t) => t.replace('thistledown-landing.csv', '../x.csv'), /landing\.curve: /],
    ['a chance beyond 1', (t) => t.replace('chance: 0.5 %', 'chance: 150 %'), /inputs\.ascent\.casingStuck/],
    ['text that is not YAML', () => 'title: [', /^s\.yaml:\d+:\d+/m],
    ['an empty file', () => '', /^s\.yaml/m],
    ['a binary file', () => Uint8Array.from([0, 1, 2, 0, 255]), /s\.yaml: .*binary/],
    [
      'a document that unfolds without end',
      () =>
        `a: &a [x,x,x,x,x,x,x,x,x]\n${'bcdefghij'.split('').reduce((t, k, i) => `${t}${k}: &${k} [${`*${'abcdefghij'[i]},`.repeat(9)}]\n`, '')}`,
      /^s\.yaml/m,
    ],
  ];
  test.each(cases)('%s', async (_, edit, words) => {
    writeFileSync(join(folder, 's.yaml'), edit(study));
    const ran = await alightHere(folder, 'fly', 's.yaml', '--flights', '5', '--out', 'never');
    expect(ran.code).toBe(2);
    expect(ran.err).toMatch(words);
    expect(ran.err).not.toMatch(/ at .*\.js:\d+/);
    expect(existsSync(join(folder, 'never'))).toBe(false);
  });

  test('three mistakes come all at once', async () => {
    writeFileSync(join(folder, 's.yaml'), study.replace('seed: 1', 'sede: 1').replace('930 g', '-930 g').replace('50 Hz', '50 kg'));
    const ran = await alightHere(folder, 'check', 's.yaml');
    expect(ran.code).toBe(2);
    expect(ran.err.trim().split('\n').length).toBe(3);
  });

  test.each([
    ['a missing file', ['fly', 'nope.yaml'], /nope\.yaml: no such file/],
    ['a folder for a file', ['check', '.'], /\.: that is a folder/],
    ['an unknown command', ['fli', 'thistledown.yaml'], /unknown command 'fli'[\s\S]*Did you mean fly/],
    ['an unknown option', ['fly', 'thistledown.yaml', '--flihgts', '3'], /unknown option '--flihgts'[\s\S]*Did you mean --flights/],
    ['no flights', ['fly', 'thistledown.yaml', '--flights', '0'], /whole number of at least 1/],
    ['an unknown rule', ['fly', 'thistledown.yaml', '--rule', 'x', '--out', 'never'], /--rule: read "x"; expected .*fixed-height/],
    [
      'an unknown replacement',
      ['fly', 'thistledown.yaml', '--set', 'wind.sped=3', '--out', 'never'],
      /wind\.sped.*Did you mean "wind\.speed"/,
    ],
    [
      'a wrong unit in a replacement',
      ['check', 'thistledown.yaml', '--set', 'wind.speed=3 kg'],
      /--set wind\.speed=3 kg: .*that is a mass/,
    ],
    ['a flight beyond the study', ['trace', 'thistledown.yaml', '10001'], /flight 10001: the study has flights 1 to 10000/],
    ['flight nought', ['trace', 'thistledown.yaml', '0'], /flight number from 1/],
    [
      'a results folder under nothing',
      ['fly', 'thistledown.yaml', '--flights', '3', '--out', 'no/where'],
      /the folder it should be made in does not exist/,
    ],
  ])('%s', async (_, args, words) => {
    const ran = await alightHere(folder, ...args);
    expect(ran.code).toBe(2);
    expect(ran.err).toMatch(words);
    expect(existsSync(join(folder, 'never'))).toBe(false);
  });

  test('a file where the results folder should be', async () => {
    writeFileSync(join(folder, 'taken'), 'mine');
    const ran = await alightHere(folder, 'fly', 'thistledown.yaml', '--flights', '3', '--out', 'taken');
    expect(ran.code).toBe(2);
    expect(ran.err).toMatch(/taken: is a file/);
    expect(readFileSync(join(folder, 'taken'), 'utf8')).toBe('mine');
  });

  test('a folder with other files in it is left with them', async () => {
    mkdirSync(join(folder, 'shared'));
    writeFileSync(join(folder, 'shared', 'notes.txt'), 'mine');
    expect((await alightHere(folder, 'fly', 'thistledown.yaml', '--flights', '3', '--out', 'shared')).code).toBe(0);
    expect(readFileSync(join(folder, 'shared', 'notes.txt'), 'utf8')).toBe('mine');
  });
});

describe('constants that look stale', () => {
  const replay = ['fly', 'thistledown.yaml', '--flights', '500', '--set', 'phases.replay=on'];

  test('are noticed, with their interval and what to do', async () => {
    const ran = await alightHere(folder, ...replay, '--out', 'stale');
    expect(ran.code).toBe(0);
    expect(ran.out).toMatch(
      /constants of rule fixed-height look stale by about -\d\.\d+ \(-\d\.\d+ to -\d\.\d+\) m: it lights too low, .*; fly with --retune/,
    );
  });

  test('--retune shifts the height, says by how much and how sure, and what is written flies the same again', async () => {
    const ran = await alightHere(folder, ...replay, '--retune', '--out', 'retuned');
    expect(ran.code).toBe(0);
    expect(ran.out).toMatch(
      /fixed-height lights \d\.\d\d m higher than programmed: height 7\.00 to \d+\.\d\d m; 95 % interval of the best shift/,
    );
    expect(ran.out).toMatch(/are not shown to be worse; found by soft touchdowns of \d+ flights on other luck and 41 nominal ones/);
    expect(ran.out).not.toContain('look stale');
    expect((await alightHere(folder, 'fly', 'retuned/study.yaml', '--out', 'retuned-again')).code).toBe(0);
    const landed = (name: string) => JSON.parse(readFileSync(join(folder, name, 'summary.json'), 'utf8')).odds.landed;
    expect(landed('retuned-again')).toBe(landed('retuned'));
    for (const [name, words] of [
      ['retuned', /Fixed-height lights \d\.\d\d m higher than programmed/],
      ['stale', /Constants of rule fixed-height look stale by about -.*; fly with --retune\./],
    ] as const) {
      expect((await alightHere(folder, 'report', name)).code).toBe(0);
      expect(readFileSync(join(folder, name, 'report.html'), 'utf8')).toMatch(words);
    }
  });

  test('--retune of too few flights is refused before anything is made', async () => {
    const ran = await alightHere(folder, 'fly', 'thistledown.yaml', '--flights', '100', '--retune', '--out', 'few');
    expect([ran.code, ran.out]).toEqual([2, '']);
    expect(ran.err).toContain('--flights: read 100; retuning needs at least 500');
    expect(existsSync(join(folder, 'few'))).toBe(false);
  });
});
