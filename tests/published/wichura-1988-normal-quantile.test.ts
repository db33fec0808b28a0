/**
 * M. J. Wichura, Algorithm AS 241: The percentage points of the normal distribution, Applied Statistics 37 (1988)
 * 477-484. The first three rows are his own test values (as quoted with this source in a statistics language's test
 * suite); the rest are the same function with 40 digits, computed with mpmath, at further points including the
 * algorithm's branch points.
 */
import { describe, expect, it } from 'vitest';
import { normalQuantile } from '../../src/maths/normal.ts';

/** Relative, 4 eps: the algorithm claims about 1e-16 and its last steps round a few times. */
const TOLERANCE = 4 * Number.EPSILON;

describe('the normal quantile has the values Wichura and 40-digit arithmetic give', () => {
  it.each([
    [0.25, -0.6744897501960817],
    [0.001, -3.090232306167814],
    [1e-20, -9.262340089798408],
    [0.9, 1.281551565544600467],
    [0.95, 1.6448536269514727149],
    [0.975, 1.9599639845400542355],
    [0.99, 2.3263478740408411009],
    [0.995, 2.575829303548900761],
    [1e-300, -37.047096299361199237],
    [0.075, -1.4395314709384563],
    [0.425, -0.18911842627279252],
  ])('p = %d: %d', (p, z) => {
    // A double near 1 is itself 1.1e-16 off its decimal: that moves the quantile by eps/(2 density), under 1e-14 here.
    const fromDecimal = p > 0.5 ? 8e-15 : 0;
    expect(Math.abs(normalQuantile(p) - z)).toBeLessThanOrEqual(TOLERANCE * Math.abs(z) + fromDecimal);
  });

  it('gives the ends of the line at 0 and 1', () => {
    expect(normalQuantile(0)).toBe(Number.NEGATIVE_INFINITY);
    expect(normalQuantile(1)).toBe(Number.POSITIVE_INFINITY);
    expect(normalQuantile(0.5)).toBe(0);
    expect(normalQuantile(Number.NaN)).toBeNaN();
    expect(normalQuantile(-0.1)).toBeNaN();
  });
});
