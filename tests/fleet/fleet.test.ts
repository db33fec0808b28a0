import { afterAll, describe, expect, test } from 'vitest';
import { UserError } from '../../src/errors.ts';
import type { Work } from '../../src/fleet/work.ts';
import { NO_RESULT_REASONS, OUTCOMES, outputIndex } from '../../src/flight/outputs.ts';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import { bytes, flown, ROW_LENGTH, standInFleet, told } from './setUp.ts';

const fleet = standInFleet();
afterAll(() => fleet.close());

describe('rows are handed over', () => {
  test('strictly in flight order, each flight once, from the first asked for', async () => {
    const { report, rows, batches } = await flown(fleet, told({ uneven: 1 }), 333, { first: 18 });
    expect(report).toMatchObject({ flown: 333, stoppedBy: 'limit', lost: [] });
    expect(rows).toHaveLength(333);
    expect(batches[0]?.first).toBe(18);
    // The stand-in's number for flight 18, column 0, by its own formula.
    expect(rows[0]?.[0]).toBe(Math.sin(18 * 12.9898));
    expect(rows[332]?.[1]).toBe(Math.sin(350 * 12.9898 + 78.233));
    expect(report.seconds).toBeGreaterThan(0);
  });

  test('the same to the last bit for 1, 2 and 5 threads and odd chunks', async () => {
    const expected = bytes((await flown(fleet, told(), 1000)).rows);
    for (const [threads, chunk] of [
      [1, 1000],
      [1, 7],
      [2, 1],
      [5, 13],
      [5, 64],
    ] as const) {
      const other = standInFleet({ threads, chunk });
      const { rows } = await flown(other, told({ uneven: chunk === 13 ? 1 : 0 }), 1000);
      await other.close();
      expect(other.threads).toBe(threads);
      expect(bytes(rows).equals(expected)).toBe(true);
    }
  });

  test('with its study, and one preparation a thread for one work', async () => {
    const study = await flown(fleet, told({ showStudy: 1 }), 3);
    expect(study.rows.map((r) => r[0])).toEqual([4321, 4321, 4321]);
    const single = standInFleet({ threads: 1, chunk: 2 });
    const variation = told({ showKit: 1 });
    expect((await flown(single, variation, 6)).rows.map((r) => r[0])).toEqual([1, 1, 1, 1, 1, 1]);
    expect((await flown(single, variation, 2)).rows.map((r) => r[0])).toEqual([1, 1]);
    // More variations than a worker keeps: the first is prepared again, the last is not.
    const many = Array.from({ length: 9 }, () => told({ showKit: 1 }));
    for (const [i, v] of many.entries()) expect((await flown(single, v, 1)).rows[0]?.[0]).toBe(2 + i);
    expect((await flown(single, many[8] as (typeof many)[number], 1)).rows[0]?.[0]).toBe(10);
    expect((await flown(single, variation, 1)).rows[0]?.[0]).toBe(11);
    await single.close();
  });

  test('of several studies by turns, each with its own; also more than a thread keeps', async () => {
    const works = Array.from({ length: 12 }, (_, i) => told({ showStudy: 1 }, { flights: 100 + i }));
    for (let turn = 0; turn < 3; turn++) {
      for (const [i, work] of works.entries()) expect((await flown(fleet, work, 3)).rows.map((r) => r[0])).toEqual(Array(3).fill(100 + i));
    }
  });

  test('of units that have several rows, or none', async () => {
    const work: Work = {
      name: 'handfuls',
      kind: 'handfuls',
      study: {},
      variation: { throws: 6 },
      rowLength: 2,
      lostRow: (unit, row) => row.set([unit, -1]),
    };
    for (const [threads, chunk] of [
      [1, 100],
      [2, 3],
    ] as const) {
      const other = standInFleet({ threads, chunk });
      const rows: number[][] = [];
      const rowsOf: number[] = [];
      const report = await other.fly({
        work,
        stop: { limit: 9, checkEvery: null, enough: () => false },
        stopSignal: new AbortController().signal,
        onBatch: (batch) => {
          rowsOf.push(...batch.rowsOf);
          const total = batch.columns.length / 2;
          for (let r = 0; r < total; r++) rows.push([batch.columns[r], batch.columns[total + r]]);
        },
      });
      await other.close();
      // Unit 6 would have had two rows: lost, it has the one that stands in for it.
      expect(rowsOf).toEqual([1, 2, 3, 0, 1, 1, 3, 0, 1]);
      const expected = rowsOf.flatMap((count, i) => Array.from({ length: count }, (_, r) => [i + 1, i === 5 ? -1 : r]));
      expect(rows).toEqual(expected);
      expect(report.lost).toEqual([{ flight: 6, reason: 'unit 6 went wrong' }]);
    }
  });

  test('of several runs at a time, each its own', async () => {
    const [a, b] = await Promise.all([flown(fleet, told(), 200), flown(fleet, told(), 100, { first: 101 })]);
    expect(a?.rows).toHaveLength(200);
    expect(bytes(b?.rows ?? []).equals(bytes(a?.rows.slice(100) ?? []))).toBe(true);
  });

  test('none, when none are asked for', async () => {
    const { report, rows } = await flown(fleet, told(), 0);
    expect(report).toMatchObject({ flown: 0, stoppedBy: 'limit' });
    expect(rows).toEqual([]);
  });

  test('without a warning, on many threads', async () => {
    const warnings: string[] = [];
    const note = (warning: Error) => warnings.push(warning.message);
    process.on('warning', note);
    const other = standInFleet({ threads: 8, chunk: 1 });
    await flown(other, told(), 200);
    await other.close();
    process.off('warning', note);
    expect(warnings).toEqual([]);
  });

  test('thousands of small runs reuse the threads', async () => {
    for (let i = 0; i < 2000; i++) expect((await flown(fleet, told(), 2)).report.flown).toBe(2);
  });
});

