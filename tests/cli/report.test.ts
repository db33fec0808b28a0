import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { chmodSync, copyFileSync, existsSync, mkdirSync, readFileSync, realpathSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { parseHTML } from 'linkedom';
import { describe, expect, test, vi } from 'vitest';
import { alight, alightHere, demoFolder, PROGRAM } from '../helpers/commandLine.ts';

const folder = demoFolder();
const at = (...names: string[]) => join(folder, ...names);
const hash = (...names: string[]) =>
  createHash('sha256')
    .update(readFileSync(at(...names)))
    .digest('hex');
const fly = (out: string, ...args: string[]) => alightHere(folder, 'fly', 'thistledown.yaml', '--out', out, ...args);
const textOf = (...names: string[]) => {
  const { document } = parseHTML(readFileSync(at(...names), 'utf8'));
  for (const e of document.querySelectorAll('script, style')) e.remove();
  return document.documentElement.textContent ?? '';
};

describe('alight report', async () => {
  await fly('flown', '--flights', '200');
  await alightHere(folder, 'compare', 'thistledown.yaml', '--flights', '60', '--out', 'compared');
  const ran = alight(folder, 'report', 'flown');

  test('writes one file that says what the terminal says, and asks nothing of a network', () => {
    expect([ran.code, ran.out]).toEqual([0, 'flown/report.html\n']);
    const summary = JSON.parse(readFileSync(at('flown', 'summary.json'), 'utf8'));
    const text = textOf('flown', 'report.html');
    expect(text).toContain(`${summary.odds.landed} of 200 flights with a result landed; 200 flown, every flight has a result.`);
    expect(text).toContain('range safety officer');
    const html = readFileSync(at('flown', 'report.html'), 'utf8');
    expect(/\b(src|href)=|url\(|@import|https?:\/\/(?!www\.w3\.org\/)/.exec(html)?.[0]).toBeUndefined();
    expect(html.match(/<figure /g)?.length).toBeGreaterThan(7);
    expect(text).not.toMatch(/NaN|undefined|Infinity|null/);
    expect(text).not.toContain(folder);
  });

  test('says of an even design what fly says of it, and nothing of that where draws are independent', async () => {
    const words = 'his design spreads flights more evenly than luck would';
    expect((await fly('even', '--set', 'design=sobol', '--flights', '60')).out).toContain(words);
    expect((await alightHere(folder, 'report', 'even')).code).toBe(0);
    expect(textOf('even', 'report.html')).toContain(words);
    expect(textOf('flown', 'report.html')).not.toContain(words);
  });

  test('makes the same bytes again, from anywhere, and nothing of the machine unless asked', async () => {
    expect((await alightHere(folder, 'report', 'flown', '--out', 'again.html')).code).toBe(0);
    expect((await alightHere(at('flown'), 'report', '.', '--out', '../inside.html')).code).toBe(0);
    expect(hash('again.html')).toBe(hash('flown', 'report.html'));
    expect(hash('inside.html')).toBe(hash('flown', 'report.html'));
    expect((await alightHere(folder, 'report', 'flown', '--timing', '--out', 'timed.html')).code).toBe(0);
    expect(textOf('timed.html')).toContain(`Node ${process.version}`);
    expect(textOf('again.html')).not.toContain(process.version);
  });

  test('puts a comparison beside the flights of another folder', async () => {
    expect((await alightHere(folder, 'report', 'flown', 'compared', '--out', 'both.html')).code).toBe(0);
    const text = textOf('both.html');
    expect(text).toContain('Rules side by side');
    expect(text).toContain('200 flown');
    expect(text).toContain('60 flights by each rule');
  });

  test('puts answers to different questions on one page, and refuses two to the same', async () => {
    const made = [
      ['tune', 'thistledown.yaml', '--drops', '--steps', '3', '--out', 'dropped'],
      ['rank', 'thistledown.yaml', '--fix', 'ascent.impulseFactor=half', '--flights', '60', '--out', 'fixed'],
      ['rank', 'flown', '--out', 'ranked'],
    ];
    for (const args of made) expect((await alightHere(folder, ...args)).code).toBe(0);
    expect((await alightHere(folder, 'report', 'flown', 'dropped', 'fixed', 'ranked', '--out', 'all.html')).code).toBe(0);
    const text = textOf('all.html');
    const drops = JSON.parse(readFileSync(at('dropped', 'drops.json'), 'utf8'));
    expect(text).toContain(`Burn height grows by ${drops.fits.belief.coefficients[1].toFixed(3)} m for each metre of apogee`);
    expect(text).toContain('Each of the 3 drops can touch down within the limit of 3.00 m/s');
    expect(text).toContain('Which fix first');
    expect(text).toContain('Which uncertainty matters, by the flights flown');
    expect(text).not.toMatch(/NaN|undefined|Infinity|null/);
    const again = await alightHere(folder, 'rank', 'flown', '--out', 'ranked-again');
    expect(again.code).toBe(0);
    const twice = await alightHere(folder, 'report', 'flown', 'ranked', 'ranked-again', '--out', 'never.html');
    expect([twice.code, twice.err]).toEqual([
      2,
      'ranked-again/ranking.json: a second answer to the same question (ranking, flown); name one\n',
    ]);
  });

  test('refuses answers flown with other values than the flights beside them', async () => {
    const calm = await alightHere(
      folder,
      'tune',
      'thistledown.yaml',
      '--drops',
      '--steps',
      '3',
      '--set',
      'wind.speed=1 m/s',
      '--out',
      'calm',
    );
    expect(calm.code).toBe(0);
    const mixed = await alightHere(folder, 'report', 'flown', 'calm', '--out', 'never.html');
    expect([mixed.code, mixed.err]).toEqual([
      2,
      'calm/drops.json: belongs to another study than flown/flights.arrow; fly the study again as it is now, or name folders of one study only\n',
    ]);
    expect(existsSync(at('never.html'))).toBe(false);
  });

  test('drops that nothing can land: a page that says so', async () => {
    await alightHere(folder, 'tune', 'thistledown.yaml', '--drops', '--steps', '3', '--set', 'landing.impulseFactor=0.4', '--out', 'weak');
    expect((await alightHere(folder, 'report', 'weak')).code).toBe(0);
    const text = textOf('weak', 'report.html');
    expect(text).toMatch(/It cannot land: the softest touchdown of all is 1\d\.\d m\/s against a limit of 3\.00 m\/s/);
    expect(text).not.toMatch(/NaN|undefined|Infinity|null/);
  });

  test('shows another rule’s flights when asked', async () => {
    expect((await alightHere(folder, 'report', 'compared', '--rule', 'speed-curve', '--out', 'speed.html')).code).toBe(0);
    expect(textOf('speed.html')).toContain('Rule speed-curve.');
    const wrong = await alightHere(folder, 'report', 'compared', '--rule', 'nope', '--out', 'no.html');
    expect([wrong.code, wrong.err]).toEqual([
      2,
      '--rule: read "nope"; expected a rule flown here: fixed-height, apogee-line, speed-curve, predicted-stop\n',
    ]);
    expect(existsSync(at('no.html'))).toBe(false);
  });

  test('refuses options that would be without effect, and makes no page', async () => {
    mkdirSync(at('answers'));
    for (const name of ['comparison.json', 'study.yaml']) copyFileSync(at('compared', name), at('answers', name));
    const refused = (...words: string[]) => alightHere(folder, 'report', ...words, '--out', 'stray.html');
    const ran = await refused('answers', '--rule', 'speed-curve');
    expect([ran.code, ran.err]).toEqual([2, '--rule: answers holds no flights to show in full; leave it out\n']);
    expect((await refused('answers', '--timing')).err).toBe(
      '--timing: no run.json stands beside answers to say how long it took; leave it out\n',
    );
    expect((await alightHere(folder, 'measure', 'motor', resolve('studies/stitchwort-firings.csv'), '--out', 'motor')).code).toBe(0);
    const measured = await refused('motor', '--rule', 'speed-curve', '--timing');
    expect([measured.code, measured.err]).toEqual([
      2,
      '--rule: a measurement holds no flights; leave it out\n--timing: a measurement holds no flights; leave it out\n',
    ]);
    expect(existsSync(at('stray.html'))).toBe(false);
  });

  test('refuses to replace a page, unless forced', async () => {
    const twice = await alightHere(folder, 'report', 'flown');
    expect([twice.code, twice.err]).toEqual([2, 'flown/report.html: exists already; choose another name, or --force to replace it\n']);
    expect((await alightHere(folder, 'report', 'flown', '--force')).code).toBe(0);
  });

  test.each<[string, string[], RegExp]>([
    ['zero landed', ['--flights', '30', '--set', 'limits.sink=0.01 m/s'], /None of 30 simulated flights landed: .* at most/],
    ['one flight', ['--flights', '1'], /One flight alone says little/],
    [
      'all without a result',
      ['--flights', '20', '--set', 'limits.time=2 s'],
      /None of 20 flights has a result[\s\S]*Without a result: time limit \(20\)/,
    ],
  ])('%s: a page that says so', async (name, args, words) => {
    const out = name.replaceAll(' ', '-');
    expect((await fly(out, ...args)).code).toBe(0);
    expect((await alightHere(folder, 'report', out)).code).toBe(0);
    const text = textOf(out, 'report.html');
    expect(text).toMatch(words);
    expect(text).not.toMatch(/NaN|undefined|Infinity/);
    expect((await alightHere(folder, 'card', out)).code).toBe(0);
    expect(textOf(out, 'card.html')).not.toMatch(/NaN|undefined|Infinity/);
  });

  test('says in one line what is wrong with results it cannot read', async () => {
    const whole = readFileSync(at('flown', 'flights.arrow'));
    writeFileSync(at('cut.arrow'), whole.subarray(0, whole.length / 2));
    mkdirSync(at('empty'));
    mkdirSync(at('broken'));
    copyFileSync(at('flown', 'flights.arrow'), at('broken', 'flights.arrow'));
    writeFileSync(at('broken', 'comparison.json'), '{"program": ');
    mkdirSync(at('mixed'));
    copyFileSync(at('flown', 'flights.arrow'), at('mixed', 'flights.arrow'));
    copyFileSync(at('compared', 'comparison.json'), at('mixed', 'comparison.json'));
    mkdirSync(at('old'));
    copyFileSync(at('flown', 'flights.arrow'), at('old', 'flights.arrow'));
    writeFileSync(at('old', 'summary.json'), JSON.stringify({ program: 'alight 0.0.1', studyHash: 'x', warnings: [] }));
    const lines: Record<string, string> = {};
    for (const name of ['nowhere', 'cut.arrow', 'empty', 'broken', 'mixed', 'old']) {
      const { code, err } = await alightHere(folder, 'report', name, '--out', 'never.html');
      expect(code).toBe(2);
      lines[name] = err;
    }
    expect(lines).toEqual({
      nowhere: 'nowhere: does not exist; expected a results folder or a flights file (.arrow)\n',
      'cut.arrow': 'cut.arrow: cut short: it ends before its first flights; fly the study again\n',
      empty:
        'empty: holds no results: expected flights.arrow, comparison.json, ranking.json, drops.json, tuning.json, sweep.json, staircase.json, control.json or campaign.json\n',
      broken: 'broken/comparison.json: damaged: not whole JSON\n',
      mixed:
        'mixed/comparison.json: belongs to another study than what stands beside it; fly the study again as it is now, or name folders of one study only\n',
      old: expect.stringMatching(/^old\/summary\.json: written by alight 0\.0\.1; this is alight .*; make it again\n$/),
    });
    expect(existsSync(at('never.html'))).toBe(false);
  });
});

test('alight fly --open makes the page and hands it to the platform’s opener', async () => {
  const bin = at('bin');
  mkdirSync(bin);
  for (const name of ['xdg-open', 'open', 'explorer.exe']) {
    writeFileSync(join(bin, name), `#!/bin/sh\nprintf %s "$1" > '${at('opened.txt')}'\n`);
    chmodSync(join(bin, name), 0o755);
  }
  const run = (path: string, ...args: string[]) =>
    spawnSync(process.execPath, [PROGRAM, ...args], { cwd: folder, encoding: 'utf8', env: { ...process.env, PATH: path } });
  expect(run(bin, 'fly', 'thistledown.yaml', '--flights', '20', '--out', 'opened', '--open').status).toBe(0);
  await vi.waitFor(() => expect(readFileSync(at('opened.txt'), 'utf8')).toBe(realpathSync(at('opened', 'report.html'))), 10_000);
  const without = run(at('nothing-here'), 'report', 'opened', '--force', '--open');
  expect([without.status, without.stderr]).toEqual([0, expect.stringMatching(/is not there to open .*report\.html; open it yourself\n$/)]);
});

describe('alight card', () => {
  test('from results and from the study it is the same card', async () => {
    const results = await alightHere(folder, 'card', 'flown', '--text', '--least', '80%');
    const study = alight(folder, 'card', 'thistledown.yaml', '--flights', '200', '--text', '--least', '80%');
    expect([results.code, study.code]).toEqual([0, 0]);
    expect(study.out).toBe(results.out);
    expect(results.out).toMatch(/height +7 +m /);
    expect(results.out).toMatch(/ (go|no-go|unclear)\n/);
  });

  test('writes page, header and JSON, and nothing when one of them is there', async () => {
    const args = ['card', 'flown', '--out', 'card.html', '--c-header', 'rule.h', '--constants-json', 'rule.json'];
    expect(await alightHere(folder, ...args)).toMatchObject({ code: 0, out: 'card.html\nrule.h\nrule.json\n' });
    expect(readFileSync(at('rule.h'), 'utf8')).toContain('#define ALIGHT_HEIGHT (7.0) ');
    expect(JSON.parse(readFileSync(at('rule.json'), 'utf8')).constants[0]).toMatchObject({ name: 'height', value: 7 });
    const again = await alightHere(folder, 'card', 'flown', '--out', 'other.html', '--c-header', 'rule.h');
    expect([again.code, existsSync(at('other.html'))]).toEqual([2, false]);
  });

  test('does not pretend to fly results anew', async () => {
    const { code, err } = await alightHere(folder, 'card', 'flown', '--flights', '9', '--text');
    expect([code, err]).toEqual([2, 'flown: results are as they were flown; --set, --flights and --seed need a study file\n']);
  });
});
