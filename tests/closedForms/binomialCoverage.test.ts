/**
 * L. D. Brown, T. T. Cai and A. DasGupta, Interval estimation for a binomial proportion, Statistical Science 16 (2001)
 * 101-133, section 2: the erratic coverage of the textbook interval p +- z sqrt(p q/n), 95 %. The textbook figures are
 * the article's (from memory, and equal to what scipy 1.17.1 computes); the score interval's at the same points are
 * computed with scipy, not printed there. The textbook interval is here only to check that the coverage is computed
 * rightly.
 */
import { describe, expect, it } from 'vitest';
import { binomialProbability } from '../../src/maths/binomial.ts';
import { clopperPearson, wilson } from '../../src/statistics/proportions/binomial.ts';
import type { Interval } from '../../src/statistics/samples/interval.ts';

function coverage(n: number, p: number, interval: (k: number, n: number) => Interval): number {
  let sum = 0;
  for (let k = 0; k <= n; k++) {
    const [low, high] = interval(k, n);
    if (low <= p && p <= high) sum += binomialProbability(k, n, p);
  }
  return sum;
}

function textbook(k: number, n: number): Interval {
  const p = k / n;
  const half = 1.959963984540054 * Math.sqrt((p * (1 - p)) / n);
  return [p - half, p + half];
}

const points = [
  { n: 17, p: 0.5, plain: 0.951, score: 0.951 },
  { n: 18, p: 0.5, plain: 0.904, score: 0.969 },
  { n: 40, p: 0.5, plain: 0.919, score: 0.962 },
  { n: 100, p: 0.5, plain: 0.943, score: 0.943 },
  { n: 100, p: 0.106, plain: 0.952, score: 0.951 },
  { n: 100, p: 0.107, plain: 0.911, score: 0.949 },
  { n: 592, p: 0.005, plain: 0.792, score: 0.969 },
] as const;

describe('coverage of 95 % intervals', () => {
  it.each(points)('n = $n, p = $p: half of the last printed digit', ({ n, p, plain, score }) => {
    expect(Math.abs(coverage(n, p, textbook) - plain)).toBeLessThanOrEqual(5e-4);
    expect(Math.abs(coverage(n, p, (k, of) => wilson(k, of, 0.95)) - score)).toBeLessThanOrEqual(5e-4);
  });

  it('the exact interval never covers less than its level, and neither side misses more than half of the rest', () => {
    for (const n of [1, 5, 20, 60]) {
      const intervals = Array.from({ length: n + 1 }, (_, k) => clopperPearson(k, n, 0.9));
      for (let i = 1; i < 100; i++) {
        const p = i / 100;
        let tooHigh = 0;
        let tooLow = 0;
        intervals.forEach(([low, high], k) => {
          if (low > p) tooHigh += binomialProbability(k, n, p);
          if (high < p) tooLow += binomialProbability(k, n, p);
        });
        // The bound is exact; 1e-10 allows for rounding.
        expect(tooHigh).toBeLessThanOrEqual(0.05 + 1e-10);
        expect(tooLow).toBeLessThanOrEqual(0.05 + 1e-10);
      }
    }
  });
});
