/** Planned widths: what they promise holds for every outcome of so many trials, and one trial fewer would not do. */
import { describe, expect, test } from 'vitest';
import { clopperPearson } from '../../../src/statistics/proportions/binomial.ts';
import { trialsForHalfWidth, widestHalfWidth } from '../../../src/statistics/proportions/plannedWidth.ts';

const half = (k: number, n: number, level: number): number => {
  const [low, high] = clopperPearson(k, n, level);
  return (high - low) / 2;
};

describe('planned width of a success interval', () => {
  test.each([
    [0.2, 0.95],
    [0.1, 0.95],
    [0.05, 0.9],
    [0.03, 0.99],
  ])('± %f at %f: wide enough for every outcome, and with no trial to spare', (width, level) => {
    const n = trialsForHalfWidth(width, level);
    for (let k = 0; k <= n; k++) expect(half(k, n, level)).toBeLessThanOrEqual(width);
    expect(widestHalfWidth(n - 1, level)).toBeGreaterThan(width);
  });

  test('about (z/2w)^2 and 1/w more, as an exact interval takes over the normal one', () => {
    // Clopper and Pearson's is wider than the normal interval by about 1/n at even odds: textbook, source not opened.
    const n = trialsForHalfWidth(0.01, 0.95);
    expect(n / (0.25 * (1.959964 / 0.01) ** 2 + 1 / 0.01)).toBeCloseTo(1, 3);
  });

  test.each([0, 0.5, -1, Number.NaN])('refuses a half-width of %f', (width) => {
    expect(() => trialsForHalfWidth(width, 0.95)).toThrow(RangeError);
  });
});
