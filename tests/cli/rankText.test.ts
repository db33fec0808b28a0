/** The places of a ranking as they are printed. */
import { describe, expect, it } from 'vitest';
import { printedPlaces } from '../../src/cli/rankText.ts';

const places = (...best: readonly number[]) => best.map((b) => ({ best: b, worst: best.length }));

describe('printedPlaces', () => {
  it('marks places that are shared, and only those', () => {
    expect(printedPlaces(places(1, 2, 2, 4))).toEqual(['1', '2=', '2=', '4']);
  });

  it('never falls down the list: a row that is not told apart from a lower one shares its place', () => {
    expect(printedPlaces(places(1, 3, 3, 2))).toEqual(['1', '2=', '2=', '2=']);
  });

  it('leaves a row without a place blank', () => {
    expect(printedPlaces([...places(1, 2), null])).toEqual(['1', '2', '']);
  });
});
