/** Logs that the flight computer would have written, replayed; and logs that cannot be. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { computerInputs, traceFlight } from '../../../src/analysis/fly/traceFlight.ts';
import { readFlightLog } from '../../../src/analysis/replay/flightLog.ts';
import { replayLog } from '../../../src/analysis/replay/replayLog.ts';
import { LOG_COLUMNS } from '../../../src/flight/computerLog.ts';
import { traceCsv } from '../../../src/results/traceFile.ts';
import { demoStudy, demoStudyWith } from '../../helpers/studyForTests.ts';

const folder = mkdtempSync(join(tmpdir(), 'alight-replay-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const path = join(folder, 'hop.csv');

const study = demoStudy({ flights: 100 });
const traced = (flight: number) => traceFlight(study, flight);
/** The study as that flight's computer had it. */
const asFlown = (flight: number) =>
  demoStudyWith(Object.fromEntries(computerInputs(study, traced(flight)).map(([key, value]) => [key, { kind: 'fixed', value }])));
const textOf = (flight: number): string => traceCsv({ columns: LOG_COLUMNS, values: traced(flight).log, metadata: {} });

async function read(text: string, columns: string | null = null) {
  writeFileSync(path, text);
  return readFlightLog(path, columns);
}

describe('a log written by a simulated flight', () => {
  it.each([3, 17, 40, 88])('flight %i gives back belief, phase and command at every row, bit for bit', async (flight) => {
    const log = await read(textOf(flight));
    const replay = replayLog(asFlown(flight), log, study.rules[0]);
    expect(replay.partings.map(({ key }) => key)).toEqual(['height', 'speedUp', 'phase', 'commandY', 'commandZ']);
    for (const { key, rows, same, from } of replay.partings) expect([key, same, from]).toEqual([key, rows, null]);
    const { outputs } = traced(flight);
    const own = replay.rules.find(({ rule }) => rule === study.rules[0].name);
    const believed = outputs.believedIgnitionHeight;
    if (typeof believed === 'number') expect(own?.height).toBeCloseTo(believed, 9);
    else expect(own?.time).toBeNull();
    for (const { replayed, logged } of replay.phases) expect(replayed).toBe(logged);
  });

  it('parts from it under another setting, and says when', async () => {
    const log = await read(textOf(17));
    const other = { ...asFlown(17), computer: { ...study.computer, gravity: 9.6 } };
    const height = replayLog(other, log, study.rules[0]).partings.find(({ key }) => key === 'height');
    expect(height?.from).toBeGreaterThan(0);
    expect(height?.largest).toBeGreaterThan(0.5);
  });

  it('says of every rule when it would have lit, in the order of the study', async () => {
    const { rules } = replayLog(asFlown(17), await read(textOf(17)), study.rules[0]);
    expect(rules.map(({ rule }) => rule)).toEqual(study.rules.map(({ name }) => name));
    for (const { time, height } of rules) expect(time === null || (height !== null && height > 0)).toBe(true);
  });

  it('counts lost ticks as stalls', async () => {
    const rows = textOf(17).trimEnd().split('\n');
    const before = (await read(rows.join('\n'))).timing;
    const cut = [...rows.slice(0, 300), ...rows.slice(305, 500), ...rows.slice(502)];
    const { timing } = await read(cut.join('\n'));
    expect(timing.stalls).toBe(before.stalls + 2);
    expect(timing.rate).toBeCloseTo(100, 6);
  });

  it('is read in other units, with other titles, signs and separators', async () => {
    const log = await read(textOf(17));
    const lines = textOf(17).trimEnd().split('\n').slice(1);
    const g = 9.80665;
    const rows = lines.map((line) => {
      const [t, x, y, z, p, q, r] = line.split(',').map(Number);
      const deg = 180 / Math.PI;
      return [1000 * t, x / g, -y / g, z / g, p * deg, q * deg, r * deg].join(';');
    });
    const columns =
      'time=ms [ms], accelerationX=up [g_n], accelerationY=-side [g_n], accelerationZ=back [g_n], rateX=#5 [deg/s], rateY=#6 [deg/s], rateZ=#7 [deg/s]';
    const other = await read(['ms;up;side;back;p;q;r', ...rows].join('\n'), columns);
    expect(other.rows).toBe(log.rows);
    const [own, there] = [log, other].map((one) => replayLog(asFlown(17), one, study.rules[0]));
    // Rounding of units alone.
    expect(there.rules[0].height).toBeCloseTo(own.rules[0].height ?? Number.NaN, 6);
    expect(there.partings).toEqual([]);
  });
});

describe('logs that cannot be replayed, each said with its place', () => {
  const rows = () => textOf(17).trimEnd().split('\n');
  const cases: readonly (readonly [string, () => string, RegExp])[] = [
    ['an empty one', () => '', /hop\.csv:1:1: read an empty file/],
    ['a head alone', () => `${rows()[0]}\n`, /read no row below the head/],
    ['too short', () => rows().slice(0, 20).join('\n'), /read 19 rows; expected a flight, 50 at least/],
    [
      'a column that is not there',
      () =>
        rows()
          .map((line) => line.split(',').slice(0, 6).join(','))
          .join('\n'),
      /rateZ/,
    ],
    [
      'a clock set back',
      () => [...rows().slice(0, 200), ...rows().slice(100, 300)].join('\n'),
      /hop\.csv:201:1: read the time .* expected times that rise/,
    ],
    [
      'text in numbers',
      () =>
        rows()
          .map((line, i) => (i === 9 ? line.replace(/^[^,]*,[^,]*/, '0.08,much') : line))
          .join('\n'),
      /hop\.csv:10:6: read "much"; expected a number/,
    ],
    [
      'axes swapped',
      () =>
        rows()
          .map((line) => line.replace('accelerationX', 'a').replace('accelerationY', 'accelerationX').replace('a (', 'accelerationY ('))
          .join('\n'),
      /hop\.csv:2:1: read x .*Columns may be swapped/,
    ],
    [
      'another unit than it says',
      () =>
        rows()
          .map((line, i) =>
            i === 0
              ? line
              : line
                  .split(',')
                  .map((v, c) => (c >= 1 && c <= 3 ? Number(v) / 9.80665 : v))
                  .join(','),
          )
          .join('\n'),
      /The unit may be another/,
    ],
    [
      'no unit',
      () =>
        rows()
          .map((line) => line.replace('accelerationX (m/s^2)', 'accelerationX'))
          .join('\n'),
      /without a unit/,
    ],
  ];

  it.each(cases)('%s', async (_, text, problem) => {
    await expect(read(text())).rejects.toThrow(problem);
  });
});
