import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, utimesSync, writeFileSync } from 'node:fs';
import { hostname } from 'node:os';
import { join } from 'node:path';
import { expect, test, vi } from 'vitest';
import { UserError } from '../../src/errors.ts';
import { LOCK_FILE, lockFolder } from '../../src/results/lock.ts';
import { scratch } from './setUp.ts';

const root = scratch();
const made = (name: string): string => {
  const path = join(root, name);
  mkdirSync(path);
  return path;
};
/** The lock of this very process, as a record to change. */
function own(): { host: string; pid: number; started: string | null } {
  const folder = made(`own-${readdirSync(root).length}`);
  const release = lockFolder(folder);
  const record = JSON.parse(readFileSync(join(folder, LOCK_FILE), 'utf8'));
  release();
  return record;
}
const leave = (folder: string, record: object): void => writeFileSync(join(folder, LOCK_FILE), `${JSON.stringify(record)}\n`);

test('holds until it is released, for the same process too, and says who holds it', () => {
  const folder = made('held');
  const release = lockFolder(folder);
  expect(() => lockFolder(folder)).toThrow(UserError);
  expect(() => lockFolder(folder)).toThrow(
    new RegExp(`another run writes here \\(process ${process.pid} on ${hostname()}.*\\); wait for its end`),
  );
  release();
  expect(readdirSync(folder)).toEqual([]);
  lockFolder(folder)();
});

test('an owner that is gone does not hold it: a process that ended, or another that has its number now', () => {
  const folder = made('gone');
  const ended = spawnSync(process.execPath, ['-e', '']).pid;
  leave(folder, { ...own(), pid: ended });
  lockFolder(folder)();
  const record = own();
  // Systems that do not say when a process started cannot tell a number given anew.
  if (record.started !== null) {
    leave(folder, { ...record, started: `${Number(record.started) - 1}` });
    lockFolder(folder)();
  }
  expect(readdirSync(folder)).toEqual([]);
});

test('of an owner on another machine nobody here can tell: it holds, and what to do is said', () => {
  const folder = made('elsewhere');
  leave(folder, { ...own(), host: 'elsewhere' });
  expect(() => lockFolder(folder)).toThrow(
    new UserError(
      `${folder}: another run writes here (process ${process.pid} on elsewhere); choose another folder with --out; if that run is gone, its lock holds for 10 minutes, or remove ${join(folder, LOCK_FILE)}`,
    ),
  );
  expect(readdirSync(folder)).toEqual([LOCK_FILE]);
});

test('an owner elsewhere that has given no sign of life for long does not hold it for ever; one that runs gives signs', () => {
  const folder = made('silent');
  leave(folder, { ...own(), host: 'elsewhere' });
  const ago = (minutes: number): Date => new Date(Date.now() - 60_000 * minutes);
  utimesSync(join(folder, LOCK_FILE), ago(9), ago(9));
  expect(() => lockFolder(folder)).toThrow('another run writes here');
  utimesSync(join(folder, LOCK_FILE), ago(11), ago(11));
  vi.useFakeTimers({ toFake: ['setInterval', 'clearInterval'] });
  try {
    const release = lockFolder(folder);
    const text = readFileSync(join(folder, LOCK_FILE), 'utf8');
    utimesSync(join(folder, LOCK_FILE), ago(11), ago(11));
    vi.advanceTimersByTime(31_000);
    expect(Date.now() - statSync(join(folder, LOCK_FILE)).mtimeMs).toBeLessThan(60_000);
    expect(readFileSync(join(folder, LOCK_FILE), 'utf8')).toBe(text);
    release();
    expect(vi.getTimerCount()).toBe(0);
  } finally {
    vi.useRealTimers();
  }
});

test('a job that a cluster starts again, on whatever machine, is not held up by its own earlier start', () => {
  const folder = made('requeued');
  vi.stubEnv('ALIGHT_JOB', 'slurm-7-3');
  try {
    leave(folder, { ...own(), host: 'elsewhere', job: 'slurm-7-4' });
    expect(() => lockFolder(folder)).toThrow('another run writes here');
    leave(folder, { ...own(), host: 'elsewhere', job: 'slurm-7-3' });
    lockFolder(folder)();
    expect(readdirSync(folder)).toEqual([]);
  } finally {
    vi.unstubAllEnvs();
  }
});

test.each(['', 'mine', '{}', '{"host":1,"pid":2,"started":null}'])('a file that is no lock of ours stays: %j', (text) => {
  const folder = made(`foreign-${readdirSync(root).length}`);
  writeFileSync(join(folder, LOCK_FILE), text);
  expect(() => lockFolder(folder)).toThrow('is not a lock that alight wrote');
  expect(readFileSync(join(folder, LOCK_FILE), 'utf8')).toBe(text);
});

test('releasing takes away no lock but its own', () => {
  const folder = made('other');
  const release = lockFolder(folder);
  leave(folder, { ...own(), host: 'elsewhere' });
  release();
  expect(existsSync(join(folder, LOCK_FILE))).toBe(true);
});
