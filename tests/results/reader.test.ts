import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { crc32 } from 'node:zlib';
import { Message, tableFromArrays, tableFromIPC, tableToIPC } from 'apache-arrow';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { UserError } from '../../src/errors.ts';
import { OUTCOMES } from '../../src/flight/outputs.ts';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import { flightColumns, LEADING } from '../../src/results/columns.ts';
import { headerMetadata, programVersion, readHeader } from '../../src/results/header.ts';
import { openFlights } from '../../src/results/reader.ts';
import { LABEL_BYTES, readLabel, writeLabel } from '../../src/results/sections.ts';
import { BATCH_ROWS, FlightsWriter } from '../../src/results/writer.ts';
import { studyHash } from '../../src/study/studyHash.ts';
import { header, made, madeFile, madeRows, scratch } from './setUp.ts';

const folder = scratch();
const total = 8 * BATCH_ROWS + 77;
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
    expect(sizes).toEqual([...Array(8).fill(BATCH_ROWS), 77]);
    expect([...file.outcomes().subarray(0, 15)]).toEqual(Array.from({ length: 15 }, (_, i) => (i + 1) % OUTCOMES.length));
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
    writeFileSync(path, resummed(swapped));
    const file = await openFlights(path);
    const [one, other] = [OUTCOMES.indexOf('landed'), OUTCOMES.indexOf('leaned')];
    const changed = OUTCOMES.map((_, i) => (i === one ? other : i === other ? one : i));
    expect([...file.outcomes().subarray(0, OUTCOMES.length)]).toEqual([...changed.slice(1), changed[0]]);
    await file.close();

    swapped.write('loaned', leaned, 'latin1');
    writeFileSync(path, resummed(swapped));
    expect(await refusal(path)).toBe("column outcome holds 'loaned', which this program does not know");
  });
});

