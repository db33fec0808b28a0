/** Rank correlation of two columns; for several inputs at once, each freed of the others, see partialCorrelation.ts. */
import type { Stated } from '../sensitivity/influence.ts';
import type { KeptRanks, RankClasses } from './keptRanks.ts';

/** Rows whose classes are looked up at once. */
const BLOCK = 1024;

/**
 * Spearman's rank correlation with ties averaged, in [-1, 1]; also for yes/no columns.
 * @param x n >= 3 rows   @param y the same rows
 * @param influence is filled with the influence values by row, before their mean is taken off, for whoever wants them
 * @throws RangeError when the lengths differ or a column does not vary.
 * Sources: C. Spearman, The proof and measurement of association between two things, Amer. J. Psychology 15 (1904)
 * 72-101. Influence values: derived from the correlation of the mid-distribution functions, ranks being estimated too,
 * that part in classes of them (for columns without ties: C. Croux and C. Dehon, Influence functions of the Spearman and
 * Kendall correlation measures, Stat. Methods Appl. 19 (2010) 497-515).
 */
export function spearman(x: KeptRanks, y: KeptRanks, influence?: Float64Array): Stated {
  const n = x.doubled.length;
  if (y.doubled.length !== n) throw new RangeError(`columns of ${n} and ${y.doubled.length} rows have no correlation`);
  if (n < 3) throw new RangeError(`${n} rows are too few for a rank correlation: at least 3`);
  const [inX, inY] = [classSums(x.classes), classSums(y.classes)];
  const [ofX, ofY] = [new Uint8Array(BLOCK), new Uint8Array(BLOCK)];
  // Sums of the squares and of the product, in whole numbers, whose order changes no digit of some 100,000 rows.
  let [ff, gg, fg] = [0, 0, 0];
  for (let start = 0; start < n; start += BLOCK) {
    const count = Math.min(BLOCK, n - start);
    x.classes.fill(ofX, x.doubled, start, count);
    y.classes.fill(ofY, y.doubled, start, count);
    for (let i = 0; i < count; i++) {
      const f = x.doubled[start + i] - (n + 1);
      const g = y.doubled[start + i] - (n + 1);
      ff += f * f;
      gg += g * g;
      fg += f * g;
      inX.own[ofX[i]] += f;
      inX.other[ofX[i]] += g;
      inY.own[ofY[i]] += g;
      inY.other[ofY[i]] += f;
    }
  }
  if (ff === 0 || gg === 0) throw new RangeError('a column that does not vary has no rank correlation');
  const rho = fg / Math.sqrt(ff * gg);
  // The mid-distribution functions less their mean 1/2 are f and g over 2 n. Their mean squares:
  const ofWhole = 1 / (2 * n);
  const [a, b] = [(ff * ofWhole ** 2) / n, (gg * ofWhole ** 2) / n];
  const scale = Math.sqrt(a * b);
  const partX = rankPart(inX, ofWhole / n / scale, (-rho * ofWhole) / n / a);
  const partY = rankPart(inY, ofWhole / n / scale, (-rho * ofWhole) / n / b);
  let [sum, squares] = [0, 0];
  for (let start = 0; start < n; start += BLOCK) {
    const count = Math.min(BLOCK, n - start);
    x.classes.fill(ofX, x.doubled, start, count);
    y.classes.fill(ofY, y.doubled, start, count);
    for (let i = 0; i < count; i++) {
      const f = (x.doubled[start + i] - (n + 1)) * ofWhole;
      const g = (y.doubled[start + i] - (n + 1)) * ofWhole;
      const value = (f * g) / scale - (rho / 2) * ((f * f) / a + (g * g) / b) + partX[ofX[i]] + partY[ofY[i]];
      sum += value;
      squares += value * value;
      if (influence !== undefined) influence[start + i] = value;
    }
  }
  const spread = Math.max(0, squares - (sum * sum) / n);
  return { estimate: Math.max(-1, Math.min(1, rho)), standardError: Math.sqrt(spread / n / (n - 1)) };
}

/** Sums, over the classes of one column, of its own centred ranks and of the other's. */
interface ClassSums {
  readonly own: Float64Array;
  readonly other: Float64Array;
}

function classSums({ count }: RankClasses): ClassSums {
  return { own: new Float64Array(count), other: new Float64Array(count) };
}

/**
 * How the ranks of a column themselves depend on a row of each class: for the other column's centred ranks and for its
 * own, with their factors, the sum over all rows of them where this column is larger, and half of it where it is equal.
 */
function rankPart({ own, other }: ClassSums, factor: number, ownFactor: number): Float64Array {
  // Centred ranks sum to 0: all above is 0 at first.
  let [above, ownAbove] = [0, 0];
  return own.map((ownTied, c) => {
    const tied = other[c];
    above -= tied;
    ownAbove -= ownTied;
    return factor * (above + tied / 2) + ownFactor * (ownAbove + ownTied / 2);
  });
}
