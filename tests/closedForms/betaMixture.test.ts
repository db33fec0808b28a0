/**
 * Success probabilities that differ by a beta distribution: digits from the closed forms, S(n) = B(a, b+n)/B(a, b), and
 * fits to waiting times that were published: P. S. Fader and B. G. S. Hardie, J. Interactive Marketing 21 (2007) 76-90
 * (data and the first fit as two public test suites print them), and the cycles to pregnancy of C. R. Weinberg and B.
 * C. Gladen, Biometrics 42 (1986) 547-560 (data as in two public copies). Articles not opened; fits beyond the printed
 * digits were recomputed by two optimisers.
 */
import { describe, expect, it } from 'vitest';
import {
  type BetaMixture,
  chanceOfNone,
  countGroups,
  fitBetaMixture,
  type Group,
  logLikelihood,
  mixtureQuantile,
  nextSucceeds,
  runToShow,
  shapes,
} from '../../src/statistics/proportions/betaMixture.ts';
import { near } from '../helpers/near.ts';

const beta = (a: number, b: number): BetaMixture => ({ mean: a / (a + b), correlation: 1 / (a + b + 1) });

describe('a first success within n', () => {
  it.each([
    [1, 1, [1 / 2, 2 / 3, 3 / 4, 5 / 6, 10 / 11, 20 / 21]],
    [2, 2, [0.5, 0.7, 0.8, 0.892857142857, 0.961538461538, 0.98814229249]],
    [8, 2, [0.8, 0.945454545455, 0.981818181818, 0.997002997003, 0.99988092403, 0.999997903146]],
    [0.8, 0.2, [0.8, 0.88, 0.912, 0.940864, 0.965754826752, 0.980251334655]],
    [0.5, 0.5, [0.5, 0.625, 0.6875, 0.75390625, 0.823802947998, 0.87462931238]],
  ])('Beta(%d, %d)', (a, b, expected) => {
    // The digits are printed to 12 places.
    for (const [i, n] of [1, 2, 3, 5, 10, 20].entries()) near(1 - chanceOfNone(beta(a, b), n), expected[i], 1e-12);
  });

  it('without any difference between groups is the naive curve', () => {
    for (const n of [1, 2, 5]) near(chanceOfNone({ mean: 0.8, correlation: 0 }, n), 0.2 ** n, 1e-15);
  });
});

it('the next success after n failures has chance a/(a + b + n)', () => {
  for (const n of [0, 1, 7]) near(nextSucceeds(beta(3, 2), { trials: n, successes: 0 }), 3 / (5 + n), 1e-14);
  near(nextSucceeds(beta(3, 2), { trials: 4, successes: 1 }), 4 / 9, 1e-14);
});

it('a uniform mixture has its quantiles at their shares, and needs the run that a uniform prior needs', () => {
  for (const share of [0.1, 0.5, 0.9]) near(mixtureQuantile(beta(1, 1), share), share, 1e-11);
  // p^(r + 1) is the distribution after r successes: 1 - 0.9^(r + 1) >= 0.9 from r = 21 on.
  expect(runToShow(beta(1, 1), 0.9, 0.9, 100)).toBe(21);
  expect(runToShow(beta(1, 1), 0.9, 0.9, 20)).toBeNull();
});

/** Groups that ended at their t-th trial with a success, and groups that never did. */
const waiting = (ended: readonly number[], left: number): Group[] => [
  ...ended.flatMap((count, t) => Array.from({ length: count }, () => ({ trials: t + 1, successes: 1 }))),
  ...Array.from({ length: left }, () => ({ trials: ended.length, successes: 0 })),
];

describe('fits to waiting times', () => {
  it.each([
    ['customers who stay long', [131, 126, 90, 60, 42, 34, 26], 491, 0.66808837, 3.80609524, -1611.1581474],
    ['regular customers', [369, 163, 86, 56, 37, 27, 21], 241, 0.70407732, 1.18204307, -1680.2651885],
    ['smokers', [29, 16, 17, 4, 3, 9, 4, 5, 1, 1, 1, 3], 7, 3.0189603, 7.9421558, -218.77185613],
    ['non-smokers', [198, 107, 55, 38, 18, 22, 7, 9, 5, 3, 6, 6], 12, 2.9879634, 4.3339871, -890.39174968],
  ])('%s', (_, ended, left, a, b, likelihood) => {
    const counts = countGroups(waiting(ended, left));
    const fit = fitBetaMixture(counts);
    if (fit === null) throw new Error('no fit');
    // The top is flat: what a likelihood of 1e-10 relative leaves open of the shapes is some 1e-5 of them.
    const found = shapes(fit);
    near(found.a / a, 1, 1e-4);
    near(found.b / b, 1, 1e-4);
    near(logLikelihood(counts, fit), likelihood, 1e-6);
  });

  it('has the first one’s printed digits, and its likelihood at shapes of 1', () => {
    const counts = countGroups(waiting([131, 126, 90, 60, 42, 34, 26], 491));
    const { a, b } = shapes(fitBetaMixture(counts) as BetaMixture);
    expect([a.toFixed(3), b.toFixed(3)]).toEqual(['0.668', '3.806']);
    near(logLikelihood(counts, beta(1, 1)), -2115.5455066, 1e-6);
  });
});

describe('fits to groups of trials', () => {
  const groups = (text: string): Group[] =>
    text.split(' ').map((pair) => {
      const [trials, successes] = pair.split(':').map(Number);
      return { trials, successes };
    });

  // Rats that survived, of litters (C. S. Weil, 1970, as D. A. Williams, 1975, has them); digits from a direct maximum.
  it('treated litters', () => {
    const fit = fitBetaMixture(countGroups(groups('12:12 11:11 10:10 9:9 11:10 10:9 10:9 9:8 9:8 5:4 9:7 7:4 10:5 6:3 10:3 7:0')));
    near(fit?.mean ?? Number.NaN, 0.740006757, 1e-6);
    near(fit?.correlation ?? Number.NaN, 0.31743578, 1e-6);
  });

  it('counts a group by its weight as often as it is there', () => {
    const once = groups('5:5 5:4 5:2 5:0');
    expect(countGroups(once, [2, 0, 1, 3])).toEqual(countGroups(groups('5:5 5:5 5:2 5:0 5:0 5:0')));
  });

  it('has none where all trials end alike, or none was tried twice', () => {
    expect(fitBetaMixture(countGroups(groups('3:3 2:2')))).toBeNull();
    expect(fitBetaMixture(countGroups(groups('3:0 2:0')))).toBeNull();
    expect(fitBetaMixture(countGroups(groups('1:0 1:1')))).toBeNull();
  });
});
