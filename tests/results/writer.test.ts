import { existsSync, readdirSync, readFileSync, symlinkSync, writeFileSync, writevSync } from 'node:fs';
import { join } from 'node:path';
import { tableFromIPC } from '@uwdata/flechette';
import { describe, expect, test } from 'vitest';
import { UserError } from '../../src/errors.ts';
import { NO_RESULT_REASONS, OUTCOMES, OUTPUTS } from '../../src/flight/outputs.ts';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import { flightColumns, LEADING } from '../../src/results/columns.ts';
import { programVersion } from '../../src/results/header.ts';
import { openFlights } from '../../src/results/reader.ts';
import { BATCH_ROWS, FlightsWriter } from '../../src/results/writer.ts';
import { studyHash } from '../../src/study/studyHash.ts';
import { header, made, madeFile, madeRows, ROW_LENGTH, scratch } from './setUp.ts';

const folder = scratch();

describe('a flights file read by an independent Arrow implementation (flechette)', () => {
  const total = 2 * BATCH_ROWS + 77;
  const path = join(folder, 'whole.arrow');
  madeFile(path, total, [64]);
  const table = tableFromIPC(readFileSync(path));

  test('has every column of the two tables, in their order, and every row', () => {
    expect(table.numRows).toBe(total);
    expect(table.schema.fields.map((f) => f.name)).toEqual([
      'flight',
      'rule',
      ...CATALOGUE.map((r) => r.key),
      ...OUTPUTS.map((r) => r.key),
    ]);
    expect(new Set(table.schema.fields.map((f) => f.name)).size).toBe(LEADING + ROW_LENGTH);
  });

  test('holds every number bit for bit, yes/no as such, labels as text, and null where something did not happen', () => {
    let nulls = 0;
    flightColumns(header.rules).forEach((column, place) => {
      const values = [...(table.getChild(column.key) ?? [])] as unknown[];
      expect(values.length).toBe(total);
      const wrong = values.findIndex((value, i) => {
        if (place === 0) return value !== i + 1;
        if (place === 1) return value !== 'fixed height';
        const number = made(i + 1, place - LEADING);
        if (column.key === 'outcome') return value !== OUTCOMES[number];
        if (column.key === 'noResultReason') return value !== NO_RESULT_REASONS[number];
        if (Number.isNaN(number)) {
          nulls++;
          return value !== null;
        }
        return column.type === 'yesNo' ? value !== (number === 1) : !Object.is(value, number);
      });
      expect(`${column.key}: first wrong row ${wrong}`).toBe(`${column.key}: first wrong row -1`);
    });
    expect(nulls).toBeGreaterThan(total);
  });

  test('says of each column its kind, unit and meaning, and of an input its group', () => {
    const field = (name: string) => table.schema.fields.find((f) => f.name === name);
    expect(Object.fromEntries(field('wind.speed')?.metadata ?? [])).toEqual({
      kind: 'input',
      unit: 'm/s',
      meaning: 'mean wind at 10 m',
      group: 'wind',
    });
    expect(Object.fromEntries(field('contacts')?.metadata ?? [])).toEqual({
      kind: 'output',
      unit: '',
      meaning: 'times the vehicle touched the ground',
    });
    expect(field('sink')?.nullable).toBe(true);
    expect(field('wind.speed')?.nullable).toBe(false);
    expect(field('outcome')?.nullable).toBe(false);
  });

  test('says how it was made', () => {
    expect(Object.fromEntries(table.schema.metadata ?? [])).toEqual({
      'alight.format': '2',
      'alight.version': programVersion(),
      'alight.title': header.title,
      'alight.study': header.study,
      'alight.studyHash': studyHash(header.study),
      'alight.seed': '0',
      'alight.design': 'latinHypercube',
      'alight.flightsAsked': '10000',
      'alight.firstFlight': '1',
      'alight.rules': '["fixed height","speed curve"]',
      'alight.overrides': '["wind.speed=3 m/s"]',
    });
    expect(programVersion()).toMatch(/^\d+\.\d+\.\d+/);
    // sha256 of "abc": FIPS 180-4 example, from memory.
    expect(studyHash('abc')).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
  });
});

test('a file without flights is whole: all columns, no rows', () => {
  const path = join(folder, 'none.arrow');
  FlightsWriter.create(path, header).finish();
  const table = tableFromIPC(readFileSync(path));
  expect(table.numRows).toBe(0);
  expect(table.numCols).toBe(LEADING + ROW_LENGTH);
});

