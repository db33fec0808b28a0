import { describe, expect, it } from 'vitest';
import { countOutcomes } from '../../../src/analysis/flights/flightColumns.ts';
import { odds } from '../../../src/analysis/fly/odds.ts';
import { OUTCOMES } from '../../../src/flight/outputs.ts';
import { clopperPearson, wilson } from '../../../src/statistics/proportions/binomial.ts';
import { counts } from '../flights.ts';

describe('odds', () => {
  it('counts only flights with a result in the share, and shows what the others leave open', () => {
    expect(odds(counts({ landed: 40, slid: 50, 'lit too low': 6, 'no result': 4 }), 0.95)).toEqual({
      level: 0.95,
      nominal: 0.95,
      flights: 100,
      noResult: 4,
      counted: 96,
      landed: 40,
      share: 40 / 96,
      interval: clopperPearson(40, 96, 0.95),
      wilson: wilson(40, 96, 0.95),
      open: {
        share: [0.4, 0.44],
        interval: [clopperPearson(40, 100, 0.95)[0], clopperPearson(44, 100, 0.95)[1]],
      },
    });
  });

  it('with a result from every flight nothing more is open than the interval says', () => {
    const found = odds(counts({ landed: 7, slid: 3 }), 0.9);
    expect(found.open).toEqual({ share: [0.7, 0.7], interval: found.interval });
  });

  it('of no flights claims nothing', () => {
    expect(odds(counts({}), 0.95)).toEqual({
      level: 0.95,
      nominal: 0.95,
      flights: 0,
      noResult: 0,
      counted: 0,
      landed: 0,
      share: null,
      interval: null,
      wilson: null,
      open: null,
    });
  });

  it('of flights without any result leaves everything open', () => {
    const found = odds(counts({ 'no result': 5 }), 0.95);
    expect(found.share).toBeNull();
    expect(found.interval).toBeNull();
    expect(found.open).toEqual({ share: [0, 1], interval: [0, 1] });
  });

  it('of one flight, and of all or none landed, keeps an interval with width', () => {
    // 1 - 0.025^(1/n) in closed form.
    expect(odds(counts({ landed: 1 }), 0.95).interval?.[0]).toBeCloseTo(0.025, 12);
    expect(odds(counts({ landed: 1 }), 0.95).interval?.[1]).toBe(1);
    expect(odds(counts({ slid: 20 }), 0.95).interval?.[0]).toBe(0);
    expect(odds(counts({ slid: 20 }), 0.95).interval?.[1]).toBeCloseTo(1 - 0.025 ** (1 / 20), 12);
  });

  it('refuses tables that are none', () => {
    expect(() => odds([1, 2], 0.95)).toThrow(RangeError);
    expect(() => odds(counts({ landed: -1 }), 0.95)).toThrow(RangeError);
    expect(() => odds(counts({ landed: 1.5 }), 0.95)).toThrow(RangeError);
    expect(() => odds(counts({ landed: 1 }), 1)).toThrow(RangeError);
  });
});

it('countOutcomes counts in the order of the table and refuses what is not in it', () => {
  expect(countOutcomes(Uint8Array.of(1, 1, 0, OUTCOMES.indexOf('slid')))).toEqual(counts({ 'no result': 1, landed: 2, slid: 1 }));
  expect(() => countOutcomes(Uint8Array.of(200))).toThrow(/outcome 200/);
});
