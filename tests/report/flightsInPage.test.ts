/** The flights a page carries read back as the flights that were flown. */
import { describe, expect, test } from 'vitest';
import { evenly, flightsInPage, PAGE_KEYS } from '../../src/report/flightsInPage.ts';

const n = 500;
const columns = Object.fromEntries(
  PAGE_KEYS.map((key, k) => [key, Float64Array.from({ length: n }, (_, i) => (i % 7 === k ? Number.NaN : Math.sin(i + k) * (k + 1)))]),
);
const flights = {
  outcome: Uint8Array.from({ length: n }, (_, i) => i % 13),
  number: Float64Array.from({ length: n }, (_, i) => 70_000 + 3 * i),
  columns,
};

describe('in the page', () => {
  const { packed, rows } = flightsInPage(flights);

  test('all rows, with their numbers and endings', () => {
    expect(rows).toHaveLength(n);
    const numbers = Buffer.from(packed.numbers, 'base64');
    expect(Array.from({ length: n }, (_, i) => numbers.readUInt32LE(4 * i))).toEqual([...flights.number]);
    expect([...Buffer.from(packed.outcomes, 'base64')]).toEqual([...flights.outcome]);
  });

  test.each(PAGE_KEYS)('%s to half a step, missing where it was missing', (key) => {
    const column = packed.columns.find((c) => c.key === key);
    if (column === undefined) throw new Error(`no ${key}`);
    const bytes = Buffer.from(column.data, 'base64');
    columns[key].forEach((value, i) => {
      const whole = bytes.readUInt16LE(2 * i);
      if (Number.isNaN(value)) expect(whole).toBe(packed.none);
      else {
        expect(whole).toBeLessThan(packed.none);
        // Half a step, and a hair for the two roundings in making and reading it.
        expect(Math.abs(column.low + column.step * whole - value)).toBeLessThanOrEqual(0.5000001 * column.step);
      }
    });
    // 65,535 values over twice the greatest amplitude, 7.
    expect(column.step).toBeLessThanOrEqual(14 / 65_534);
  });
});

test('a column of one value, or of none, is no trouble', () => {
  const one = { ...flights, columns: { ...columns, sink: new Float64Array(n).fill(2.5), slide: new Float64Array(n).fill(Number.NaN) } };
  const { packed } = flightsInPage(one);
  const column = (key: string) => packed.columns.find((c) => c.key === key);
  expect(column('sink')?.low).toBe(2.5);
  expect(Buffer.from(column('sink')?.data ?? '', 'base64').readUInt16LE(0)).toBe(0);
  expect(Buffer.from(column('slide')?.data ?? '', 'base64').readUInt16LE(0)).toBe(packed.none);
});

test('beyond the most, evenly spaced flights in their order', () => {
  expect([...evenly(10, 4)]).toEqual([0, 2, 5, 7]);
  expect([...evenly(3, 4)]).toEqual([0, 1, 2]);
  const { rows, flown } = flightsInPage(flights, 100);
  expect(flown).toBe(n);
  expect(rows).toHaveLength(100);
  expect([...rows].every((row, i) => row === 5 * i)).toBe(true);
});
