import { describe, expect, test } from 'vitest';
import { bands, betweenBands } from '../../../src/analysis/fly/bands.ts';
import { OUTCOMES, type Outcome } from '../../../src/flight/outputs.ts';
import { clopperPearson } from '../../../src/statistics/proportions/binomial.ts';

const outcomes = (n: number, of: (i: number) => Outcome) => Uint8Array.from({ length: n }, (_, i) => OUTCOMES.indexOf(of(i)));

describe('bands', () => {
  // Values fall as flights go on: bands must ascend in the value, not in the flight.
  const n = 400;
  const values = Float64Array.from({ length: n }, (_, i) => n - i);
  const outcome = outcomes(n, (i) => (i % 40 === 0 ? 'no result' : i < 100 ? 'landed' : 'slid'));
  const made = bands(values, outcome, 4);

  test('ascend, touch every flight once and count what happened in each', () => {
    expect(made.map(({ low, high, flights }) => [low, high, flights])).toEqual([
      [1, 100, 100],
      [101, 200, 100],
      [201, 300, 100],
      [301, 400, 100],
    ]);
    expect(made.map(({ landed }) => landed)).toEqual([0, 0, 0, 97]);
    expect(made.map(({ noResult }) => noResult)).toEqual([2, 3, 2, 3]);
    expect(made[3].share).toBe(1);
    expect(made[3].interval).toEqual(clopperPearson(97, 97, 0.95));
  });

  test('are fewer where flights are few, and none without', () => {
    expect(bands(values.subarray(0, 65), outcome.subarray(0, 65), 10)).toHaveLength(2);
    expect(bands(new Float64Array(0), new Uint8Array(0), 10)).toEqual([]);
  });

  test('have no share where no flight has a result', () => {
    const [band] = bands(
      values.subarray(0, 40),
      outcomes(40, () => 'no result'),
      1,
    );
    expect([band.share, band.interval, band.counted, band.flights]).toEqual([null, null, 0, 40]);
  });
});

describe('how much success differs between bands', () => {
  const values = Float64Array.from({ length: 1000 }, (_, i) => i);

  test('is 1 less the share of luck when the band decides all', () => {
    const all = bands(
      values,
      outcomes(1000, (i) => (i < 500 ? 'landed' : 'slid')),
      2,
    );
    // All of the variance, less one class's worth of 1000 flights.
    expect(betweenBands(all)).toBeCloseTo(1 - 1 / 1000, 12);
  });

  test('is 0 when all bands are alike, and when nothing varies', () => {
    const alike = bands(
      values,
      outcomes(1000, (i) => (i % 2 === 0 ? 'landed' : 'slid')),
      5,
    );
    expect(betweenBands(alike)).toBe(0);
    expect(
      betweenBands(
        bands(
          values,
          outcomes(1000, () => 'slid'),
          5,
        ),
      ),
    ).toBe(0);
  });
});
