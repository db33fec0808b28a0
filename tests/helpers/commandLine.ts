/** Runs the built program as a user does: a process of its own, in a folder of its own. */
import { spawn, spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll } from 'vitest';

export const PROGRAM = resolve('dist/run/alight.js');

export interface Ran {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

/** A folder with the demo study and its curves; removed after the tests of the file that asked. */
export function demoFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'alight-cli-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  for (const name of ['thistledown.yaml', 'thistledown-ascent.csv', 'thistledown-landing.csv']) {
    cpSync(resolve('studies', name), join(folder, name));
  }
  const study = join(folder, 'thistledown.yaml');
  // Half the ticks a second are half the time a flight takes; nothing here hangs on how fine they are.
  writeFileSync(study, readFileSync(study, 'utf8').replace('rate: 100 Hz', 'rate: 50 Hz'));
  return folder;
}

export function alight(cwd: string, ...args: readonly string[]): Ran {
  const { status, stdout, stderr } = spawnSync(process.execPath, [PROGRAM, ...args], {
    cwd,
    encoding: 'utf8',
    env: { ...process.env, NO_COLOR: '1' },
    maxBuffer: 1 << 28,
  });
  return { code: status, out: stdout, err: stderr };
}

/**
 * Starts it, sends the signal once standard error says `after`, and waits for the end.
 * @param meanwhile done before the signal is sent
 */
export function interrupted(
  cwd: string,
  after: RegExp,
  args: readonly string[],
  signal: NodeJS.Signals = 'SIGINT',
  meanwhile: () => void = () => undefined,
): Promise<Ran> {
  const child = spawn(process.execPath, [PROGRAM, ...args], { cwd, env: { ...process.env, NO_COLOR: '1' } });
  let out = '';
  let err = '';
  let sent = false;
  child.stdout.on('data', (data) => {
    out += data;
  });
  child.stderr.on('data', (data) => {
    err += data;
    if (sent || !after.test(err)) return;
    sent = true;
    meanwhile();
    child.kill(signal);
  });
  return new Promise((done) => {
    child.on('close', (code) => done({ code, out, err }));
  });
}

/** Runs it with standard error closed by its reader after the first words. */
export function withoutListener(cwd: string, ...args: readonly string[]): Promise<Ran> {
  const child = spawn(process.execPath, [PROGRAM, ...args], { cwd, env: { ...process.env, NO_COLOR: '1' } });
  let out = '';
  child.stdout.on('data', (data) => {
    out += data;
  });
  child.stderr.once('data', () => child.stderr.destroy());
  return new Promise((done) => {
    child.on('close', (code) => done({ code, out, err: '' }));
  });
}
