import { describe, expect, it } from 'vitest';
import { attemptsFor, chanceWithin } from '../../../src/statistics/proportions/attempts.ts';
import { trialsToDemonstrate } from '../../../src/statistics/proportions/demonstration.ts';

describe('plans that are met exactly ask for no trial more', () => {
  it('two trials at 0.9 show it with confidence 0.19', () => {
    expect(trialsToDemonstrate(0.9, 0.19, 0)).toBe(2);
  });

  it('two attempts at 0.9 succeed once with assurance 0.99', () => {
    expect(attemptsFor(0.9, 1, 0.99)).toBe(2);
  });
});

it('certain success takes as many attempts as successes', () => {
  expect(attemptsFor(1, 4, 0.999)).toBe(4);
  expect(chanceWithin(1, 4, 3)).toBe(0);
  expect(chanceWithin(1, 4, 4)).toBe(1);
});

it('a border is a border: one attempt fewer is not enough', () => {
  for (const p of [0.05, 0.39, 0.9]) {
    const n = attemptsFor(p, 5, 0.9);
    expect(chanceWithin(p, 5, n)).toBeGreaterThanOrEqual(0.9);
    expect(chanceWithin(p, 5, n - 1)).toBeLessThan(0.9);
  }
});

it('refuses what is no plan', () => {
  for (const p of [0, -0.1, 1.1, Number.NaN]) expect(() => attemptsFor(p, 1, 0.9)).toThrow(RangeError);
  expect(() => attemptsFor(0.5, 0, 0.9)).toThrow(RangeError);
  expect(() => attemptsFor(0.5, 1, 1)).toThrow(RangeError);
  expect(() => chanceWithin(0.5, 1, 2.5)).toThrow(RangeError);
  expect(() => trialsToDemonstrate(1, 0.9, 0)).toThrow(RangeError);
  expect(() => trialsToDemonstrate(0.9, 0, 0)).toThrow(RangeError);
  expect(() => trialsToDemonstrate(0.9, 0.9, -1)).toThrow(RangeError);
});
