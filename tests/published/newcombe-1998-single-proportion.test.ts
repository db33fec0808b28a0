/**
 * R. G. Newcombe, Two-sided confidence intervals for the single proportion: comparison of seven methods,
 * Statistics in Medicine 17 (1998) 857-872, Table I, method 5 (exact) and method 3 (score), 95 %.
 * `printed` are the article's four decimals; the long digits were recomputed from the formulas with scipy 1.17.1.
 * L. D. Brown, T. T. Cai and A. DasGupta, Statistical Science 16 (2001) 101-133, review both methods.
 */
import { describe, expect, it } from 'vitest';
import { clopperPearson, wilson } from '../../src/statistics/proportions/binomial.ts';

const printed = [
  { k: 81, n: 263, exact: [0.2527, 0.3676], score: [0.2553, 0.3662] },
  { k: 15, n: 148, exact: [0.0578, 0.1617], score: [0.0624, 0.1605] },
  { k: 0, n: 20, exact: [0, 0.1684], score: [0, 0.1611] },
  { k: 1, n: 29, exact: [0.0009, 0.1776], score: [0.0061, 0.1718] },
] as const;

const recomputed = [
  { k: 81, n: 263, exact: [0.2527367456, 0.3676219226], score: [0.2552885199, 0.366209577] },
  { k: 15, n: 148, exact: [0.0578440101, 0.1616504903], score: [0.0623863995, 0.1604872417] },
  { k: 0, n: 20, exact: [0, 0.168433471], score: [0, 0.1611251581] },
  { k: 1, n: 29, exact: [0.0008726469, 0.1776442955], score: [0.0061132143, 0.1717552188] },
  { k: 29, n: 29, exact: [0.8805551309, 1], score: [0.8830302015, 1] },
  { k: 0, n: 10, exact: [0, 0.3084971078], score: [0, 0.2775327999] },
  { k: 5, n: 10, exact: [0.1870860284, 0.8129139716], score: [0.2365930905, 0.7634069095] },
  { k: 95, n: 100, exact: [0.8871650889, 0.9835681208], score: [0.8882495308, 0.9784563208] },
  { k: 100, n: 100, exact: [0.9637833074, 1], score: [0.9630065018, 1] },
  { k: 970, n: 1000, exact: [0.9574485975, 0.9796695143], score: [0.9574965859, 0.9789062612] },
  { k: 9990, n: 10000, exact: [0.9981617359, 0.9995203603], score: [0.9981600556, 0.999456714] },
] as const;

describe('95 % intervals for one proportion', () => {
  // Half of the last printed digit.
  it.each(printed)('$k of $n as printed', ({ k, n, exact, score }) => {
    const [exactLow, exactHigh] = clopperPearson(k, n, 0.95);
    const [scoreLow, scoreHigh] = wilson(k, n, 0.95);
    expect(Math.abs(exactLow - exact[0])).toBeLessThanOrEqual(5e-5);
    expect(Math.abs(exactHigh - exact[1])).toBeLessThanOrEqual(5e-5);
    expect(Math.abs(scoreLow - score[0])).toBeLessThanOrEqual(5e-5);
    expect(Math.abs(scoreHigh - score[1])).toBeLessThanOrEqual(5e-5);
  });

  // Half of the last digit shown here.
  it.each(recomputed)('$k of $n to all recomputed digits', ({ k, n, exact, score }) => {
    const [exactLow, exactHigh] = clopperPearson(k, n, 0.95);
    const [scoreLow, scoreHigh] = wilson(k, n, 0.95);
    expect(Math.abs(exactLow - exact[0])).toBeLessThanOrEqual(5e-11);
    expect(Math.abs(exactHigh - exact[1])).toBeLessThanOrEqual(5e-11);
    expect(Math.abs(scoreLow - score[0])).toBeLessThanOrEqual(5e-11);
    expect(Math.abs(scoreHigh - score[1])).toBeLessThanOrEqual(5e-11);
  });
});