describe('the stopping rule', () => {
  const stopAt = (limit: number, checkEvery: number, at: number, asked: number[]) => ({
    stop: {
      limit,
      checkEvery,
      enough: (done: number) => {
        asked.push(done);
        return done >= at;
      },
    },
  });

  test('is asked at whole multiples only, after exactly that many flights, whatever threads, chunks and timing', async () => {
    for (const [threads, chunk] of [
      [1, 64],
      [2, 30],
      [5, 7],
    ] as const) {
      const other = standInFleet({ threads, chunk });
      const asked: number[] = [];
      let handed = 0;
      const rule = stopAt(10_000, 50, 150, asked);
      const { report, rows } = await flown(other, told({ uneven: 1 }), 10_000, {
        stop: {
          ...rule.stop,
          enough: (done) => {
            expect(handed).toBe(done);
            return rule.stop.enough(done);
          },
        },
        onBatch: (batch) => {
          handed += batch.count;
        },
      });
      await other.close();
      expect(asked).toEqual([50, 100, 150]);
      expect(report).toMatchObject({ flown: 150, stoppedBy: 'enough' });
      expect(rows).toHaveLength(150);
    }
  });

  test('is not asked at a limit that is no multiple, and says "enough" at one that is', async () => {
    const asked: number[] = [];
    expect((await flown(fleet, told(), 70, stopAt(70, 50, 1000, asked))).report).toMatchObject({ flown: 70, stoppedBy: 'limit' });
    expect(asked).toEqual([50]);
    expect((await flown(fleet, told(), 100, stopAt(100, 50, 100, asked))).report).toMatchObject({ flown: 100, stoppedBy: 'enough' });
    expect((await flown(fleet, told(), 100, stopAt(100, 50, 1000, asked))).report).toMatchObject({ flown: 100, stoppedBy: 'limit' });
  });

  test.each([
    ['limit', { limit: -1, checkEvery: null }],
    ['limit', { limit: 1.5, checkEvery: null }],
    ['checkEvery', { limit: 10, checkEvery: 0 }],
  ])('refuses a %s out of range', async (name, stop) => {
    await expect(flown(fleet, told(), 1, { stop: { ...stop, enough: () => true } })).rejects.toThrow(`${name}: read`);
  });
});

describe('an interrupted run', () => {
  test('keeps a whole prefix, the same bits as a run that was not', async () => {
    const stop = new AbortController();
    const whole = await flown(fleet, told(), 2000);
    const part = await flown(fleet, told({ uneven: 1 }), 2000, {
      stopSignal: stop.signal,
      onBatch: (batch) => {
        if (batch.first > 300) stop.abort();
      },
    });
    expect(part.report.stoppedBy).toBe('interrupted');
    expect(part.report.flown).toBe(part.rows.length);
    expect(part.rows.length).toBeGreaterThan(300);
    expect(part.rows.length).toBeLessThan(2000);
    expect(bytes(part.rows).equals(bytes(whole.rows.slice(0, part.rows.length)))).toBe(true);
    expect((await flown(fleet, told(), 10)).report.flown).toBe(10);
  });

  test('does not begin when the signal has fired before', async () => {
    const { report } = await flown(fleet, told(), 100, { stopSignal: AbortSignal.abort() });
    expect(report).toMatchObject({ flown: 0, stoppedBy: 'interrupted', lost: [] });
  });

  test('does not wait for a long chunk: workers look at the flag between flights', async () => {
    const other = standInFleet({ chunk: 1000, grace: 60 });
    await flown(other, told(), 10);
    const stop = new AbortController();
    setTimeout(() => stop.abort(), 200);
    const { report } = await flown(other, told({ slow: 5 }), 1000, { stopSignal: stop.signal });
    // A worker that did not look would bring its chunk home whole.
    expect(report).toMatchObject({ flown: 0, stoppedBy: 'interrupted', lost: [] });
    expect((await flown(other, told(), 10)).report.flown).toBe(10);
    await other.close();
  });

  test('ends also while a flight never ends', async () => {
    const other = standInFleet({ chunk: 5, grace: 0.2 });
    const stop = new AbortController();
    const { report, rows } = await flown(other, told({ spins: 23 }), 1000, {
      stopSignal: stop.signal,
      onBatch: (batch) => {
        if (batch.first === 16) stop.abort();
      },
    });
    await other.close();
    expect(report).toMatchObject({ flown: 20, stoppedBy: 'interrupted', lost: [] });
    expect(rows).toHaveLength(20);
  });
});

