/**
 * W. H. Kruskal, Ordinal measures of association, J. Am. Stat. Assoc. 53 (1958) 814-861: for two normals of correlation
 * r, Spearman's rank correlation is (6/pi) asin(r/2), Kendall's (2/pi) asin r. The digits are these formulas, 10
 * decimals.
 */
import { describe, expect, it } from 'vitest';
import { INPUT_INDEX } from '../../src/inputs/catalogue.ts';
import { correlatedGroups } from '../../src/inputs/correlations.ts';
import { stream } from '../../src/maths/streams.ts';
import { correlate } from '../../src/sampling/copula.ts';

const TABLE = [
  [-0.5, -0.4825837395, -1 / 3],
  [0.3, 0.2875642186, 0.193973368],
  [0.5, 0.4825837395, 1 / 3],
  [0.7, 0.6829105038, 0.4936333778],
  [0.9, 0.8914561317, 0.7128674137],
] as const;

const pair = (rank: number) => correlatedGroups([{ a: 'wind.speed', b: 'ascent.impulseFactor', rank }])[0];

describe('the rank correlation asked for', () => {
  it.each(TABLE)('r = %d comes from a rank correlation of %d', (r, spearman) => {
    const { factor, columns } = pair(spearman);
    expect(columns).toEqual([INPUT_INDEX.get('ascent.impulseFactor'), INPUT_INDEX.get('wind.speed')]);
    // Half the last printed digit times dr/dSpearman, which is under 1.05.
    expect(Math.abs(factor[2] - r)).toBeLessThanOrEqual(0.53e-10);
    expect(Math.abs(factor[3] - Math.sqrt(1 - r * r))).toBeLessThanOrEqual(2e-10);
    expect([factor[0], factor[1]]).toEqual([1, 0]);
  });

  it.each(TABLE)('r = %d: 3000 draws have its Spearman %d and Kendall %d', (_r, spearman, kendall) => {
    const n = 3000;
    const { factor } = pair(spearman);
    const next = stream('kruskal');
    const u = new Float64Array(2);
    const places = Int32Array.of(0, 1);
    const draws = Array.from({ length: n }, () => {
      u.set([next(), next()]);
      correlate(u, places, factor, new Float64Array(2));
      return [u[0], u[1]];
    });
    const rank = (column: number): Float64Array => {
      const ranks = new Float64Array(n);
      draws
        .map((d, i) => [d[column], i])
        .sort((a, b) => a[0] - b[0])
        .forEach(([, i], k) => {
          ranks[i] = k;
        });
      return ranks;
    };
    const [first, second] = [rank(0), rank(1)];
    let squares = 0;
    let concordant = 0;
    for (let i = 0; i < n; i++) {
      squares += (first[i] - second[i]) ** 2;
      for (let j = 0; j < i; j++) concordant += Math.sign((first[i] - first[j]) * (second[i] - second[j]));
    }
    // 4 standard errors, each at most that of independence: 1/sqrt(n) and 2/(3 sqrt n); false alarm 6e-5 a number.
    expect(Math.abs(1 - (6 * squares) / (n * (n * n - 1)) - spearman)).toBeLessThanOrEqual(4 / Math.sqrt(n));
    expect(Math.abs((2 * concordant) / (n * (n - 1)) - kendall)).toBeLessThanOrEqual(8 / 3 / Math.sqrt(n));
  });
});
