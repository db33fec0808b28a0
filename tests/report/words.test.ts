import fc from 'fast-check';
import { expect, test } from 'vitest';
import { duration } from '../../src/report/words.ts';

test.each([
  [0.04, '0.0 s'],
  [9.96, '10 s'],
  [59.4, '59 s'],
  [59.7, '1 min 0 s'],
  [119.6, '2 min 0 s'],
  [3599.7, '1 h 0 min'],
  [7199, '2 h 0 min'],
])('%d s is said as %s', (seconds, words) => {
  expect(duration(seconds)).toBe(words);
});

test('nothing is ever 60 of a unit', () => {
  fc.assert(
    fc.property(fc.double({ min: 0, max: 1e6, noNaN: true }), (seconds) => !/\b60\b/.test(duration(seconds).replace(/^\d+ h/, ''))),
  );
});
