/**
 * NIST/SEMATECH e-Handbook of Statistical Methods, section 7.2.4.1, confidence intervals for a proportion.
 * Printed: 4 of 20, two-sided 90 % exact, 0.071354 and 0.401029 (the second is the page's solver; the exact value is
 * 0.4010281173, recomputed with scipy 1.17.1); 26 of 200, one-sided 95 % lower score limit, 0.09577.
 */
import { expect, it } from 'vitest';
import { clopperPearson, wilson } from '../../src/statistics/proportions/binomial.ts';

it('4 of 20: exact lower limit as printed', () => {
  expect(Math.abs(clopperPearson(4, 20, 0.9)[0] - 0.071354)).toBeLessThanOrEqual(5e-7);
});

it('4 of 20: exact upper limit, within one of the last digit printed and half of the last digit of the exact one', () => {
  const high = clopperPearson(4, 20, 0.9)[1];
  expect(Math.abs(high - 0.401029)).toBeLessThanOrEqual(1e-6);
  expect(Math.abs(high - 0.4010281173)).toBeLessThanOrEqual(5e-11);
});

it('26 of 200: the one-sided 95 % score limit is the lower end of the two-sided 90 % interval', () => {
  expect(Math.abs(wilson(26, 200, 0.9)[0] - 0.09577)).toBeLessThanOrEqual(5e-6);
});
