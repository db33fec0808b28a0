import { describe, expect, it } from 'vitest';
import { causes } from '../../../src/analysis/fly/causes.ts';
import { OUTCOMES } from '../../../src/flight/outputs.ts';
import { clopperPearson } from '../../../src/statistics/proportions/binomial.ts';
import { counts } from '../flights.ts';

describe('causes', () => {
  const found = causes(
    counts({ landed: 400, 'lit too high': 200, 'lit too low': 190, slid: 120, 'tipped over': 5, leaned: 5, 'no result': 30 }),
    0.95,
  );

  it('ranks failures by count, as shares of the flights with a result', () => {
    expect(found.ranked.map(({ outcome, count }) => [outcome, count])).toEqual([
      ['lit too high', 200],
      ['lit too low', 190],
      ['slid', 120],
      ['leaned', 5],
      ['tipped over', 5],
    ]);
    expect(found).toMatchObject({ counted: 920, failed: 520, noResult: 30 });
    expect(found.ranked[2]).toMatchObject({ share: 120 / 920, interval: clopperPearson(120, 920, 0.95) });
  });

  it('marks neighbours whose order may be luck', () => {
    expect(found.ranked.map(({ tiedWithNext }) => tiedWithNext)).toEqual([true, false, false, true, false]);
    expect(found.ranked.map(({ place, shared }) => [place, shared])).toEqual([
      [1, true],
      [1, true],
      [3, false],
      [4, true],
      [4, true],
    ]);
    expect(found.ranked.at(-1)?.nextP).toBeNull();
    expect(found.ranked[3]?.nextP).toBe(1);
    // 2 P(B <= 190), B binomial of 390 and 1/2, by scipy 1.17.1: 0.6486; half of the last digit.
    expect(Math.abs((found.ranked[0]?.nextP ?? Number.NaN) - 0.6486)).toBeLessThanOrEqual(5e-5);
  });

  it('names what did not occur and how likely it may still be', () => {
    expect(found.unseen?.outcomes).toEqual([
      'outside the field',
      'lost control going up',
      'flipped',
      'held by the guard',
      'no landing thrust',
      'lost control coming down',
      'leg gave way',
    ]);
    expect(found.unseen?.interval).toEqual(clopperPearson(0, 920, 0.95));
  });

  it('without flights, or without results, ranks nothing and claims nothing', () => {
    for (const table of [counts({}), counts({ 'no result': 3 })]) {
      expect(causes(table, 0.95)).toMatchObject({ counted: 0, failed: 0, ranked: [], unseen: null });
    }
  });

  it('when all landed has an empty ranking and every cause unseen', () => {
    const all = causes(counts({ landed: 10 }), 0.95);
    expect(all.ranked).toEqual([]);
    expect(all.unseen?.outcomes.length).toBe(OUTCOMES.length - 2);
  });

  it('when one flight failed names its cause with the whole share', () => {
    expect(causes(counts({ slid: 1 }), 0.95).ranked).toMatchObject([
      { outcome: 'slid', count: 1, share: 1, nextP: null, tiedWithNext: false },
    ]);
  });

  it('refuses tables that are none', () => {
    expect(() => causes([1], 0.95)).toThrow(RangeError);
    expect(() => causes(counts({ slid: -2, landed: 5 }), 0.95)).toThrow(RangeError);
  });
});
