/** Tails against exact sums of whole numbers, and against scipy 1.17.1 (binom.cdf, binom.sf) where n is large. */
import { describe, expect, it } from 'vitest';
import { atMost, moreThan } from '../../../src/statistics/proportions/binomialTail.ts';

/** P(B <= k) for p = num/den, in whole numbers throughout and divided once. */
function exactly(k: number, n: number, num: bigint, den: bigint): number {
  let sum = 0n;
  let choose = 1n;
  for (let i = 0; i <= k; i++) {
    sum += choose * num ** BigInt(i) * (den - num) ** BigInt(n - i);
    choose = (choose * BigInt(n - i)) / BigInt(i + 1);
  }
  // 60 more digits than the quotient needs.
  return Number((sum * 10n ** 300n) / den ** BigInt(n)) / 1e300;
}

describe('binomial tails', () => {
  it('equal the exact sums for every k at small n, in both tails', () => {
    for (const n of [1, 2, 3, 5, 11, 12, 30, 60]) {
      for (const [num, den] of [
        [1n, 100n],
        [1n, 10n],
        [1n, 2n],
        [7n, 10n],
        [9n, 10n],
        [99n, 100n],
      ] as const) {
        const p = Number(num) / Number(den);
        for (let k = 0; k < n; k++) {
          // p itself is rounded: 1 eps in it is up to n/(1 - p) eps in the tail, and 50 more.
          const tolerance = (50 + 100 * n) * Number.EPSILON;
          expect(Math.abs(atMost(k, n, p) / exactly(k, n, num, den) - 1)).toBeLessThanOrEqual(tolerance);
          expect(Math.abs(moreThan(k, n, p) / exactly(n - k - 1, n, den - num, den) - 1)).toBeLessThanOrEqual(tolerance);
        }
      }
    }
  });

  it('are certain at the ends', () => {
    expect([atMost(-1, 5, 0.5), atMost(5, 5, 0.5), atMost(2, 5, 0), atMost(2, 5, 1), atMost(0, 0, 0.3)]).toEqual([0, 1, 1, 0, 1]);
    expect([moreThan(-1, 5, 0.5), moreThan(5, 5, 0.5), moreThan(2, 5, 0), moreThan(2, 5, 1), moreThan(0, 0, 0.3)]).toEqual([1, 0, 0, 1, 0]);
  });

  it('refuse what is no count or probability', () => {
    expect(() => atMost(-2, 5, 0.5)).toThrow(RangeError);
    expect(() => atMost(0.5, 5, 0.5)).toThrow(RangeError);
    expect(() => moreThan(1, -5, 0.5)).toThrow(RangeError);
    expect(() => moreThan(1, 5, 1.5)).toThrow(RangeError);
    expect(() => moreThan(1, 5, Number.NaN)).toThrow(RangeError);
  });
});
