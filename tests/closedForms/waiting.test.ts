/**
 * Waiting for successes, geometric and negative binomial: digits from the closed forms (as in W. Feller, 1968, VI.8;
 * book not opened).
 */
import { describe, expect, it } from 'vitest';
import { attemptsFor, chanceWithin } from '../../src/statistics/proportions/attempts.ts';

describe('attempts to the first success', () => {
  it.each([
    [0.3, 0.657, 9],
    [0.5, 0.875, 5],
    [0.8, 0.992, 2],
    [0.9, 0.999, 2],
  ])('p = %d', (p, withinThree, for95) => {
    // The chance is exact in three decimals, to 50 eps.
    expect(Math.abs(chanceWithin(p, 1, 3) - withinThree)).toBeLessThanOrEqual(1.2e-14);
    expect(attemptsFor(p, 1, 0.95)).toBe(for95);
  });
});

describe('three successes at p = 0.8', () => {
  it('come in exactly 5 with 0.12288, within 5 with 0.94208', () => {
    expect(Math.abs(chanceWithin(0.8, 3, 5) - chanceWithin(0.8, 3, 4) - 0.12288)).toBeLessThanOrEqual(1.2e-14);
    expect(Math.abs(chanceWithin(0.8, 3, 5) - 0.94208)).toBeLessThanOrEqual(1.2e-14);
  });
});
