import { describe, expect, test } from 'vitest';
import { exactShareInterval } from '../../../src/report/browser/exactShare.ts';
import { clopperPearson } from '../../../src/statistics/proportions/binomial.ts';

describe('the interval of flights chosen in a page', () => {
  test.each([
    [0, 1],
    [1, 1],
    [0, 40],
    [40, 40],
    [1, 40],
    [81, 263],
    [3783, 10_000],
    [3, 50_000],
    [49_990, 50_000],
  ])('of %d in %d is the page’s own', (good, counted) => {
    const found = exactShareInterval(good, counted, 0.95);
    const own = clopperPearson(good, counted, 0.95);
    // Sums of up to some thousand weights, each rounded to one part in 2^53: ten digits are left.
    found.forEach((end, i) => {
      expect(Math.abs(end - own[i])).toBeLessThanOrEqual(1e-10 * Math.max(own[i], 1e-3));
    });
  });
});
