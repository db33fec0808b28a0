/**
 * Q. McNemar, Note on the sampling error of the difference between correlated proportions or percentages, Psychometrika
 * 12 (1947) 153-157, in its exact form and as mid-p. 150 and 86 are the approval ratings in A. Agresti, Categorical
 * Data Analysis, Wiley 1990, p. 350. Expected p values were recomputed from the binomial distribution with scipy
 * 1.17.1; the dyadic ones are exact.
 */
import { describe, expect, it } from 'vitest';
import { evenSplit } from '../../src/statistics/proportions/evenSplit.ts';
import { mcnemar } from '../../src/statistics/proportions/paired.ts';

const table = [
  [150, 86, 3.71593613957e-5, 2.89338951762e-5],
  [59, 121, 4.43444926376e-6, 3.26664679577e-6],
  [12, 2, 0.012939453125, 0.00738525390625],
  [10, 3, 0.09228515625, 0.057373046875],
  [1, 7, 0.0703125, 0.0390625],
  [5, 0, 0.0625, 0.03125],
] as const;

describe('McNemar, exact and mid-p', () => {
  // Half of the twelfth digit shown.
  it.each(table)('%i against %i', (first, second, exact, mid) => {
    const found = mcnemar({ both: 40, firstOnly: first, secondOnly: second, neither: 7 });
    expect(Math.abs(found.exact / exact - 1)).toBeLessThanOrEqual(5e-12);
    expect(Math.abs(found.mid / mid - 1)).toBeLessThanOrEqual(5e-12);
    expect(evenSplit(second, first)).toEqual(found);
  });
});