test('a batch of which every value of a column is missing is read back as missing', () => {
  const path = join(folder, 'missing.arrow');
  const writer = FlightsWriter.create(path, header);
  const rows = madeRows(1, 10);
  const outputs = CATALOGUE.length + 2;
  rows.columns.fill(Number.NaN, 10 * outputs);
  writer.append(rows);
  writer.finish();
  const table = tableFromIPC(readFileSync(path));
  for (const row of OUTPUTS.slice(2)) expect([...(table.getChild(row.key) ?? [])]).toEqual(Array(10).fill(null));
});

test('the bytes do not depend on the pieces in which rows come', () => {
  const total = BATCH_ROWS + 1234;
  const read = (name: string, pieces: number[]) => {
    madeFile(join(folder, name), total, pieces);
    return readFileSync(join(folder, name));
  };
  const one = read('a.arrow', [64]);
  expect(read('b.arrow', [1, 7, 1000]).equals(one)).toBe(true);
  expect(read('c.arrow', [total]).equals(one)).toBe(true);
  expect(read('d.arrow', [BATCH_ROWS]).equals(one)).toBe(true);
});

test('several rules share a file; each begins again at the first flight', () => {
  const path = join(folder, 'rules.arrow');
  const writer = FlightsWriter.create(path, header);
  writer.append(madeRows(1, 3));
  writer.append(madeRows(1, 2), 'speed curve');
  writer.append(madeRows(3, 1), 'speed curve');
  expect(writer.rows).toBe(6);
  expect(writer.finish()).toBe(6);
  const table = tableFromIPC(readFileSync(path));
  expect([...(table.getChild('flight') ?? [])]).toEqual([1, 2, 3, 1, 2, 3]);
  expect([...(table.getChild('rule') ?? [])]).toEqual([...Array(3).fill('fixed height'), ...Array(3).fill('speed curve')]);
});

describe('a writer refuses', () => {
  const begin = (name: string) => FlightsWriter.create(join(folder, name), header);

  test('flights out of order, missing or twice', () => {
    const writer = begin('order.arrow');
    writer.append(madeRows(1, 3));
    expect(() => writer.append(madeRows(5, 1))).toThrow('flight 5 came; expected 4');
    expect(() => writer.append(madeRows(3, 1))).toThrow('flight 3 came; expected 4');
    expect(() => writer.append(madeRows(1, 1), 'no such')).toThrow('rule no such is not in the header');
    writer.abort();
  });

  test.each([
    ['an input that is not a number', 0, Number.NaN, 'not a number'],
    ['an outcome without a name', CATALOGUE.length, OUTCOMES.length, `outcome: ${OUTCOMES.length} is no label`],
    ['half a contact', CATALOGUE.length + OUTPUTS.findIndex((r) => r.key === 'contacts'), 0.5, 'contacts: 0.5 is no count'],
    ['a yes of 2', CATALOGUE.length + OUTPUTS.findIndex((r) => r.key === 'casingLeft'), 2, 'casingLeft: 2 is no yesNo'],
  ])('%s', (_, column, value, message) => {
    const writer = begin('number.arrow');
    const rows = madeRows(1, 1);
    rows.columns[column] = value;
    expect(() => writer.append(rows)).toThrow(message);
    writer.abort();
    expect(existsSync(join(folder, 'number.arrow.part'))).toBe(false);
  });

  test('rows of another length, and rules that are none or twice the same', () => {
    const writer = begin('length.arrow');
    expect(() => writer.append({ first: 1, count: 1, columns: new Float64Array(ROW_LENGTH - 1) })).toThrow('expected');
    writer.abort();
    expect(() => FlightsWriter.create(join(folder, 'r.arrow'), { ...header, rules: [] })).toThrow(RangeError);
    expect(() => FlightsWriter.create(join(folder, 'r.arrow'), { ...header, rules: ['a', 'a'] })).toThrow(RangeError);
  });

  test('work after its end', () => {
    const writer = begin('end.arrow');
    writer.finish();
    expect(() => writer.append(madeRows(1, 1))).toThrow('already finished');
    expect(() => writer.finish()).toThrow('already finished');
    writer.abort();
    expect(existsSync(join(folder, 'end.arrow'))).toBe(true);
  });
});

