/** Rank correlation of two columns; for several inputs at once, each freed of the others, see partialCorrelation.ts. */
import { type Estimate, withInfluence } from '../sensitivity/influence.ts';
import { type Ranked, tieEnd } from './ranks.ts';

/**
 * Spearman's rank correlation with ties averaged, in [-1, 1]; also for yes/no columns.
 * @param x n >= 3 rows   @param y the same rows
 * @throws RangeError when the lengths differ or a column does not vary.
 * Sources: C. Spearman, The proof and measurement of association between two things, Amer. J. Psychology 15 (1904)
 * 72-101. Influence values: derived from the correlation of the mid-distribution functions, ranks being estimated too
 * (for columns without ties: C. Croux and C. Dehon, Influence functions of the Spearman and Kendall correlation
 * measures, Stat. Methods Appl. 19 (2010) 497-515).
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
  const influence = new Float32Array(n);
  for (let i = 0; i < n; i++) influence[i] = (f[i] * g[i]) / scale - (rho / 2) * ((f[i] * f[i]) / a + (g[i] * g[i]) / b);
  addRankPart(influence, x, g, 1 / scale, f, -rho / a);
  addRankPart(influence, y, f, 1 / scale, g, -rho / b);
  return withInfluence(Math.max(-1, Math.min(1, rho)), influence);
}

/** Average ranks as (rank - (n+1)/2) / n. */
function centredRanks(x: Ranked): Float64Array {
  const n = x.ranks.length;
  const centred = new Float64Array(n);
  for (let i = 0; i < n; i++) centred[i] = (x.ranks[i] - (n + 1) / 2) / n;
  return centred;
}

function meanProduct(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum / a.length;
}

/**
 * How the ranks of x themselves depend on each row: adds to its influence, for both scores and with their factors, the
 * mean over all rows of the score where x is larger, and half of it where x is equal. `own`: x's centred ranks, alike
 * over equal values.
 */
function addRankPart(influence: Float32Array, x: Ranked, score: Float64Array, factor: number, own: Float64Array, ownFactor: number): void {
  const { values, order } = x;
  const n = order.length;
  let rest = 0;
  for (let i = 0; i < n; i++) rest += score[i];
  let ownRest = 0; // centred ranks sum to 0
  for (let start = 0; start < n; ) {
    const end = tieEnd(values, order, start);
    let tied = 0;
    for (let i = start; i < end; i++) tied += score[order[i]];
    const ownTied = (end - start) * own[order[start]];
    rest -= tied;
    ownRest -= ownTied;
    const part = (factor * (rest + tied / 2) + ownFactor * (ownRest + ownTied / 2)) / n;
    for (let i = start; i < end; i++) influence[order[i]] += part;
    start = end;
  }
}
