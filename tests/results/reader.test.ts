import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { tableFromArrays, tableFromIPC, tableToIPC } from 'apache-arrow';
import { describe, expect, test } from 'vitest';
import { UserError } from '../../src/errors.ts';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import { flightColumns, LEADING } from '../../src/results/columns.ts';
import { programVersion, studyHash } from '../../src/results/header.ts';
import { openFlights } from '../../src/results/reader.ts';
import { BATCH_ROWS, FlightsWriter } from '../../src/results/writer.ts';
import { header, made, madeFile, madeRows, scratch } from './setUp.ts';

const folder = scratch();
const total = 2 * BATCH_ROWS + 77;
const whole = join(folder, 'whole.arrow');
madeFile(whole, total);

/** The one line with which a file is refused. */
async function refusal(path: string, use?: (file: Awaited<ReturnType<typeof openFlights>>) => unknown): Promise<string> {
  try {
    const file = await openFlights(path);
    try {
      use?.(file);
    } finally {
      await file.close();
    }
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
    expect(error.problems).toHaveLength(1);
    expect(error.message.startsWith(`${path}: `)).toBe(true);
    return error.message.slice(path.length + 2);
  }
  throw new Error('the file was taken');
}

describe('a flights file read back', () => {
  test('gives every number of every column bit for bit, NaN for missing', async () => {
    const file = await openFlights(whole);
    expect(file.rows).toBe(total);
    const columns = flightColumns(header.rules);
    file.numbers(columns.map((c) => c.key)).forEach((values, place) => {
      const wrong = values.findIndex((value, i) => {
        const want = place === 0 ? i + 1 : place === 1 ? 0 : made(i + 1, place - LEADING);
        return !Object.is(value, want);
      });
      expect(`${columns[place]?.key}: first wrong row ${wrong}`).toBe(`${columns[place]?.key}: first wrong row -1`);
    });
    await file.close();
  });

  test('gives the header with the hash of the study and the program', async () => {
    const file = await openFlights(whole);
    expect(file.header).toEqual({ ...header, studyHash: studyHash(header.study), programVersion: programVersion() });
    await file.close();
  });

  test('gives outcomes and reasons as places in the tables, and streams in order', async () => {
    const file = await openFlights(whole);
    const sizes: number[] = [];
    let at = 0;
    for (const { start, count, columns } of file.batches(['sink', 'flight'])) {
      expect(start).toBe(at);
      expect(columns.map((c) => c.length)).toEqual([count, count]);
      expect(columns[1]?.[0]).toBe(start + 1);
      expect(Object.is(columns[0]?.[3], made(start + 4, CATALOGUE.length + 2))).toBe(true);
      sizes.push(count);
      at += count;
    }
    expect(sizes).toEqual([BATCH_ROWS, BATCH_ROWS, 77]);
    expect([...file.outcomes().subarray(0, 15)]).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 0, 1, 2]);
    expect([...file.reasons().subarray(0, 7)]).toEqual([1, 2, 3, 4, 5, 0, 1]);
    await file.close();
  });

  test('tells the rules apart', async () => {
    const path = join(folder, 'rules.arrow');
    const writer = FlightsWriter.create(path, header);
    writer.append(madeRows(1, 2));
    writer.append(madeRows(1, 1), 'speed curve');
    writer.finish();
    const file = await openFlights(path);
    expect([...file.rules()]).toEqual([0, 0, 1]);
    await file.close();
  });

  test('may hold no flight at all', async () => {
    const path = join(folder, 'none.arrow');
    FlightsWriter.create(path, header).finish();
    const file = await openFlights(path);
    expect(file.rows).toBe(0);
    expect(file.number('sink')).toEqual(new Float64Array(0));
    expect(file.outcomes()).toEqual(new Uint8Array(0));
    await file.close();
  });

  test('labels are read by their text, not by their number; an unknown one is refused', async () => {
    // As another program might list the outcomes: two of equal length change places, the numbers in the rows stay.
    const swapped = Buffer.from(readFileSync(whole));
    const landed = swapped.indexOf('landedoutside the field');
    const leaned = swapped.indexOf('leanedleg gave way');
    expect(landed).toBeGreaterThan(0);
    expect(leaned).toBeGreaterThan(landed);
    swapped.write('leaned', landed, 'latin1');
    swapped.write('landed', leaned, 'latin1');
    const path = join(folder, 'swapped.arrow');
    writeFileSync(path, swapped);
    const file = await openFlights(path);
    expect([...file.outcomes().subarray(0, 13)]).toEqual([10, 2, 3, 4, 5, 6, 7, 8, 9, 1, 11, 12, 0]);
    await file.close();

    swapped.write('loaned', leaned, 'latin1');
    writeFileSync(path, swapped);
    expect(await refusal(path)).toBe("column outcome holds 'loaned', which this program does not know");
  });
});

