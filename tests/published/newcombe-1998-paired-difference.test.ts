/**
 * R. G. Newcombe, Improved confidence intervals for the difference between binomial proportions based on paired data,
 * Statistics in Medicine 17 (1998) 2635-2650, Table III, method 10, 95 %. The printed four decimals come from a public
 * test that quotes pages 2639-2642; the long digits were recomputed with z = 1.959964 (numpy). One printed figure,
 * .8736 for 1 97 1 1, is .8737 by the article's own formula (0.87367): that end is tested to one unit of the last
 * digit.
 */
import { describe, expect, it } from 'vitest';
import { wilson } from '../../src/statistics/proportions/binomial.ts';
import { squareAndAdd } from '../../src/statistics/proportions/squareAndAdd.ts';
import type { Interval } from '../../src/statistics/samples/interval.ts';

/**
 * The article's method 10: square-and-add on Wilson's limits of the two shares, their correlation corrected for
 * continuity where positive.
 */
function method10(e: number, f: number, g: number, h: number): Interval {
  const n = e + f + g + h;
  const part = (k: number) => ({ estimate: k / n, interval: wilson(k, n, 0.95) });
  const cross = e * h - f * g;
  const product = (e + f) * (g + h) * (e + g) * (f + h);
  const corrected = cross > 0 ? Math.max(cross - n / 2, 0) : cross;
  return squareAndAdd(part(e + f), part(e + g), product === 0 ? 0 : corrected / Math.sqrt(product));
}

/** both, first only, second only, neither; recomputed low, high; printed low, high. */
const table = [
  [36, 12, 2, 0, 0.056929584, 0.340427603, 0.0569, 0.3404],
  [20, 12, 2, 16, 0.0561564248, 0.3292069954, 0.0562, 0.3292],
  [18, 12, 2, 18, 0.056171844, 0.3289759689, 0.0562, 0.329],
  [36, 14, 0, 0, 0.1528395179, 0.416651237, 0.1528, 0.4167],
  [35, 14, 0, 1, 0.1460739059, 0.4174624742, 0.1461, 0.4175],
  [18, 14, 0, 18, 0.1440826162, 0.3963252817, 0.1441, 0.3963],
  [2, 97, 1, 0, 0.8721164783, 0.9853664502, 0.8721, 0.9854],
  [1, 97, 1, 1, 0.8736721762, 0.9850257704, 0.8736, 0.985],
  [0, 29, 1, 0, 0.6665921802, 0.9881828192, 0.6666, 0.9882],
  [2, 98, 0, 0, 0.9177931023, 0.9944980324, 0.9178, 0.9945],
  [1, 98, 0, 1, 0.917087018, 0.9916426092, 0.9171, 0.9916],
  [0, 30, 0, 0, 0.8394678199, 1, 0.8395, 1],
  [54, 0, 0, 0, -0.0664135881, 0.0664135881, -0.0664, 0.0664],
  [53, 0, 0, 1, -0.0729381455, 0.0729381455, -0.0729, 0.0729],
  [30, 0, 0, 24, -0.0358376219, 0.0358376219, -0.0358, 0.0358],
  [29, 0, 0, 25, -0.0354130341, 0.0354130341, -0.0354, 0.0354],
  [28, 0, 0, 26, -0.0351558202, 0.0351558202, -0.0352, 0.0352],
  [27, 0, 0, 27, -0.035069663, 0.035069663, -0.0351, 0.0351],
] as const;

describe('square-and-add: paired difference, 95 %', () => {
  it.each(table)('%i %i %i %i', (both, firstOnly, secondOnly, neither, low, high, printedLow, printedHigh) => {
    const interval = method10(both, firstOnly, secondOnly, neither);
    const printedDigit = firstOnly === 97 && neither === 1 ? 1e-4 : 5e-5;
    expect(Math.abs(interval[0] - printedLow)).toBeLessThanOrEqual(printedDigit);
    expect(Math.abs(interval[1] - printedHigh)).toBeLessThanOrEqual(5e-5);
    // Ten decimals shown, computed with z to seven: 1e-9.
    expect(Math.abs(interval[0] - low)).toBeLessThanOrEqual(1e-9);
    expect(Math.abs(interval[1] - high)).toBeLessThanOrEqual(1e-9);
  });

  it('14 5 0 22 (D. G. Altman et al., Statistics with Confidence, 2000, Table 6.2; ends recomputed)', () => {
    const interval = method10(14, 5, 0, 22);
    expect(Math.abs(interval[0] - 0.0114832414)).toBeLessThanOrEqual(1e-9);
    expect(Math.abs(interval[1] - 0.2264926844)).toBeLessThanOrEqual(1e-9);
  });
});
