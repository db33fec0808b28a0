/** Variance between and within groups of numbers, by hand, and where there is none to be told. */
import { expect, it } from 'vitest';
import { varianceSplit } from '../../src/statistics/samples/varianceSplit.ts';
import { near } from '../helpers/near.ts';

const NONE = { between: Number.NaN, within: Number.NaN };

it('splits three groups of four', () => {
  const split = varianceSplit([
    [9.8, 10.1, 10.4, 9.7],
    [11.9, 12.3, 12.1, 11.7],
    [8.4, 8.9, 8.6, 9.3],
  ]);
  near((split ?? NONE).between, 2.5866666667, 1e-9);
  near((split ?? NONE).within, 0.1066666667, 1e-9);
});

it('weighs groups of unequal size so that what lies between has no bias', () => {
  // Sizes 2 and 1: n0 = (3 - 5/3)/1 = 4/3; mean 2, between 2 (1.5 - 2)^2 + (3 - 2)^2 = 1.5; within 0.5.
  const split = varianceSplit([[1, 2], [], [3]]);
  near((split ?? NONE).within, 0.5, 1e-12);
  near((split ?? NONE).between, (1.5 - 0.5) / (4 / 3), 1e-12);
});

it('is negative where groups are more alike than chance has them, and none without two groups, one of them of two', () => {
  expect(
    (
      varianceSplit([
        [0, 2],
        [0, 2],
      ]) ?? NONE
    ).between,
  ).toBe(-1);
  expect(varianceSplit([[1, 2]])).toBeNull();
  expect(varianceSplit([[1], [2]])).toBeNull();
});
