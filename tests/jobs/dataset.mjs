/**
 * A folder of parts read by another program as one dataset, without joining: nodejs-polars scans the flights.arrow of all part-* folders and finds the
 * flights of one run. `.ci/jobs` installs that package apart and runs this: `node tests/jobs/dataset.mjs FOLDER_WITH_THE_PACKAGE`.
 */
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';

const pl = createRequire(join(resolve(process.argv[2]), 'package.json'))('nodejs-polars');
const folder = mkdtempSync(join(tmpdir(), 'alight-dataset-'));
const fly = (...options) =>
  execFileSync(
    process.execPath,
    [resolve('dist/run/alight.js'), 'fly', resolve('studies/thistledown.yaml'), '--flights', '300', '--json', ...options],
    {
      cwd: folder,
      stdio: 'pipe',
    },
  );
for (const part of [3, 1, 2]) fly('--part', `${part}/3`, '--out', `part-${part}`);
fly('--out', 'whole');
const all = pl
  .scanIPC(join(folder, 'part-*', 'flights.arrow'))
  .sort('flight')
  .collectSync();
const one = pl.readIPC(readFileSync(join(folder, 'whole', 'flights.arrow')));
assert.equal(all.height, 300);
assert.ok(all.frameEqual(one));
rmSync(folder, { recursive: true });
process.stdout.write(`three parts scanned as one dataset: ${all.height} flights, ${all.width} columns, the same as one run\n`);
