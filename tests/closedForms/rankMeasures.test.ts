/**
 * R. L. Iman and W. J. Conover, Technometrics 21 (1979) 499-509: correlations on ranks (article not opened: the
 * definitions). The eight rows are ours, their digits from numpy and scipy 1.17.1.
 */
import { describe, expect, it } from 'vitest';
import { keptRanks } from '../../src/statistics/samples/keptRanks.ts';
import { spearman } from '../../src/statistics/samples/rankCorrelation.ts';
import { ranked } from '../../src/statistics/samples/ranks.ts';
import { correlationMatrix, StandardScores } from '../../src/statistics/sensitivity/correlationMatrix.ts';
import { partialRankCorrelations } from '../../src/statistics/sensitivity/partialCorrelation.ts';

describe('eight rows, every printed digit', () => {
  const x1 = Float64Array.of(1, 2, 3, 4, 5, 6, 7, 8);
  const x2 = Float64Array.of(2, 1, 5, 3, 8, 4, 9, 6);
  const y = Float64Array.of(3.1, 3.9, 8.2, 8.1, 13.0, 11.8, 16.2, 16.1);
  const [r1, r2, ry] = [x1, x2, y].map((column) => keptRanks(ranked(column)));
  const pearson = correlationMatrix(new StandardScores([x1, x2, y]));
  const partialRank = partialRankCorrelations([r1, r2])(ry);
  const printed: [name: string, value: number, expected: number, digits: number][] = [
    ['Pearson of x1', pearson[2], 0.9684801864, 10],
    ['Pearson of x2', pearson[5], 0.872551467, 10],
    ['Spearman of x1', spearman(r1, ry).estimate, 0.9285714286, 10],
    ['Spearman of x2', spearman(r2, ry).estimate, 0.9285714286, 10],
    ['PRCC of x1', partialRank[0].estimate, 0.91969878, 10],
    ['PRCC of x2', partialRank[1].estimate, 0.91969878, 10],
  ];
  for (const [name, value, expected, digits] of printed) it(`${name} ${expected}`, () => expect(value).toBeCloseTo(expected, digits));
});