describe('when the disk fails', () => {
  /**
   * A disk with room for so many bytes, which then answers as a full one does; it also takes fewer bytes than asked, as
   * disks may.
   */
  const small = (room: number, code = 'ENOSPC') => {
    let left = room;
    return (fd: number, pieces: readonly Uint8Array[]): number => {
      if (left <= 0) throw Object.assign(new Error(`${code}: write`), { code });
      const piece = (pieces[0] as Uint8Array).subarray(0, Math.min(left, 1000));
      const written = writevSync(fd, [piece]);
      left -= written;
      return written;
    };
  };

  test.each([
    ['ENOSPC', 'the disk is full'],
    ['EDQUOT', 'your disk quota is used up'],
    ['EIO', 'the disk reports a read or write error'],
  ])('%s is said clearly, what was flown stays and can be read, and an older file stays', async (code, words) => {
    const path = join(folder, `full-${code}.arrow`);
    madeFile(path, 5);
    const before = readFileSync(path);
    const writer = FlightsWriter.create(path, header, small(3_000_000, code));
    let caught: unknown;
    try {
      for (let first = 1; ; first += 512) writer.append(madeRows(first, 512));
    } catch (error) {
      caught = error;
    }
    expect(caught).toBeInstanceOf(UserError);
    const [fault, kept] = (caught as UserError).problems;
    expect(fault).toContain(words);
    expect(fault).toContain(path);
    expect(readFileSync(path).equals(before)).toBe(true);
    const rows = Number(/the first (\d+) rows are kept there/.exec(kept)?.[1]);
    expect(rows).toBeGreaterThan(0);
    expect(rows % BATCH_ROWS).toBe(0);
    const file = await openFlights(`${path}.part`);
    expect([file.rows, file.whole]).toEqual([rows, false]);
    expect(Object.is(file.number('sink')[rows - 1], made(rows, CATALOGUE.length + 2))).toBe(true);
    await file.close();
  });

  test('nothing is left where no batch was written yet', () => {
    const path = join(folder, 'early-full.arrow');
    const writer = FlightsWriter.create(path, header, small(100_000));
    expect(() => {
      for (let first = 1; ; first += 512) writer.append(madeRows(first, 512));
    }).toThrow('the disk is full');
    expect(readdirSync(folder).some((name) => name.startsWith('early-full'))).toBe(false);
  });

  test('also when only the end does not fit', () => {
    const path = join(folder, 'end-full.arrow');
    const writer = FlightsWriter.create(path, header, small(10));
    writer.append(madeRows(1, 10));
    expect(() => writer.finish()).toThrow(UserError);
    expect(readdirSync(folder).some((name) => name.startsWith('end-full'))).toBe(false);
  });

  test('fewer bytes written than asked are not lost', () => {
    const path = join(folder, 'slow.arrow');
    const writer = FlightsWriter.create(path, header, small(Number.POSITIVE_INFINITY));
    writer.append(madeRows(1, 100));
    writer.finish();
    madeFile(join(folder, 'fast.arrow'), 100);
    expect(readFileSync(path).equals(readFileSync(join(folder, 'fast.arrow')))).toBe(true);
  });

  test('a fault of ours stays what it is', () => {
    const path = join(folder, 'ours.arrow');
    const writer = FlightsWriter.create(path, header, () => {
      throw new TypeError('ours');
    });
    writer.append(madeRows(1, 1));
    expect(() => writer.finish()).toThrow(TypeError);
  });
});

test.each([
  ['a folder that does not exist', 'absent/flights.arrow', 'it does not exist'],
  ['a file as folder', 'whole.arrow/flights.arrow', 'a part of that path is a file, not a folder'],
])('%s is a user error', (_, name, words) => {
  expect(() => FlightsWriter.create(join(folder, name), header)).toThrow(UserError);
  expect(() => FlightsWriter.create(join(folder, name), header)).toThrow(words);
});

test('what goes by the temporary name already is neither followed nor overwritten', () => {
  const path = join(folder, 'planted.arrow');
  const victim = join(folder, 'victim.txt');
  writeFileSync(victim, 'mine');
  symlinkSync(victim, `${path}.part`);
  expect(() => FlightsWriter.create(path, header)).toThrow('something of that name is already there');
  expect(readFileSync(victim, 'utf8')).toBe('mine');
});
