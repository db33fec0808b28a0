import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { tableFromIPC } from '@uwdata/flechette';
import { expect, test } from 'vitest';
import { UserError } from '../../src/errors.ts';
import { programVersion } from '../../src/results/header.ts';
import { traceCsv, writeTrace } from '../../src/results/traceFile.ts';
import { scratch } from './setUp.ts';

const folder = scratch();
const trace = {
  columns: [
    { key: 'time', unit: 's', meaning: 'from the signal' },
    { key: 'height', unit: 'm', meaning: 'true height' },
    { key: 'a "b", c', unit: '', meaning: 'an odd name' },
  ],
  values: [Float64Array.of(0, 0.1, 0.1 + 0.2), Float64Array.of(-0.5, Number.NaN, 1e-300), Float64Array.of(Number.NaN, 2, 3)],
  metadata: { flight: '17', seed: '0' },
};

test('as CSV: names with units, numbers that read back as the same doubles, missing ones empty', async () => {
  const path = join(folder, 'trace.csv');
  await writeTrace(path, trace);
  expect(readFileSync(path, 'utf8')).toBe('time (s),height (m),"a ""b"", c"\n0,-0.5,\n0.1,,2\n0.30000000000000004,1e-300,3\n');
});

test('as Arrow, read by an independent implementation: values, gaps, units, making', async () => {
  const path = join(folder, 'trace.arrow');
  await writeTrace(path, trace);
  const table = tableFromIPC(readFileSync(path));
  expect([...(table.getChild('time') ?? [])]).toEqual([0, 0.1, 0.1 + 0.2]);
  expect([...(table.getChild('height') ?? [])]).toEqual([-0.5, null, 1e-300]);
  expect([...(table.getChild('a "b", c') ?? [])]).toEqual([null, 2, 3]);
  expect(Object.fromEntries(table.schema.fields[1]?.metadata ?? [])).toEqual({ unit: 'm', meaning: 'true height' });
  expect(Object.fromEntries(table.schema.metadata ?? [])).toEqual({
    'alight.trace': '2',
    'alight.version': programVersion(),
    'alight.flight': '17',
    'alight.seed': '0',
  });
});

test('a trace without a moment is a table without rows', async () => {
  const empty = { ...trace, values: trace.values.map(() => new Float64Array(0)) };
  expect(traceCsv(empty)).toBe('time (s),height (m),"a ""b"", c"\n');
  await writeTrace(join(folder, 'empty.arrow'), empty);
  expect(tableFromIPC(readFileSync(join(folder, 'empty.arrow'))).numRows).toBe(0);
});

test('another ending is refused before anything is written; so are arrays that do not match', async () => {
  const path = join(folder, 'trace.txt');
  await expect(writeTrace(path, trace)).rejects.toThrow(new UserError(`${path}: read the ending '.txt'; expected .arrow or .csv`));
  expect(existsSync(path)).toBe(false);
  await expect(writeTrace(join(folder, 'x.csv'), { ...trace, values: trace.values.slice(1) })).rejects.toThrow(RangeError);
});

test('a place that does not exist is a user error', async () => {
  await expect(writeTrace(join(folder, 'absent', 'trace.csv'), trace)).rejects.toThrow(UserError);
});
