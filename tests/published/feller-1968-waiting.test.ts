/**
 * W. Feller, An Introduction to Probability Theory and Its Applications, vol. I, 3rd ed., Wiley 1968, VI.8: geometric and negative
 * binomial waiting. Digits recomputed from the closed forms (book not opened).
 */
import { describe, expect, it } from 'vitest';
import { attemptsFor, attemptsUntil, chanceWithin } from '../../src/statistics/proportions/attempts.ts';

describe('attempts to the first success', () => {
  it.each([
    [0.3, 3.3333333333, 2.7888667551, 0.657, 9],
    [0.5, 2, Math.SQRT2, 0.875, 5],
    [0.8, 1.25, 0.5590169944, 0.992, 2],
    [0.9, 1.1111111111, 0.3513641845, 0.999, 2],
  ])('p = %d', (p, mean, sd, withinThree, for95) => {
    // Half of the last digit shown; the chance is exact in three decimals, to 50 eps.
    expect(Math.abs(attemptsUntil(p, 1).mean - mean)).toBeLessThanOrEqual(5e-11);
    expect(Math.abs(attemptsUntil(p, 1).sd - sd)).toBeLessThanOrEqual(5e-11);
    expect(Math.abs(chanceWithin(p, 1, 3) - withinThree)).toBeLessThanOrEqual(1.2e-14);
    expect(attemptsFor(p, 1, 0.95)).toBe(for95);
  });
});

describe('three successes at p = 0.8', () => {
  it('take 3.75 attempts on average, variance 0.9375', () => {
    expect(attemptsUntil(0.8, 3).mean).toBeCloseTo(3.75, 12);
    expect(attemptsUntil(0.8, 3).sd ** 2).toBeCloseTo(0.9375, 12);
  });

  it('come in exactly 5 with 0.12288, within 5 with 0.94208', () => {
    expect(Math.abs(chanceWithin(0.8, 3, 5) - chanceWithin(0.8, 3, 4) - 0.12288)).toBeLessThanOrEqual(1.2e-14);
    expect(Math.abs(chanceWithin(0.8, 3, 5) - 0.94208)).toBeLessThanOrEqual(1.2e-14);
  });
});
