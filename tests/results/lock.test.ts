import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, utimesSync, writeFileSync } from 'node:fs';
import { hostname } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test, vi } from 'vitest';
import { UserError } from '../../src/errors.ts';
import { clearSilentLock, LOCK_FILE, lockFolder } from '../../src/results/lock.ts';
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

describe('the lock of an owner elsewhere', () => {
  /** Minutes from now, by which a sign of life is dated. */
  const dated = (folder: string, minutes: number): void => {
    const when = new Date(Date.now() + 60_000 * minutes);
    utimesSync(join(folder, LOCK_FILE), when, when);
  };
  const elsewhere = (name: string, minutes: number): string => {
    const folder = made(name);
    leave(folder, { ...own(), host: 'elsewhere' });
    dated(folder, minutes);
    return folder;
  };

  test.each([
    ['long ago', -11],
    ['far to come: its clock, or that of the disk, was set back', 11],
  ])('does not hold for ever when its last sign is %s and no other comes while it is watched', async (name, minutes) => {
    const folder = elsewhere(name.slice(0, 8), minutes);
    const told: string[] = [];
    await clearSilentLock(folder, (line) => told.push(line), 20);
    expect(told).toEqual([`${folder}: the run on elsewhere that holds it seems gone; watching its lock for 1 s`]);
    lockFolder(folder)();
    expect(readdirSync(folder)).toEqual([]);
  });

  test('holds while its signs are near, and where clocks only made them look far: one comes while it is watched', async () => {
    for (const minutes of [-9, 9]) {
      const folder = elsewhere(`near ${minutes}`, minutes);
      await clearSilentLock(folder, () => expect.unreachable(), 20);
      expect(() => lockFolder(folder)).toThrow('another run writes here');
    }
    // The disk's clock is set an hour on between two signs; back a day, between others.
    for (const minutes of [-60, 24 * 60]) {
      const folder = elsewhere(`jump ${minutes}`, minutes);
      await clearSilentLock(folder, () => dated(folder, minutes + 0.5), 20);
      expect(() => lockFolder(folder)).toThrow('another run writes here');
      expect(readdirSync(folder)).toEqual([LOCK_FILE]);
    }
  });

  test('is left to whoever judges it where it is none of ours, of this machine, or gone', async () => {
    for (const text of ['mine', JSON.stringify(own()), null]) {
      const folder = made(`left ${text?.slice(0, 1)}`);
      if (text !== null) writeFileSync(join(folder, LOCK_FILE), text);
      if (text !== null) dated(folder, -60);
      await clearSilentLock(folder, () => expect.unreachable(), 20);
      expect(existsSync(join(folder, LOCK_FILE))).toBe(text !== null);
    }
  });
});

test('a run gives signs of life', () => {
  const folder = made('beating');
  vi.useFakeTimers({ toFake: ['setInterval', 'clearInterval'] });
  try {
    const release = lockFolder(folder);
    const text = readFileSync(join(folder, LOCK_FILE), 'utf8');
    const ago = new Date(Date.now() - 11 * 60_000);
    utimesSync(join(folder, LOCK_FILE), ago, ago);
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
