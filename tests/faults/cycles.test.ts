/** Opened and closed over and over, folders and sessions leave nothing held; `cycles.mjs` does it 5,000 times. */
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { expect, test } from 'vitest';

test.runIf(existsSync('/proc/self/fd'))('files, threads, listeners, timers and memory do not grow', () => {
  const { status, stdout, stderr } = spawnSync(process.execPath, ['--expose-gc', 'tests/faults/cycles.mjs', '60', '4'], {
    encoding: 'utf8',
  });
  expect([status, stderr]).toEqual([0, '']);
  expect(stdout).toContain('nothing grows');
});
