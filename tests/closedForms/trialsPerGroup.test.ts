/**
 * J. L. Fleiss, B. Levin and M. C. Paik, Statistical Methods for Rates and Proportions, 3rd ed., Wiley 2003, chapter 4:
 * trials in each of two groups. Worked example .60 against .70 at 1 % two-sided with power .95: 827 with the continuity
 * correction (from memory; the book was not opened). The worked example of the R documentation of power.prop.test: .50
 * against .75, power .90, 5 %: n = 76.7 (from memory). The formula itself agrees with both.
 */
import { expect, it } from 'vitest';
import { trialsPerGroup } from '../../src/statistics/proportions/sampleSize.ts';

it('.60 against .70, 1 %, power .95: 827 per group with correction', () => {
  expect(Math.ceil(trialsPerGroup(0.6, 0.7, { alpha: 0.01, power: 0.95 }, true))).toBe(827);
});

it('.50 against .75, 5 %, power .90: 76.7 per group without', () => {
  expect(Math.abs(trialsPerGroup(0.5, 0.75, { alpha: 0.05, power: 0.9 }, false) - 76.7)).toBeLessThanOrEqual(0.05);
});
