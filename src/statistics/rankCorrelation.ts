/** Rank correlation of two columns; for several inputs at once, each freed of the others, see partialCorrelation.ts. */
import { type Estimate, withInfluence } from './influence.ts';
import { type Ranked, tieEnd } from './ranks.ts';

/**
 * Spearman's rank correlation with ties averaged, in [-1, 1]; also for yes/no columns.
 * @param x n >= 3 rows   @param y the same rows
 * @throws RangeError when the lengths differ or a column does not vary.
 * Sources: C. Spearman, The proof and measurement of association between two things, Amer. J. Psychology 15 (1904) 72-101. Influence
 * values: derived from the correlation of the mid-distribution functions, ranks being estimated too (for columns without ties: C. Croux
 * and C. Dehon, Influence functions of the Spearman and Kendall correlation measures, Stat. Methods Appl. 19 (2010) 497-515).
 */
export function spearman(x: Ranked, y: Ranked): Estimate {
  const n = x.values.length;
  if (y.values.length !== n) throw new RangeError(`columns of ${n} and ${y.values.length} rows have no correlation`);
  // F, G: mid-distribution functions less their mean 1/2
  const f = centredRanks(x);
  const g = centredRanks(y);
  const a = meanProduct(f, f);
  const b = meanProduct(g, g);
  const c = meanProduct(f, g);
  if (a === 0 || b === 0) throw new RangeError('a column that does not vary has no rank correlation');
  const scale = Math.sqrt(a * b);
  const rho = c / scale;
  // h(x_i) = mean over j of K(x_i, x_j) times a score, K = 1 below, 1/2 at a tie: how the ranks themselves depend on row i
  const hxg = meanAbove(x, g);
  const hxf = meanAbove(x, f);
  const hyf = meanAbove(y, f);
  const hyg = meanAbove(y, g);
  const influence = new Float32Array(n);
  for (let i = 0; i < n; i++) {
    const fi = f[i];
    const gi = g[i];
    const inC = fi * gi + hxg[i] + hyf[i];
    const inA = fi * fi + 2 * hxf[i];
    const inB = gi * gi + 2 * hyg[i];
    influence[i] = inC / scale - (rho / 2) * (inA / a + inB / b);
  }
  return withInfluence(Math.max(-1, Math.min(1, rho)), influence);
}

/** Average ranks as (rank - (n+1)/2) / n. */
export function centredRanks(x: Ranked): Float64Array {
  const n = x.ranks.length;
  return x.ranks.map((rank) => (rank - (n + 1) / 2) / n);
}

function meanProduct(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum / a.length;
}

/** For each row, the mean over all rows of `score` where x is larger, and half of it where x is equal. */
function meanAbove(x: Ranked, score: Float64Array): Float64Array {
  const { values, order } = x;
  const n = order.length;
  const above = new Float64Array(n);
  let rest = 0;
  for (let i = 0; i < n; i++) rest += score[i];
  for (let start = 0; start < n; ) {
    const end = tieEnd(values, order, start);
    let tied = 0;
    for (let i = start; i < end; i++) tied += score[order[i]];
    rest -= tied;
    const mean = (rest + tied / 2) / n;
    for (let i = start; i < end; i++) above[order[i]] = mean;
    start = end;
  }
  return above;
}
