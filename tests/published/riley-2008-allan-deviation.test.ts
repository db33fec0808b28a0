/**
 * W. J. Riley, Handbook of Frequency Stability Analysis, NIST Special Publication 1065 (2008): tables 30 and 31, the
 * nine-point and the 1,000-point test sets. Digits as printed in several public test suites; the handbook itself was
 * not opened. Values at other averaging times were computed by two independent programs.
 */
import { expect, it } from 'vitest';
import { allanVariance } from '../../src/statistics/series/allan.ts';

const NINE = Float64Array.of(892, 809, 823, 798, 671, 644, 883, 903, 677);

/** n' = 16807 n mod (2^31 - 1), over 2^31 - 1: the first value is the seed's own. */
function thousand(): Float64Array {
  let n = 1_234_567_890;
  return Float64Array.from({ length: 1000 }, () => {
    const value = n / 2_147_483_647;
    n = (16_807 * n) % 2_147_483_647;
    return value;
  });
}

const deviation = (series: Float64Array, m: number): number => Math.sqrt(allanVariance([series], m)?.variance ?? Number.NaN);

it('the 1,000 points are those of the handbook', () => {
  const series = thousand();
  expect(series[0]).toBeCloseTo(0.5748904732, 10);
  expect(series.reduce((a, b) => a + b) / 1000).toBeCloseTo(0.4897744629, 10);
});

it.each([
  [1, 0.2922319],
  [10, 0.09159953],
  [100, 0.03241343],
])('overlapping Allan deviation of the 1,000 points, %d averaged: %d as printed', (m, printed) => {
  // half the last printed digit
  expect(Math.abs(deviation(thousand(), m) - printed)).toBeLessThanOrEqual(m === 1 ? 5e-8 : 5e-9);
});

it.each([
  [1, 0.2922318781, 999],
  [2, 0.2010160422, 997],
  [4, 0.1447913072, 993],
  [5, 0.1331863746, 991],
  [20, 0.0536996666, 961],
  [50, 0.0395017868, 901],
  [200, 0.0164482863, 601],
])('and at other times: %d averaged, %d of %d terms', (m, expected, terms) => {
  expect(Math.abs(deviation(thousand(), m) - expected)).toBeLessThanOrEqual(5e-11);
  expect(allanVariance([thousand()], m)?.terms).toBe(terms);
});

it.each([
  [1, 91.22945],
  [2, 85.95287],
])('of the nine points, %d averaged: %d as printed', (m, printed) => {
  expect(Math.abs(deviation(NINE, m) - printed)).toBeLessThanOrEqual(5e-6);
});
