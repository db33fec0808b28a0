/** A clock that is set back again and again while a run flies: same bytes, no time below nothing, nothing held or lost. */
import { spawnSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { alight, demoFolder, PROGRAM } from '../helpers/commandLine.ts';

/** In the program and in its workers: each look at the clock finds it a minute earlier, at first ten days too late. */
const CLOCK =
  'let now = Date.now() + 864e6; Date.now = () => (now -= 6e4); const Old = Date; globalThis.Date = class extends Old { constructor(...a) { a.length === 0 ? super(Old.now()) : super(...a); } };';

test('flights are the same, and no time is below nothing', () => {
  const folder = demoFolder();
  const args = ['fly', 'thistledown.yaml', '--flights', '120', '--chunk', '8', '--threads', '2', '--out'];
  expect(alight(folder, ...args, 'plain').code).toBe(0);
  const node = ['--import', `data:text/javascript,${encodeURIComponent(CLOCK)}`, PROGRAM];
  const { status, stdout, stderr } = spawnSync(process.execPath, [...node, ...args, 'back'], { cwd: folder, encoding: 'utf8' });
  expect(status).toBe(0);
  const files = readdirSync(join(folder, 'back')).sort();
  expect(files).toEqual(['flights.arrow', 'run.json', 'study.yaml', 'summary.json']);
  for (const name of files.filter((one) => one !== 'run.json'))
    expect(readFileSync(join(folder, 'back', name)).equals(readFileSync(join(folder, 'plain', name)))).toBe(true);
  const { seconds, flightsPerSecond } = JSON.parse(readFileSync(join(folder, 'back', 'run.json'), 'utf8'));
  expect(seconds).toBeGreaterThan(0);
  expect(flightsPerSecond).toBeGreaterThan(0);
  expect(`${stdout}${stderr}`).not.toMatch(/-\d+(\.\d+)? ?(s|min|h|flights\/s)\b/);
});
