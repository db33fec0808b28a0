/**
 * A. Saltelli et al., Global Sensitivity Analysis: The Primer (2008), section 1.2.5, for the regression measures; R. L. Iman and W. J.
 * Conover, Technometrics 21 (1979) 499-509, for those on ranks. The eight rows are ours, their digits from numpy and scipy 1.17.1.
 */
import { describe, expect, it } from 'vitest';
import { normalQuantile } from '../../src/maths/normal.ts';
import { stream } from '../../src/maths/streams.ts';
import { spearman } from '../../src/statistics/samples/rankCorrelation.ts';
import { ranked } from '../../src/statistics/samples/ranks.ts';
import { correlationMatrix, standardise } from '../../src/statistics/sensitivity/correlationMatrix.ts';
import { partialCorrelations, partialRankCorrelations } from '../../src/statistics/sensitivity/partialCorrelation.ts';
import { linearRegression } from '../../src/statistics/sensitivity/regression.ts';

describe('eight rows, every printed digit', () => {
  const x1 = Float64Array.of(1, 2, 3, 4, 5, 6, 7, 8);
  const x2 = Float64Array.of(2, 1, 5, 3, 8, 4, 9, 6);
  const y = Float64Array.of(3.1, 3.9, 8.2, 8.1, 13.0, 11.8, 16.2, 16.1);
  const [r1, r2, ry] = [x1, x2, y].map(ranked);
  const fit = linearRegression([x1, x2], y);
  const onRanks = linearRegression([r1.ranks, r2.ranks], ry.ranks);
  const pearson = correlationMatrix(standardise([x1, x2, y]));
  const partial = partialCorrelations([x1, x2], y);
  const partialRank = partialRankCorrelations([r1, r2])(ry);
  const printed: [name: string, value: number, expected: number, digits: number][] = [
    ['intercept', fit.intercept, 0.39308318, 8],
    ['coefficient of x1', fit.coefficients[0], 1.46387884, 8],
    ['coefficient of x2', fit.coefficients[1], 0.64620253, 8],
    ['R^2', fit.rSquared.estimate, 0.9992004633, 10],
    ['SRC of x1', fit.standardised[0].estimate, 0.70802594, 8],
    ['SRC of x2', fit.standardised[1].estimate, 0.35928124, 8],
    ['Pearson of x1', pearson[2], 0.9684801864, 10],
    ['Pearson of x2', pearson[5], 0.872551467, 10],
    ['partial of x1', partial[0].estimate, 0.9983234982, 10],
    ['partial of x2', partial[1].estimate, 0.9935360254, 10],
    ['Spearman of x1', spearman(r1, ry).estimate, 0.9285714286, 10],
    ['Spearman of x2', spearman(r2, ry).estimate, 0.9285714286, 10],
    ['SRRC of x1', onRanks.standardised[0].estimate, 0.52702703, 8],
    ['SRRC of x2', onRanks.standardised[1].estimate, 0.52702703, 8],
    ['PRCC of x1', partialRank[0].estimate, 0.91969878, 10],
    ['PRCC of x2', partialRank[1].estimate, 0.91969878, 10],
  ];
  for (const [name, value, expected, digits] of printed) it(`${name} ${expected}`, () => expect(value).toBeCloseTo(expected, digits));
});

describe('y = 3 x1 + 2 x2 + x3 with deviations 1, 2, 3, from 20,000 rows, to 4 standard errors with this seed', () => {
  const draw = stream('linear model');
  const inputs = [1, 2, 3].map((sd) => Float64Array.from({ length: 20_000 }, () => sd * normalQuantile(draw())));
  // a trace of noise, since an exact fit leaves nothing to invert; it changes the shares by less than 1e-4
  const y = inputs[0].map((v, i) => 3 * v + 2 * inputs[1][i] + inputs[2][i] + 0.01 * normalQuantile(draw()));
  const fit = linearRegression(inputs, y);
  for (const [i, src] of [0.5144957554, 0.6859943406, 0.5144957554].entries()) {
    it(`SRC of x${i + 1} is ${src}`, () => {
      const e = fit.standardised[i];
      expect(Math.abs(e.estimate - src)).toBeLessThan(4 * e.standardError);
      expect(e.standardError).toBeLessThan(0.005);
    });
  }
});
