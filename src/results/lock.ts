/**
 * One folder, one run: a lock file that names its owner. One whose owner is gone from this machine does not hold. Of
 * one on another machine that shares the folder nobody can tell from here: its lock holds as long as it gives signs of
 * life, and not against the next start of the same job, of which a cluster runs one at a time. Signs are dated by
 * clocks, and clocks are set: what looks silent is watched for a while before it is taken away. Knows no results.
 */
import { randomBytes } from 'node:crypto';
import { linkSync, readFileSync, readlinkSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { hostname } from 'node:os';
import { join } from 'node:path';
import { UserError } from '../errors.ts';
import { fileFault } from './fileFault.ts';

export const LOCK_FILE = 'alight.lock';

interface Owner {
  /**
   * The machine, and where processes are numbered apart, the space of numbers: a container's process 7 is another than
   * the host's.
   */
  readonly host: string;
  readonly pid: number;
  /**
   * When that process was started, as the system counts: a number given anew is another process. Null where the system
   * does not say.
   */
  readonly started: string | null;
  /** What a cluster calls the job, the same for each start of it; null outside of one. */
  readonly job: string | null;
}

/** ms between two signs of life, and without one after which an owner elsewhere counts as gone. */
const BEAT = 30_000;
const SILENCE = 20 * BEAT;
/** ms for which a lock that looks silent is watched: whoever lives gives a sign meanwhile, whatever the clocks say. */
const WATCH = 2 * BEAT;

/** Gives the folder free again; does nothing the second time. */
export type Release = () => void;

/** @throws UserError when another run holds the folder; what the file system throws */
export function lockFolder(folder: string): Release {
  const path = join(folder, LOCK_FILE);
  const text = `${JSON.stringify(self())}\n`;
  // Made under another name and linked into place: whoever sees the lock sees its owner too.
  const own = `${path}.${randomBytes(6).toString('hex')}`;
  writeFileSync(own, text, { flag: 'wx' });
  try {
    while (!taken(own, path, text)) takeAsideOrRefuse(path, folder);
  } finally {
    rmSync(own, { force: true });
  }
  const beating = setInterval(() => beat(path, text), BEAT);
  beating.unref();
  const release = (): void => {
    clearInterval(beating);
    process.off('exit', release);
    if (readOrNull(path) === text) rmSync(path, { force: true });
  };
  process.on('exit', release);
  return release;
}

/** Faults of file systems that have no hard links. */
const NO_LINKS = ['EPERM', 'ENOTSUP', 'EOPNOTSUPP', 'ENOSYS'];

function taken(own: string, path: string, text: string): boolean {
  try {
    linkSync(own, path);
    return true;
  } catch (error) {
    if (code(error) === 'EEXIST') return false;
    if (!NO_LINKS.includes(code(error))) throw error;
  }
  try {
    writeFileSync(path, text, { flag: 'wx' });
    return true;
  } catch (error) {
    if (code(error) === 'EEXIST') return false;
    throw error;
  }
}

/** A sign of life: the same text written again, so that whoever keeps the file says when, by one clock for all. */
function beat(path: string, text: string): void {
  try {
    if (readOrNull(path) === text) writeFileSync(path, text, { flag: 'r+' });
  } catch (error) {
    // Where nothing can be written there is no sign of life, and the run will find that out itself.
    if (code(error) === '') throw error;
  }
}

/**
 * Takes the lock of an owner on another machine away once it has given no sign of life for long, and gives none while
 * it is watched. A clock that was set, forward or back, makes a sign look old or to come: it is never taken on that
 * alone, nor held for ever. Does nothing where there is no such lock; what it leaves, {@link lockFolder} refuses.
 * @param onWait told in a line that there is something to wait for   @param watch ms
 * @throws UserError when the place cannot be written to
 */
export async function clearSilentLock(folder: string, onWait: (line: string) => void = () => undefined, watch = WATCH): Promise<void> {
  const path = join(folder, LOCK_FILE);
  const text = readOrNull(path);
  const owner = text === null ? null : readOwner(text);
  if (text === null || owner === null || owner.host === self().host || isGone(owner)) return;
  try {
    const sign = signOf(path);
    if (sign === null || Math.abs(nowBy(path) - sign) <= SILENCE) return;
    onWait(`${folder}: the run on ${owner.host} that holds it seems gone; watching its lock for ${Math.ceil(watch / 1000)} s`);
    await new Promise((done) => setTimeout(done, watch));
    if (signOf(path) === sign) moveAside(path, text);
  } catch (error) {
    throw fileFault(error, 'cannot hold results', folder);
  }
}

/** When a lock gave its last sign, ms by the clock of whoever keeps the file; null where it is gone. */
const signOf = (path: string): number | null => statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? null;

/** ms, by the clock that dates the lock too. */
function nowBy(path: string): number {
  const probe = `${path}.${randomBytes(6).toString('hex')}`;
  writeFileSync(probe, '', { flag: 'wx' });
  try {
    return statSync(probe).mtimeMs;
  } finally {
    rmSync(probe, { force: true });
  }
}

/** Takes a lock away whose owner is gone. @throws UserError when its owner may be at work */
function takeAsideOrRefuse(path: string, folder: string): void {
  const text = readOrNull(path);
  if (text === null) return;
  const owner = readOwner(text);
  if (owner === null) throw new UserError(`${path}: is not a lock that alight wrote; remove it, or choose another folder with --out`);
  if (!isGone(owner)) {
    const remedy =
      owner.host === self().host
        ? 'wait for its end, or choose another folder with --out'
        : `choose another folder with --out; if that run is gone, its lock holds for ${SILENCE / 60_000} minutes, or remove ${path}`;
    throw new UserError(`${folder}: another run writes here (process ${owner.pid} on ${owner.host}); ${remedy}`);
  }
  moveAside(path, text);
}

/** @param text of the lock that is meant */
function moveAside(path: string, text: string): void {
  // Another run may have found the same: only one of them can rename it, and it must still be the one that was read.
  const aside = `${path}.${randomBytes(6).toString('hex')}`;
  try {
    renameSync(path, aside);
  } catch (error) {
    if (code(error) === 'ENOENT') return;
    throw error;
  }
  const moved = readOrNull(aside);
  if (moved !== null && moved !== text) taken(aside, path, moved);
  rmSync(aside, { force: true });
}

function isGone({ host, pid, started, job }: Owner): boolean {
  const here = self();
  if (host !== here.host) return job !== null && job === here.job;
  try {
    process.kill(pid, 0);
  } catch (error) {
    // Any other fault, such as one of permission, says that it is there.
    return code(error) === 'ESRCH';
  }
  const now = startOf(pid);
  return started !== null && now !== null && started !== now;
}

function self(): Owner {
  const job = process.env.ALIGHT_JOB ?? '';
  return { host: hostname() + space(), pid: process.pid, started: startOf(process.pid), job: job === '' ? null : job };
}

/** The space of process numbers, where it is not the machine's own one. */
function space(): string {
  const found = linkOrNull('/proc/self/ns/pid');
  const first = 'pid:[4026531836]';
  return found === null || found === first ? '' : ` ${found}`;
}

/** Field 22 of /proc/PID/stat, counted after the name, which may hold anything; null where there is no such file. */
function startOf(pid: number): string | null {
  const text = readOrNull(`/proc/${pid}/stat`);
  return text === null ? null : (text.slice(text.lastIndexOf(')') + 2).split(' ')[19] ?? null);
}

function readOwner(text: string): Owner | null {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (error) {
    if (error instanceof SyntaxError) return null;
    throw error;
  }
  if (typeof value !== 'object' || value === null || !('host' in value) || !('pid' in value) || !('started' in value)) return null;
  const { host, pid, started } = value;
  const job = 'job' in value && typeof value.job === 'string' ? value.job : null;
  if (typeof host !== 'string' || typeof pid !== 'number' || !Number.isSafeInteger(pid) || pid < 1) return null;
  return started === null || typeof started === 'string' ? { host, pid, started, job } : null;
}

const code = (error: unknown): string => (error instanceof Error && 'code' in error ? String(error.code) : '');

function readOrNull(path: string): string | null {
  try {
    return readFileSync(path, 'utf8');
  } catch (error) {
    if (['ENOENT', 'ENOTDIR', 'ESRCH', 'EACCES'].includes(code(error))) return null;
    throw error;
  }
}

function linkOrNull(path: string): string | null {
  try {
    return readlinkSync(path);
  } catch (error) {
    if (code(error) !== '') return null;
    throw error;
  }
}
