/** The command as a user runs it: the built program on a few flights of the demo. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { tableFromIPC } from 'apache-arrow';
import { describe, expect, it } from 'vitest';
import { rankingSchema } from '../../src/analysis/read/rankingSchema.ts';
import { alight, alightHere, demoFolder, interrupted } from '../helpers/commandLine.ts';

const folder = demoFolder();
const STUDY = 'thistledown.yaml';
const read = (...names: readonly string[]) => JSON.parse(readFileSync(join(folder, ...names), 'utf8'));

describe('alight rank STUDY', () => {
  it('prints what fixes buy, groups and noise, then the inputs of leading groups; writes the ranking', async () => {
    const run = alight(folder, 'rank', STUDY, '--flights', '80', '--out', 'fixes');
    expect(run.code).toBe(0);
    expect(run.out).toContain('Thistledown, light wind: 80 flights with each fix, the same luck every time, by rule fixed-height, seed 1');
    expect(run.out).toMatch(/Landing success as it is {2}\d+ %/);
    expect(run.out).toMatch(/^ {2}1( to \d+)? +\S.* \(\S+ to \S+\) +█+/m);
    for (const name of ['accelerometer', 'sensor noise', 'gusts', 'stalls', 'chances']) expect(run.out).toContain(`  ${name} `);
    expect(run.out).toContain('A simulation is neither permission nor proof');
    expect(run.out).not.toMatch(/NaN|undefined|null|-0\.?0* /);
    expect(readdirSync(join(folder, 'fixes')).sort()).toEqual(['ranking.arrow', 'ranking.json', 'run.json', 'study.yaml']);

    const ranking = read('fixes', 'ranking.json');
    expect(ranking).toMatchObject({ kind: 'fixes', flights: 80, stoppedBy: 'limit', unfinished: [], lost: [] });
    // Sorted by what is gained; every gain is its counts.
    const gains = ranking.groups.map((row: { perfect: { gain: number } }) => row.perfect.gain);
    expect(gains).toEqual([...gains].sort((a, b) => b - a));
    for (const { perfect, half } of ranking.groups) {
      for (const { gain, counts, noResult } of [perfect, half]) {
        expect(counts.both + counts.firstOnly + counts.secondOnly + counts.neither + noResult).toBe(80);
        expect(counts.both + counts.secondOnly).toBe(ranking.odds.landed);
        expect(gain).toBeCloseTo((counts.firstOnly - counts.secondOnly) / (80 - noResult), 12);
      }
    }
    const table = tableFromIPC(readFileSync(join(folder, 'fixes', 'ranking.arrow')));
    expect(table.schema.metadata.get('alight.table')).toBe('ranking');
    const rows = table.toArray().map((row) => row.toJSON());
    const [leader] = ranking.groups;
    const row = rows.find((r) => r.subject === leader.name && r.measure === 'gain perfect');
    expect(row).toMatchObject({ value: leader.perfect.gain, low: leader.perfect.interval[0], best: leader.place.best });

    const again = await alightHere(folder, 'rank', STUDY, '--flights', '20', '--out', 'fixes');
    expect(again.code).toBe(2);
    expect(again.err).toContain('holds results already (ranking.json, ranking.arrow, study.yaml, run.json)');
  });

  it('gives the same ranking on one thread and odd chunks, and the base the flights of `alight fly`', async () => {
    const one = await alightHere(folder, 'rank', STUDY, '--flights', '24', '--threads', '1', '--chunk', '7', '--json');
    const two = await alightHere(folder, 'rank', STUDY, '--flights', '24', '--threads', '2', '--json');
    const [{ run: _, ...first }, { run: __, ...second }] = [JSON.parse(one.out), JSON.parse(two.out)];
    expect(first).toEqual(second);
    const flown = JSON.parse((await alightHere(folder, 'fly', STUDY, '--flights', '24', '--out', 'flown', '--json')).out);
    expect(first.odds).toEqual(flown.odds);
  });

  it('evaluates fixes asked for, whole and in parts, as trials with --set confirm', async () => {
    const fix = 'landing.igniterFails=perfect,accelerometer.biasX=0.2';
    const ranking = JSON.parse((await alightHere(folder, 'rank', STUDY, '--flights', '60', '--fix', fix, '--json')).out);
    expect(ranking.groups).toEqual([]);
    expect(ranking.asked.map((row: { name: string; part: boolean }) => [row.name, row.part])).toEqual([
      ['landing.igniterFails=perfect, accelerometer.biasX=0.2', false],
      ['landing.igniterFails=perfect', true],
      ['accelerometer.biasX=0.2', true],
    ]);
    const words = ['--set', 'landing.igniterFails=0', '--set', 'accelerometer.biasX=0.2', '--flights', '60'];
    const flown = JSON.parse((await alightHere(folder, 'fly', STUDY, ...words, '--out', 'set', '--json')).out);
    const { both, firstOnly } = ranking.asked[0].gain.counts;
    expect(both + firstOnly).toBe(flown.odds.landed);
    expect((await alightHere(folder, 'rank', STUDY, '--flights', '60', '--fix', fix)).out).toMatch(
      /What these fixes buy\n.*\n {2}landing.igniterFails=perfect, /,
    );
  });

  it('interrupted, ranks what was flown and says what was not', async () => {
    const run = await interrupted(folder, /flights\/s/, ['rank', STUDY, '--flights', '150', '--out', 'cut']);
    expect(run.code).toBe(130);
    expect(run.out).toContain('Interrupted: not flown: ');
    const ranking = read('cut', 'ranking.json');
    expect(ranking.stoppedBy).toBe('interrupted');
    expect(ranking.unfinished.length).toBeGreaterThan(0);
    for (const { perfect } of ranking.groups) {
      const { counts, noResult } = perfect;
      expect(counts.both + counts.firstOnly + counts.secondOnly + counts.neither + noResult).toBe(150);
    }
  });
});

describe('alight rank STUDY --toward', () => {
  it('says at once that a low wish is met, and keeps an answer that the page shows', async () => {
    const run = await alightHere(folder, 'rank', STUDY, '--toward', '5%', '--flights', '500', '--out', 'stairs');
    expect(run.code).toBe(0);
    expect(run.out).toMatch(/ nothing mended the vehicle lands .* The wish of 5 % is met\./);
    expect(run.out).toMatch(/^ +as programmed +\d/m);
    expect(read('stairs', 'staircase.json')).toMatchObject({ wish: 0.05, flights: 250, end: 'reached', stoppedBy: 'wish' });
    expect((await alightHere(folder, 'report', 'stairs')).code).toBe(0);
    expect(readFileSync(join(folder, 'stairs', 'report.html'), 'utf8')).toContain('The way to 5 %');
  });

  it.each([
    [['--toward', '120%'], 'expected a share between 0 and 1'],
    [['--toward', '80%', '--retune'], '--retune: not with --toward, which always retunes'],
    [['--strength', 'half'], '--strength: only with --toward'],
    [['--toward', '80%', '--strength', 'most'], '--strength: read "most"; expected half or perfect'],
    [['--toward', '80%', '--fix', 'control.kpp=1'], '--fix control.kpp=1: unknown path'],
  ])('refuses %o in plain lines', async (words, message) => {
    const run = await alightHere(folder, 'rank', STUDY, ...words);
    expect(run.code).toBe(2);
    expect(run.err).toContain(message);
  });
});

describe('alight rank STUDY --sobol', () => {
  // Few groups, so that few flights do.
  const rest =
    'rest=ascent.*,landing.im*,landing.b*,landing.ignitionD*,landing.m*,landing.o*,gimbal.*,airframe.*,air.a*,air.l*,rail.*,wind.*,site.*,accelerometer.*,gyro.*,alignment.*,timing.*,legs.*';
  const groups = ['--group', 'spin=air.rollAsymmetry', '--group', rest];
  it('prints shares of success and sink speed with in-flight noise among them, and how they settled', async () => {
    const run = await alightHere(folder, 'rank', STUDY, '--sobol', '--size', '256', ...groups, '--out', 'sobol');
    expect(run.code).toBe(0);
    expect(run.out).toContain('Thistledown, light wind: variance shares by group, 1,536 flights (256 rows)');
    expect(run.out).toContain('Landing success: shares of its variance, 256 rows');
    expect(run.out).toContain('Sink speed: shares of its variance');
    expect(run.out).toMatch(/^ {2}\d+( to \d+)? +in-flight noise /m);
    expect(run.out).toMatch(/^ {2}\d+( to \d+)? +spin /m);
    expect(run.out).toMatch(/^ +32 +64 +128 +256$/m);
    expect(run.out).not.toMatch(/NaN|undefined|null/);
    const ranking = read('sobol', 'ranking.json');
    expect(rankingSchema.parse(ranking)).toEqual(ranking);
    const { looks } = ranking;
    expect(looks.map(({ size }: { size: number }) => size)).toEqual([32, 64, 128, 256]);
  });

  it('until separated stops at a fixed look, the same that the whole run has', async () => {
    const words = [...groups, '--sobol', '--size', '256', '--json'];
    const stopped = JSON.parse((await alightHere(folder, 'rank', STUDY, ...words, '--until-separated')).out);
    expect(stopped.stoppedBy).toBe('separated');
    expect(stopped.looks.at(-1).success.subjects[0]).toMatchObject({ name: 'rest', place: { best: 1, worst: 1 } });
    expect(stopped.looks.length).toBeLessThan(4);
    const whole = JSON.parse((await alightHere(folder, 'rank', STUDY, ...words)).out);
    expect(whole.looks.slice(0, stopped.looks.length)).toEqual(stopped.looks);
  });
});

describe('alight rank RESULTS', () => {
  it('ranks flights already flown, flies nothing, and can leave the ranking beside them', async () => {
    await alightHere(folder, 'fly', STUDY, '--flights', '600', '--out', 'results');
    const run = alight(folder, 'rank', 'results', '--out', 'results');
    expect(run.code).toBe(0);
    expect(run.err).toBe('');
    expect(run.out).toContain('ranked by 600 flights with a result, already flown by rule fixed-height');
    expect(run.out).toContain('Landing success: what its variance comes from');
    expect(run.out).toContain('Spreads halved, by weighing the flights anew');
    expect(run.out).toMatch(/no answer without new flights: .*accelerometer \(worth \d+ flights only, under 200\)/);
    expect(run.out).not.toMatch(/NaN|undefined|null/);
    expect(readdirSync(join(folder, 'results')).sort()).toEqual([
      ...['flights.arrow', 'ranking.arrow', 'ranking.json', 'run.json', 'study.yaml', 'summary.json'],
    ]);
    const json = JSON.parse((await alightHere(folder, 'rank', join('results', 'flights.arrow'), '--json')).out);
    expect(json).toEqual(read('results', 'ranking.json'));
    const again = await alightHere(folder, 'rank', 'results', '--out', 'results');
    expect(again.code).toBe(2);
    expect(again.err).toContain('holds a ranking already');
  });

  it.each([
    [
      ['results', '--sobol', '--flights', '9'],
      ['--flights: these flights are flown already', '--sobol: these flights are flown already'],
    ],
    [[STUDY, '--size', '512'], ['--size: only with --sobol']],
    [[STUDY, '--sobol', '--size', '1000'], ['--size: read 1000; expected a power of two']],
    [[STUDY, '--sobol', '--fix', 'wind=half'], ['--fix: not with --sobol']],
    [[STUDY, '--by', 'colour'], ['--by: read "colour"; expected group or input']],
    [[STUDY, '--group', 'x=nothing'], ['--group x: read "nothing"']],
    [[STUDY, '--rule', 'apogee'], ['--rule: read "apogee"']],
    [['nowhere'], ['nowhere']],
  ])('refuses %o in plain lines', async (words, messages) => {
    const run = await alightHere(folder, 'rank', ...words);
    expect(run.code).toBe(2);
    for (const message of messages) expect(run.err).toContain(message);
    expect(run.err).not.toContain('    at ');
    expect(run.out).toBe('');
  });
});
