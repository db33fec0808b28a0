import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import { duration, shown } from '../../src/report/words.ts';

describe('a duration', () => {
  test.each([
    [8.24, '8.2 s'],
    [9.97, '10 s'],
    [59.7, '1 min 0 s'],
    [80, '1 min 20 s'],
    [119.6, '2 min 0 s'],
    [3599.7, '1 h 0 min'],
    [7199, '2 h 0 min'],
  ])('of %f s is %s', (seconds, words) => {
    expect(duration(seconds)).toBe(words);
  });

  test('is never 60 of a unit', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 1e6, noNaN: true }), (seconds) => !/\b60\b/.test(duration(seconds).replace(/^\d+ h/, ''))),
    );
  });
});

describe('a unit', () => {
  test.each([
    ['m/s^2', 'm/s²', 1],
    ['m/s^2/Hz^0.5', 'm/s²/√Hz', 1],
    ['kg m^2', 'kg m²', 1],
    ['rad/s', 'deg/s', 180 / Math.PI],
    ['rad/s/Hz^0.5', 'deg/s/√Hz', 180 / Math.PI],
  ])('%s is shown as %s', (unit, words, factor) => {
    expect(shown(unit)).toEqual({ unit: words, factor });
  });

  test('of no input keeps the signs of a file', () => {
    expect(CATALOGUE.map(({ unit }) => shown(unit).unit).filter((unit) => /\^|rad/.test(unit))).toEqual([]);
  });
});
