/** How runs end that do not end by themselves, and what they leave. Ctrl-C in a new folder is fly.test.ts. */
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { closeSync, openSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { openFlights } from '../../src/results/reader.ts';
import { alight, alightHere, demoFolder, interrupted, PROGRAM, withoutListener } from '../helpers/commandLine.ts';

const folder = demoFolder();
const at = (...names: string[]): string => join(folder, ...names);
/** The first tenth is flown: of 12,000 flights more than a batch of them. */
const PROGRESS = /\d+ of .* flights/;

/** Names and contents of a folder's files. */
const filesOf = (name: string): string[][] =>
  readdirSync(at(name), { withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => [
      entry.name,
      createHash('sha256')
        .update(readFileSync(at(name, entry.name)))
        .digest('hex'),
    ]);

test('a terminal that goes away ends a run as Ctrl-C does; under --force older results stay, the new ones stand within', async () => {
  expect((await alightHere(folder, 'fly', 'thistledown.yaml', '--flights', '40', '--out', 'old')).code).toBe(0);
  expect((await alightHere(folder, 'report', 'old')).code).toBe(0);
  const before = filesOf('old');
  const ran = await interrupted(folder, PROGRESS, ['fly', 'thistledown.yaml', '--flights', '3000', '--out', 'old', '--force'], 'SIGHUP');
  expect(ran.code).toBe(130);
  expect(ran.out).toMatch(
    /Results in old\/unfinished-1\nThe older results in old are as they were\.\nInterrupted: flights 1 to \d+ are kept/,
  );
  expect(filesOf('old')).toEqual(before);
  const file = await openFlights(at('old', 'unfinished-1', 'flights.arrow'));
  expect([file.whole, file.rows > 0, file.rows < 3000]).toEqual([true, true, true]);
  await file.close();
});

test('a second run into one folder is refused while the first flies; what a killed run left can be read, and says what it is', async () => {
  let second = { code: null as number | null, out: '', err: '' };
  const args = ['fly', 'thistledown.yaml', '--flights', '12000', '--out', 'killed'];
  await interrupted(folder, PROGRESS, args, 'SIGKILL', () => {
    second = alight(folder, 'fly', 'thistledown.yaml', '--seed', '2', '--flights', '10', '--out', 'killed', '--force');
  });
  expect(second.code).toBe(2);
  expect(second.err).toMatch(/^killed: another run writes here \(process \d+ on .*\); wait for its end/m);
  expect(readdirSync(at('killed')).sort()).toEqual(['alight.lock', 'flights.arrow.part', 'flights.journal']);

  const page = await alightHere(folder, 'report', 'killed');
  expect(page.code).toBe(0);
  expect(page.err).toMatch(/flights\.arrow\.part: an unfinished run left it.* its first \d+ flights, of 12000 asked for/);
  expect(readFileSync(at('killed', 'report.html'), 'utf8')).toContain('an unfinished run left it');
  expect((await alightHere(folder, 'fly', 'thistledown.yaml', '--flights', '10', '--out', 'killed')).err).toMatch(
    /killed: holds what an interrupted run has flown; --resume goes on with it/,
  );
  // The dead run's lock holds nobody, and whole results take the place of what it left.
  expect((await alightHere(folder, 'fly', 'thistledown.yaml', '--flights', '10', '--out', 'killed', '--force')).code).toBe(0);
  expect(readdirSync(at('killed')).sort()).toEqual(['flights.arrow', 'run.json', 'study.yaml', 'summary.json']);
});

test('a killed run goes on with --resume, and ends in the same bytes as one that never stopped', async () => {
  const args = ['fly', 'thistledown.yaml', '--flights', '1500', '--out'];
  await interrupted(folder, PROGRESS, [...args, 'again'], 'SIGKILL');
  expect((await alightHere(folder, ...args, 'again', '--seed', '9', '--resume')).err).toMatch(
    /again\/flights\.journal: is of another run: /,
  );
  expect(alight(folder, ...args, 'again', '--resume').code).toBe(0);
  expect((await alightHere(folder, ...args, 'straight')).code).toBe(0);
  const answers = (name: string): string[][] => filesOf(name).filter(([file]) => file !== 'run.json');
  expect(answers('again')).toEqual(answers('straight'));
});

test('a run goes on when nobody reads its progress any more', async () => {
  const ran = await withoutListener(folder, 'fly', 'thistledown.yaml', '--flights', '60', '--out', 'unheard');
  expect(ran.code).toBe(0);
  expect(ran.out).toMatch(/60 flights flown/);
  expect(readdirSync(at('unheard'))).toContain('summary.json');
});

test('a device without room for the answers is said in one line', () => {
  const full = openSync('/dev/full', 'w');
  const { status, stderr } = spawnSync(process.execPath, [PROGRAM, 'inputs'], {
    cwd: folder,
    encoding: 'utf8',
    stdio: ['ignore', full, 'pipe'],
  });
  closeSync(full);
  expect([status, stderr]).toEqual([2, 'standard output: cannot write: the disk is full; make room or choose another place\n']);
});

test('the commented study flown from its own folder is not overwritten, nor anything else that is not ours', async () => {
  const source = readFileSync(at('thistledown.yaml'));
  expect((await alightHere(folder, 'fly', 'thistledown.yaml', '--flights', '5', '--out', 'own')).code).toBe(0);
  const commented = `# mine\n${source}`;
  writeFileSync(at('own', 'study.yaml'), commented);
  const ran = await alightHere(folder, 'fly', 'thistledown.yaml', '--flights', '5', '--out', 'own', '--force');
  expect([ran.code, ran.err.includes('own/study.yaml: was not written by alight')]).toEqual([2, true]);
  expect(readFileSync(at('own', 'study.yaml'), 'utf8')).toBe(commented);
});