describe('a file is refused with one line', () => {
  const write = (name: string, data: Uint8Array | string) => {
    const path = join(folder, name);
    writeFileSync(path, data);
    return path;
  };
  const bytes = readFileSync(whole);

  test('that is not there, or a folder', async () => {
    expect(await refusal(join(folder, 'absent.arrow'))).toBe('cannot read: it does not exist');
    expect(await refusal(folder)).toMatch(/it is a folder/);
  });

  test('that is empty', async () => {
    expect(await refusal(write('empty.arrow', ''))).toBe('is empty');
  });

  test('that is no Arrow file', async () => {
    expect(await refusal(write('text.arrow', 'flight,sink\n1,0.5\n'))).toBe('not an Arrow file');
    expect(await refusal(write('short.arrow', 'AR'))).toBe('not an Arrow file');
  });

  test.each([6, 8, 17, 1000, bytes.length / 2, bytes.length - 1])('that was cut off after %d bytes', async (length) => {
    expect(await refusal(write('cut.arrow', bytes.subarray(0, length)))).toBe('cut short: its end is missing; fly the study again');
  });

  test('whose middle is missing', async () => {
    const torn = Buffer.concat([bytes.subarray(0, 5000), bytes.subarray(bytes.length - 40_000)]);
    expect(await refusal(write('torn.arrow', torn))).toMatch(/^damaged: /);
    expect(await refusal(write('ends.arrow', Buffer.concat([bytes.subarray(0, 8), bytes.subarray(-10)])))).toMatch(/^damaged: /);
  });

  test('that is Arrow but not ours', async () => {
    const foreign = tableToIPC(tableFromArrays({ flight: Int32Array.of(1, 2) }), 'file');
    expect(await refusal(write('foreign.arrow', foreign))).toBe('an Arrow file, but not results of alight');
  });

  test('of another format version, with both numbers', async () => {
    const table = tableFromIPC(bytes);
    table.schema.metadata.set('alight.format', '3');
    expect(await refusal(write('version.arrow', tableToIPC(table, 'file')))).toBe('results of version 3; this program reads 1');
  });

  test.each([
    ['study', 'title: Another\n', 'damaged: the study in it does not match its hash'],
    ['design', 'grid', 'damaged: its header says design "grid"'],
    ['flightsAsked', 'many', 'damaged: its header says flightsAsked "many"'],
    ['rules', '{', 'damaged: its header says rules "{"'],
    ['rules', '[1]', 'damaged: its header says rules "[1]"'],
  ])('whose header says %s %s', async (key, value, words) => {
    const table = tableFromIPC(bytes);
    table.schema.metadata.set(`alight.${key}`, value);
    expect(await refusal(write('header.arrow', tableToIPC(table, 'file')))).toBe(words);
  });

  test('whose header lacks something', async () => {
    const table = tableFromIPC(bytes);
    table.schema.metadata.delete('alight.seed');
    expect(await refusal(write('lacks.arrow', tableToIPC(table, 'file')))).toBe('damaged: its header lacks seed');
  });

  test('that lacks a column, when that is asked for', async () => {
    const less = tableFromIPC(bytes).select(['flight', 'outcome']);
    const path = write('less.arrow', tableToIPC(less, 'file'));
    const file = await openFlights(path);
    expect([file.has('outcome'), file.has('sink')]).toEqual([true, false]);
    expect(file.outcomes()[0]).toBe(1);
    await file.close();
    expect(await refusal(path, (f) => f.number('sink'))).toBe(`has no column sink; it was written by alight ${programVersion()}`);
  });
});
