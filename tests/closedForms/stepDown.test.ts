/**
 * S. Holm, A simple sequentially rejective multiple test procedure, Scandinavian Journal of Statistics 6 (1979) 65-70.
 * The example of p values .01, .04, .03, .005 at 5 %, of which the first and the last are rejected, is the usual one of
 * encyclopaedias (from memory); its adjusted values .03, .06, .06, .02 follow by hand: 4 x .005, 3 x .01, 2 x .03, and
 * .04 raised to the last.
 */
import { expect, it } from 'vitest';
import { holm } from '../../src/statistics/samples/holm.ts';

it('adjusts .01 .04 .03 .005 to .03 .06 .06 .02', () => {
  const adjusted = holm([0.01, 0.04, 0.03, 0.005]);
  // 50 eps.
  [0.03, 0.06, 0.06, 0.02].forEach((expected, i) => {
    expect(Math.abs((adjusted[i] ?? Number.NaN) - expected)).toBeLessThanOrEqual(1e-14);
  });
  expect(adjusted.map((p) => p <= 0.05)).toEqual([true, false, false, true]);
});
