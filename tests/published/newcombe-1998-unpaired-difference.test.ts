/**
 * R. G. Newcombe, Interval estimation for the difference between independent proportions: comparison of eleven methods,
 * Statistics in Medicine 17 (1998) 873-890, Table II, method 10, 95 %. Printed figures were seen for the first two rows; all ten-digit
 * ends were recomputed with numpy.
 */
import { describe, expect, it } from 'vitest';
import { newcombeUnpaired } from '../../src/statistics/proportions/unpaired.ts';

const recomputed = [
  [56, 70, 48, 80, 0.0524314724, 0.333872654],
  [9, 10, 3, 10, 0.1705227239, 0.8090179735],
  [6, 7, 2, 7, 0.0582279275, 0.8062496375],
  [5, 56, 0, 29, -0.0381371479, 0.1925600139],
  [0, 10, 0, 20, -0.1611251581, 0.2775327999],
  [10, 10, 0, 10, 0.6075093504, 1],
] as const;

describe('difference of independent proportions, 95 %', () => {
  it.each(recomputed)('%i of %i against %i of %i', (k1, n1, k2, n2, low, high) => {
    const { difference, interval } = newcombeUnpaired(k1, n1, k2, n2, 0.95);
    expect(difference).toBe(k1 / n1 - k2 / n2);
    expect(Math.abs(interval[0] - low)).toBeLessThanOrEqual(1e-9);
    expect(Math.abs(interval[1] - high)).toBeLessThanOrEqual(1e-9);
  });

  it('56/70 against 48/80 and 9/10 against 3/10 as printed', () => {
    const [low, high] = newcombeUnpaired(56, 70, 48, 80, 0.95).interval;
    expect(Math.abs(low - 0.0524)).toBeLessThanOrEqual(5e-5);
    expect(Math.abs(high - 0.3339)).toBeLessThanOrEqual(5e-5);
    const [low2, high2] = newcombeUnpaired(9, 10, 3, 10, 0.95).interval;
    expect(Math.abs(low2 - 0.1705)).toBeLessThanOrEqual(5e-5);
    expect(Math.abs(high2 - 0.809)).toBeLessThanOrEqual(5e-5);
  });
});
