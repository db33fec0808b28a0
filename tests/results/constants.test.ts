import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { tableFromIPC } from '@uwdata/flechette';
import { describe, expect, test } from 'vitest';
import { inputIndex } from '../../src/inputs/catalogue.ts';
import { openFlights } from '../../src/results/reader.ts';
import { BATCH_ROWS, FlightsWriter } from '../../src/results/writer.ts';
import { header, made, madeFile, madeRows, scratch } from './setUp.ts';

const folder = scratch();
const total = BATCH_ROWS + 9;

/** The made-up rows with one input the same in each. */
function rows(first: number, count: number, value: number) {
  const batch = madeRows(first, count);
  batch.columns.fill(value, inputIndex('wind.speed') * count, (inputIndex('wind.speed') + 1) * count);
  return batch;
}

describe('an input that is the same on every flight is stored once', () => {
  const path = join(folder, 'constant.arrow');
  const writer = FlightsWriter.create(path, { ...header, constants: { 'wind.speed': 2.1 } });
  writer.append(rows(1, total, 2.1));
  writer.finish();
  const table = tableFromIPC(readFileSync(path));

  test('an independent Arrow implementation (flechette) reads it in every row, and its neighbours as before', () => {
    expect([...(table.getChild('wind.speed') ?? [])]).toEqual(new Array(total).fill(2.1));
    expect([...(table.getChild('wind.direction') ?? [])].slice(0, 3)).toEqual([1, 2, 3].map((f) => made(f, inputIndex('wind.direction'))));
  });

  test('and so does our reader, whole or by batch', async () => {
    const file = await openFlights(path);
    expect([...file.number('wind.speed')]).toEqual(new Array(total).fill(2.1));
    const starts = [...file.batches(['wind.speed'])].map(({ start, columns }) => [start, columns[0][0]]);
    expect(starts).toEqual([
      [0, 2.1],
      [BATCH_ROWS, 2.1],
    ]);
    await file.close();
  });

  test('it takes about seven bytes a row less than a column of numbers', () => {
    const whole = join(folder, 'whole.arrow');
    madeFile(whole, total);
    const saved = readFileSync(whole).length - readFileSync(path).length;
    expect(saved / total).toBeGreaterThan(6.5);
    expect(saved / total).toBeLessThan(7.5);
  });

  test('a row that differs is a fault of ours, not silently lost', () => {
    const other = FlightsWriter.create(join(folder, 'other.arrow'), { ...header, constants: { 'wind.speed': 2.1 } });
    expect(() => other.append(rows(1, 3, 2.2))).toThrow(RangeError);
    other.abort();
  });
});
