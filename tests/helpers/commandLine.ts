/**
 * Runs the built program in a folder of its own: as a user does, in a process of its own, or in the test's process,
 * where it says and writes the same and need not start.
 */
import { spawn, spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
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

let runs = 0;
let running = false;

/**
 * The same built program in this process: most of what a short run costs is starting Node and warming up. For runs
 * beside those of a process of its own; not for signals, closed pipes and ends that the program makes itself. One at a
 * time: folder, arguments and streams are the process's.
 */
export async function alightHere(cwd: string, ...args: readonly string[]): Promise<Ran> {
  if (running) throw new Error('a run in this process is under way; await it first');
  const { argv, env, stdout, stderr } = process;
  const [home, colour] = [process.cwd(), env.NO_COLOR];
  const listeners = [stdout, stderr].map((stream) => stream.listeners('error'));
  const said: Record<'out' | 'err', string> = { out: '', err: '' };
  const taking =
    (where: 'out' | 'err'): typeof stdout.write =>
    (text: string | Uint8Array): boolean => {
      said[where] += typeof text === 'string' ? text : Buffer.from(text).toString();
      return true;
    };
  const [toOut, toErr] = [stdout.write, stderr.write];
  const before = process.exitCode;
  process.chdir(cwd);
  running = true;
  process.argv = [process.execPath, PROGRAM, ...args];
  env.NO_COLOR = '1';
  process.exitCode = undefined;
  stdout.write = taking('out');
  stderr.write = taking('err');
  try {
    // Another name each time, so that its main file is run anew; what that imports is loaded once.
    await import(`${pathToFileURL(PROGRAM)}?run=${runs++}`);
    return { code: Number(process.exitCode ?? 0), out: said.out, err: said.err };
  } finally {
    running = false;
    stdout.write = toOut;
    stderr.write = toErr;
    process.exitCode = before;
    process.argv = argv;
    if (colour === undefined) delete env.NO_COLOR;
    else env.NO_COLOR = colour;
    process.chdir(home);
    for (const [i, stream] of [stdout, stderr].entries()) {
      for (const listener of stream.listeners('error')) {
        if (!listeners[i].includes(listener)) stream.removeListener('error', listener as (error: Error) => void);
      }
    }
  }
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