/** The labels' checksums made right again, as if the file had been written so. */
function resummed(bytes: Buffer): Buffer {
  for (let at = 8; ; ) {
    const label = readLabel(bytes.subarray(at, at + LABEL_BYTES));
    if (label === null || label.kind === 'end') return bytes;
    const section = bytes.subarray(at + LABEL_BYTES, at + LABEL_BYTES + label.length);
    writeLabel(bytes.subarray(at), { ...label, sum: crc32(section) });
    at += LABEL_BYTES + label.length;
  }
}

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

  test.each([6, 8, 17, 1000])('that was cut off after %d bytes, before its first flights', async (length) => {
    expect(await refusal(write('cut.arrow', bytes.subarray(0, length)))).toBe(
      'cut short: it ends before its first flights; fly the study again',
    );
  });

  test('whose middle is missing', async () => {
    const torn = Buffer.concat([bytes.subarray(0, 5000), bytes.subarray(bytes.length - 40_000)]);
    expect(await refusal(write('torn.arrow', torn))).toMatch(/^damaged: /);
    expect(await refusal(write('ends.arrow', Buffer.concat([bytes.subarray(0, 8), bytes.subarray(-10)])))).toMatch(
      /^an Arrow file, but not results/,
    );
    // A whole section taken out, so that every checksum is right.
    const second = bytes.indexOf('alight:S', 40_000);
    const third = bytes.indexOf('alight:S', second + 1);
    const less = Buffer.concat([bytes.subarray(0, second), bytes.subarray(third)]);
    expect(await refusal(write('less.arrow', less))).toMatch(/^damaged: it holds \d+ rows, and says 8269/);
  });

  test('of which a block reads as zeros', async () => {
    const zeroed = Buffer.from(bytes);
    zeroed.fill(0, 400_000, 404_096);
    expect(await refusal(write('zeroed.arrow', zeroed))).toMatch(/^damaged: the checksum of what stands after row \d+ is wrong/);
  });

  test('of which any one byte before the table of contents is another, and that at once', async () => {
    // Once read by the Arrow library unchecked, a length among the schema's words kept it counting for minutes.
    const short = join(folder, 'short-whole.arrow');
    madeFile(short, 40);
    const bytes = readFileSync(short);
    const footer = bytes.length - 10 - bytes.readInt32LE(bytes.length - 10);
    // Padding after the magic and the stream's end mark before the table of contents are read by nothing.
    const damage = fc.tuple(
      fc.nat(footer - 9).filter((place) => place !== 6 && place !== 7),
      fc.integer({ min: 1, max: 255 }),
    );
    await fc.assert(
      fc.asyncProperty(damage, async ([place, flip]) => {
        const bad = Buffer.from(bytes);
        bad[place] = (bad[place] as number) ^ flip;
        expect(await refusal(write('byte.arrow', bad))).toMatch(/./);
      }),
      // The magic, the labels and the schema are a small part of the file: some places are looked at for certain.
      { numRuns: 60, examples: [0, 5, 8, 15, 17, 21, 25, 30, 33, 40, 500, 3000].map((place): [[number, number]] => [[place, 0x7f]]) },
    );
  });

  test('that is Arrow but not ours', async () => {
    const foreign = tableToIPC(tableFromArrays({ flight: Int32Array.of(1, 2) }), 'file');
    expect(await refusal(write('foreign.arrow', foreign))).toBe('an Arrow file, but not results of alight');
    const anew = tableToIPC(tableFromIPC(bytes), 'file');
    expect(await refusal(write('anew.arrow', anew))).toMatch(/^results of an older version, or written anew by another program/);
  });

  const headed = (change: (metadata: Map<string, string>) => void): string => {
    const metadata = headerMetadata(header);
    change(metadata);
    try {
      readHeader(metadata, 'x');
    } catch (error) {
      if (error instanceof UserError) return error.message;
      throw error;
    }
    return 'was accepted';
  };

  test('of another format version, with both numbers', () => {
    expect(headed((m) => m.set('alight.format', '3'))).toBe('x: results of version 3; this program reads 2');
  });

  test.each([
    ['study', 'title: Another\n', 'x: damaged: the study in it does not match its hash'],
    ['design', 'grid', 'x: damaged: its header says design "grid"'],
    ['flightsAsked', 'many', 'x: damaged: its header says flightsAsked "many"'],
    ['rules', '{', 'x: damaged: its header says rules "{"'],
    ['rules', '[1]', 'x: damaged: its header says rules "[1]"'],
  ])('whose header says %s %s', (key, value, words) => {
    expect(headed((m) => m.set(`alight.${key}`, value))).toBe(words);
  });

  test('whose header lacks something', () => {
    expect(headed((m) => m.delete('alight.seed'))).toBe('x: damaged: its header lacks seed');
  });

  test.each([Number.POSITIVE_INFINITY, -1e300])('that holds %f, when its column is asked for', async (number) => {
    const path = join(folder, 'infinite.arrow');
    const writer = FlightsWriter.create(path, header);
    const rows = madeRows(1, 3);
    rows.columns[(CATALOGUE.length + 2) * 3 + 1] = number;
    writer.append(rows);
    writer.finish();
    expect(await refusal(path, (file) => file.number('sink'))).toBe('damaged: column sink holds what is no number');
  });

  test.each([
    ['goes backwards', -64n],
    ['goes beyond its section', 2n ** 40n],
    ['is beyond all numbers', 2n ** 62n],
  ])('whose batch, its checksum made right, has a length that %s', async (_, length) => {
    const forged = Buffer.from(bytes);
    let at = 8;
    for (let section = 0; section < 2; section++) at += LABEL_BYTES + (readLabel(forged.subarray(at, at + LABEL_BYTES))?.length ?? 0);
    at += LABEL_BYTES;
    // The message's own table: marker, its length, then the table itself.
    const table = forged.subarray(at + 8, at + 8 + forged.readInt32LE(at + 4));
    const written = Buffer.alloc(8);
    written.writeBigInt64LE(BigInt(Message.decode(table).bodyLength));
    const place = table.indexOf(written);
    expect(place).toBeGreaterThan(0);
    table.writeBigInt64LE(length, place);
    expect(await refusal(write('length.arrow', resummed(forged)))).toMatch(
      /^damaged: (what stands after row \d+ is longer than its section|what it holds cannot be read \(.+\)); fly the study again$/,
    );
  });

  test('whose batch has more rows than values, before room is made for them', async () => {
    const forged = Buffer.from(bytes);
    let at = 8;
    for (let section = 0; section < 2; section++) at += LABEL_BYTES + (readLabel(forged.subarray(at, at + LABEL_BYTES))?.length ?? 0);
    const label = readLabel(forged.subarray(at, at + LABEL_BYTES));
    if (label === null) throw new Error('no section');
    const table = forged.subarray(at + LABEL_BYTES + 8, at + LABEL_BYTES + 8 + forged.readInt32LE(at + LABEL_BYTES + 4));
    const rows = 2 ** 31;
    const written = Buffer.alloc(8);
    written.writeBigInt64LE(BigInt(BATCH_ROWS));
    for (let place = table.indexOf(written); place >= 0; place = table.indexOf(written, place + 1))
      table.writeBigInt64LE(BigInt(rows), place);
    writeLabel(forged.subarray(at), { ...label, rows });
    expect(await refusal(write('rows.arrow', resummed(forged)))).toMatch(/^damaged: the batch after row \d+ has fewer values than rows/);
  });

  test('that is a pipe, without waiting for a writer', async () => {
    const pipe = join(folder, 'pipe.arrow');
    execFileSync('mkfifo', [pipe]);
    expect(await refusal(pipe)).toMatch(/^is no ordinary file/);
  });
});

test('words of the header come printable: no escape sequence of a file one was given reaches a terminal', () => {
  const metadata = headerMetadata({ ...header, title: 'A\u001b[2J\nB', rules: ['a\u0007'], overrides: ['x=\u202e'] });
  expect(readHeader(metadata, 'x')).toMatchObject({ title: 'A\\u001b[2J\\u000aB', rules: ['a\\u0007'], overrides: ['x=\\u202e'] });
});

describe('a file whose end is missing', () => {
  const bytes = readFileSync(whole);

  test.each([0.2, 0.5, 0.9, 0.999])('is read up to its last whole batch: %d of it', async (share) => {
    const path = join(folder, `cut-${share}.arrow`);
    writeFileSync(path, bytes.subarray(0, Math.floor(share * bytes.length)));
    const file = await openFlights(path);
    expect(file.whole).toBe(false);
    expect(file.rows).toBeGreaterThan(share * total - 2 * BATCH_ROWS);
    expect(file.rows).toBeLessThanOrEqual(total);
    expect([...file.number('flight')]).toEqual(Array.from({ length: file.rows }, (_, i) => i + 1));
    expect(file.header.title).toBe(header.title);
    await file.close();
  });

  test('a whole one says that it is', async () => {
    const file = await openFlights(whole);
    expect(file.whole).toBe(true);
    await file.close();
  });
});
