/** Rank correlation of two columns; for several inputs at once, each freed of the others, see partialCorrelation.ts. */
import type { Stated } from '../sensitivity/influence.ts';
import { type Ordered, type Ranked, tieEnd } from './ranks.ts';

/**
 * Spearman's rank correlation with ties averaged, in [-1, 1]; also for yes/no columns.
 * @param x n >= 3 rows   @param y the same rows
 * @param influence is filled with the influence values by row, before their mean is taken off, for whoever wants them
 * @throws RangeError when the lengths differ or a column does not vary.
 * Sources: C. Spearman, The proof and measurement of association between two things, Amer. J. Psychology 15 (1904)
 * 72-101. Influence values: derived from the correlation of the mid-distribution functions, ranks being estimated too
 * (for columns without ties: C. Croux and C. Dehon, Influence functions of the Spearman and Kendall correlation
 * measures, Stat. Methods Appl. 19 (2010) 497-515).
 */
export function spearman(x: Ordered, y: Ranked, influence?: Float64Array): Stated {
  const n = x.order.length;
  if (y.order.length !== n) throw new RangeError(`columns of ${n} and ${y.order.length} rows have no correlation`);
  if (n < 3) throw new RangeError(`${n} rows are too few for a rank correlation: at least 3`);
  const ofWhole = 1 / (2 * n);
  // F, G: mid-distribution functions less their mean 1/2. From twice the rank, a whole number.
  const centred = (doubled: number): number => (doubled - (n + 1)) * ofWhole;
  const ofRow = new Uint32Array(n);
  for (let i = 0; i < n; i++) ofRow[i] = 2 * y.ranks[i];
  // All goes in the order of x, where only y's ranks have to be fetched from all over the rows.
  const yDoubled = new Uint32Array(n);
  // By y: the sum of x's centred ranks over equal values, at the place among theirs that half their doubled rank is.
  const byY = new Float64Array(n);
  // Sums of the squares and of the product, in whole numbers, whose order changes no digit of some 100,000 rows.
  let [ff, gg, fg] = [0, 0, 0];
  for (let start = 0; start < n; ) {
    const end = tieEnd(x.ascending, start);
    const f = start + end - n;
    for (let i = start; i < end; i++) {
      const doubled = ofRow[x.order[i]];
      const g = doubled - (n + 1);
      yDoubled[i] = doubled;
      byY[(doubled >> 1) - 1] += f;
      ff += f * f;
      gg += g * g;
      fg += f * g;
    }
    start = end;
  }
  if (ff === 0 || gg === 0) throw new RangeError('a column that does not vary has no rank correlation');
  const rho = fg / Math.sqrt(ff * gg);
  // Mean squares.
  const [a, b] = [(ff * ofWhole ** 2) / n, (gg * ofWhole ** 2) / n];
  const scale = Math.sqrt(a * b);
  for (let p = 0; p < n; p++) byY[p] *= ofWhole;
  rankPart(byY, y.ascending, 1 / scale, -rho / b);
  let [sum, squares] = [0, 0];
  // How the ranks of x themselves depend on a row: as rankPart says, here walked along.
  let [above, ownAbove] = [0, 0];
  for (let start = 0; start < n; ) {
    const end = tieEnd(x.ascending, start);
    const f = centred(start + 1 + end);
    let tied = 0;
    for (let i = start; i < end; i++) tied += centred(yDoubled[i]);
    const ownTied = (end - start) * f;
    above -= tied;
    ownAbove -= ownTied;
    const part = ((above + tied / 2) / scale - (rho / a) * (ownAbove + ownTied / 2)) / n;
    for (let i = start; i < end; i++) {
      const g = centred(yDoubled[i]);
      const value = (f * g) / scale - (rho / 2) * ((f * f) / a + (g * g) / b) + part + byY[(yDoubled[i] >> 1) - 1];
      sum += value;
      squares += value * value;
      if (influence !== undefined) influence[x.order[i]] = value;
    }
    start = end;
  }
  const spread = Math.max(0, squares - (sum * sum) / n);
  return { estimate: Math.max(-1, Math.min(1, rho)), standardError: Math.sqrt(spread / n / (n - 1)) };
}

/**
 * How the ranks of a column themselves depend on each row: for the other column's centred ranks and for its own, with
 * their factors, the mean over all rows of them where this column is larger, and half of it where it is equal.
 * @param sums of the other's centred ranks over equal values, at their place; becomes that part
 */
function rankPart(sums: Float64Array, ascending: Float64Array, factor: number, ownFactor: number): void {
  const n = ascending.length;
  // Centred ranks sum to 0: all above is 0 at first.
  let [above, ownAbove] = [0, 0];
  for (let start = 0; start < n; ) {
    const end = tieEnd(ascending, start);
    const doubled = start + 1 + end;
    const place = (doubled >> 1) - 1;
    const tied = sums[place];
    const ownTied = (end - start) * ((doubled - (n + 1)) / (2 * n));
    above -= tied;
    ownAbove -= ownTied;
    sums[place] = (factor * (above + tied / 2) + ownFactor * (ownAbove + ownTied / 2)) / n;
    start = end;
  }
}