describe('a worker that fails costs only the flight it fails on', () => {
  const limit = 200;
  test.each([
    ['throws', 'flight 77 went wrong'],
    ['throwsNull', 'the worker did not return the rows'],
    ['exits', 'worker exited with code: 3'],
    ['memory', 'Worker terminated due to reaching memory limit: JS heap out of memory'],
    ['hangs', 'no sign of life for 3 s'],
  ])('%s', async (misdeed, reason) => {
    const other = standInFleet({ heapLimit: 32, silence: misdeed === 'hangs' ? 3 : 60 });
    const { report, rows } = await flown(other, told({ [misdeed]: 77 }), limit);
    const good = await flown(other, told(), limit);
    await other.close();
    expect(report).toMatchObject({ flown: limit, stoppedBy: 'limit', lost: [{ flight: 77, reason }] });
    const others = (all: readonly Float64Array[]) => bytes(all.filter((_, i) => i !== 76));
    expect(others(rows).equals(others(good.rows))).toBe(true);

    const row = rows[76] ?? new Float64Array(0);
    expect([...row.subarray(0, CATALOGUE.length)]).toEqual(CATALOGUE.map(({ type }) => (type === 'yesNo' ? 1 : 77)));
    const outputs = row.subarray(CATALOGUE.length);
    expect(OUTCOMES[outputs[outputIndex('outcome')] ?? -1]).toBe('no result');
    expect(NO_RESULT_REASONS[outputs[outputIndex('noResultReason')] ?? -1]).toBe('worker failed');
    expect([...outputs].filter((x) => !Number.isNaN(x))).toHaveLength(2);
    expect(row).toHaveLength(ROW_LENGTH);
  });

  test('an error thrown after the flight was over ends the thread, not the study', async () => {
    const { report, rows } = await flown(fleet, told({ throwsLate: 77 }), limit);
    expect(report.flown).toBe(limit);
    expect(rows).toHaveLength(limit);
    expect(report.lost.every((l) => l.reason === 'late')).toBe(true);
    expect(report.lost.length).toBeLessThanOrEqual(1);
  });

  test('a fault that does not come back costs nothing', async () => {
    const { report, rows } = await flown(fleet, told({ throwsOnce: 50 }), 100);
    expect(report.lost).toEqual([]);
    expect(bytes(rows).equals(bytes((await flown(fleet, told(), 100)).rows))).toBe(true);
  });

  test('every flight may be lost; each is listed, in order, and stays among the flown', async () => {
    const { report, rows } = await flown(fleet, told({ throwsAlways: 1 }), 30);
    expect(report).toMatchObject({ flown: 30, stoppedBy: 'limit' });
    expect(report.lost.map((l) => l.flight)).toEqual(Array.from({ length: 30 }, (_, i) => i + 1));
    expect(rows).toHaveLength(30);
  });
});

describe('a run is refused as a whole', () => {
  test('when the variation cannot be flown, with the user’s mistakes or with our fault', async () => {
    await expect(flown(fleet, told({ cannotPrepare: 1 }), 10)).rejects.toThrow(new UserError(['rules.late: no such rule', 'second line']));
    await expect(flown(fleet, told({ cannotPrepare: 2 }), 10)).rejects.toThrow(
      /^the flights cannot be prepared: TypeError: a fault of ours/,
    );
  });

  test('when the variation is no plain data', async () => {
    await expect(flown(fleet, told({ sneaked: () => 0 }), 10)).rejects.toThrow(/no worker could start: .*could not be cloned/s);
  });

  test('when no worker can load', async () => {
    const broken = standInFleet({ workerFile: new URL('./standInNoStart.mjs', import.meta.url) });
    await expect(flown(broken, told(), 100)).rejects.toThrow('no worker could start: broken while loading');
    await broken.close();
    expect(() => standInFleet({ workerFile: new URL('./absent.mjs', import.meta.url) })).toThrow('no worker file');
  });

  test('when handing over fails, with that very error; the fleet stays usable', async () => {
    const full = new UserError('the disk is full');
    await expect(
      flown(fleet, told(), 1000, {
        onBatch: (batch) => {
          if (batch.first > 200) throw full;
        },
      }),
    ).rejects.toBe(full);
    expect((await flown(fleet, told(), 10)).report.flown).toBe(10);
  });

  test('after closing', async () => {
    const other = standInFleet({ threads: 1 });
    const last = flown(other, told(), 50);
    await other.close();
    expect((await last).report.flown).toBe(50);
    await expect(flown(other, told(), 1)).rejects.toThrow('this fleet is closed');
  });

  test.each([0, 1.5, -2])('threads %d', (threads) => {
    expect(() => standInFleet({ threads })).toThrow(`threads: read ${threads}`);
  });
});
