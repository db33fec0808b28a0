/**
 * Variance shares of inputs from pick-freeze designs: first order (the input alone), total (with all its interactions),
 * second order (pairs).
 *
 * A and B are two independent matrices of N rows of inputs; AB_i is A with column i from B; BA_i is B with column i
 * from A. The functions take only the outputs. The inputs must be independent of each other.
 */
import { bcaInterval, bootstrap, type Replicates } from '../samples/bootstrap.ts';
import type { Interval } from '../samples/interval.ts';
import { type Estimate, normalInterval, withInfluence } from './influence.ts';

/** Outputs of a pick-freeze design, N values each. */
export interface PickFreeze {
  readonly a: Float64Array;
  readonly b: Float64Array;
  /** One an input: A with that column from B. */
  readonly ab: readonly Float64Array[];
  /** One an input: B with that column from A; null when not flown (saves half the flights; no second order then). */
  readonly ba: readonly Float64Array[] | null;
}

/** One share. */
export interface Share extends Estimate {
  /**
   * Rows that the estimate is made of, in effect: those in which exchanging the input changed anything, a large change
   * counting for more.
   */
  readonly telling: number;
  /**
   * What four rows more, two for and two against, would add to the standard error: next to nothing, unless hardly any
   * row tells.
   */
  readonly doubt: number;
}

export interface VarianceShares {
  readonly variance: number;
  /** One an input; sampling may carry them a little below 0 or above 1. */
  readonly first: readonly Share[];
  readonly total: readonly Share[];
  /** The first-order statistics of all inputs, then the totals: for bootstrap.ts's intervals and covariances. */
  readonly replicates: Replicates;
}

/** Population variance of all outputs of A and B together. */
function pooledVariance(a: Float64Array, b: Float64Array): number {
  const mean = pooledMean(a, b);
  let squares = 0;
  for (const column of [a, b]) for (const value of column) squares += (value - mean) ** 2;
  return squares / (a.length + b.length);
}

/**
 * First-order and total shares of every input with their bootstrap replicates.
 *
 * With BA: the symmetric estimators of I. Azzini, T. A. Mara and R. Rosati, Comparison of two sets of Monte Carlo
 * estimators of Sobol' indices, Environ. Model. Softw. 144 (2021) 105167: first 2 sum (BA-B)(A-AB) / D, total sum
 * [(B-BA)^2 + (A-AB)^2] / D, D = sum [(A-B)^2 + (BA-AB)^2]. Without: Saltelli's (2010) first order on outputs less
 * their mean, and Jansen's total. All are ratios of means over rows; for an input without effect both numerators vanish
 * row by row, so small shares are told apart from 0.
 * @param replicates bootstrap draws, >= 100   @param key seeds them
 * @throws RangeError on lengths that differ, outputs that are not finite or do not vary.
 */
export function varianceShares(design: PickFreeze, replicates: number, key: string): VarianceShares {
  const { rows, inputs, centre } = checked(design);
  const ratios = [...inputs.map((i) => firstRatio(design, i, centre)), ...inputs.map((i) => totalRatio(design, i, centre))];
  const estimates = sharesOf(ratios);
  const drawn = bootstrap(rows, replicates, key, ratios.length, (out, times) => {
    for (const [k, { top, bottom }] of ratios.entries()) {
      let above = 0;
      let below = 0;
      for (let j = 0; j < rows; j++) {
        const t = times[j];
        above += t * top[j];
        below += t * bottom[j];
      }
      out[k] = above / below;
    }
  });
  const d = inputs.length;
  return { variance: pooledVariance(design.a, design.b), first: estimates.slice(0, d), total: estimates.slice(d), replicates: drawn };
}

/**
 * Second-order share of a pair: what the two inputs do together beyond each alone. One pair a call, for there are many.
 * @param i, j different inputs   @throws RangeError as above, or when the design has no BA.
 * Source: A. Saltelli, Making best use of model evaluations to compute sensitivity indices, Comput. Phys. Commun. 145
 * (2002) 280-297, both orders of the pair averaged and mean[f(A) f(B)] for the squared mean.
 */
export function secondOrder(design: PickFreeze, i: number, j: number): Share {
  const { rows, inputs, centre } = checked(design);
  if (design.ba === null) throw new RangeError('second order needs the design with B as base too');
  if (i === j || !inputs.includes(i) || !inputs.includes(j))
    throw new RangeError(`inputs ${i} and ${j} are no pair among ${inputs.length}`);
  const [abi, abj] = [column(design.ab, i), column(design.ab, j)];
  const [bai, baj] = [column(design.ba, i), column(design.ba, j)];
  const top = new Float64Array(rows);
  for (let r = 0; r < rows; r++) {
    const crossed = (bai[r] - centre) * (abj[r] - centre) + (baj[r] - centre) * (abi[r] - centre);
    top[r] = crossed / 2 - (design.a[r] - centre) * (design.b[r] - centre);
  }
  const [closed, ...alone] = sharesOf([{ top, bottom: squares(design, centre) }, ...[i, j].map((k) => firstRatio(design, k, centre))]);
  const influence = closed.influence.slice();
  let estimate = closed.estimate;
  for (const one of alone) {
    estimate -= one.estimate;
    for (let r = 0; r < rows; r++) influence[r] -= one.influence[r];
  }
  return {
    ...withInfluence(estimate, influence),
    telling: closed.telling,
    doubt: Math.hypot(closed.doubt, ...alone.map(({ doubt }) => doubt)),
  };
}

/** Fewest telling rows for replicates of them to show how far their number itself may be off. */
const FEW_ROWS = 50;

/**
 * Interval for a share: of the replicates, corrected; where fewer than 50 rows tell, wide enough for the rows that did
 * not happen to be among them too. A yes/no output that is seldom yes would else get intervals of no width.
 * @param which statistic of `replicates`   @param lowest 0 for a total share, which cannot be less
 * Sources: bootstrap.ts; the rows added after A. Agresti and B. A. Coull, The American Statistician 52 (1998) 119-126.
 */
export function shareInterval(share: Share, replicates: Replicates, which: number, level: number, lowest: number): Interval {
  const [low, high] = bcaInterval(replicates, which, share.estimate, share.influence, level);
  if (share.telling >= FEW_ROWS) return [Math.max(lowest, Math.min(low, share.estimate)), Math.max(high, share.estimate)];
  const [least, most] = doubtfulInterval(share, level);
  return [Math.max(lowest, Math.min(low, least)), Math.max(high, most)];
}

/** Normal interval with that doubt in it; for a pair's share, of which no replicates are made. */
export function doubtfulInterval(share: Share, level: number): Interval {
  return normalInterval({ ...share, standardError: Math.hypot(share.standardError, share.doubt) }, level, -1, 1);
}

/** A share as mean(top)/mean(bottom) over rows. */
interface Ratio {
  readonly top: Float64Array;
  readonly bottom: Float64Array;
}

function sharesOf(ratios: readonly Ratio[]): Share[] {
  const told = ratios.map(({ top }) => telling(top));
  const largest = Math.max(...told.map(({ size }) => size));
  return ratios.map(({ top, bottom }, k): Share => {
    const rows = top.length;
    const below = meanOf(rows, (j) => bottom[j]);
    const estimate = meanOf(rows, (j) => top[j]) / below;
    const influence = Float32Array.from(top, (value, j) => (value - estimate * bottom[j]) / below);
    // Of the size of a telling row; where they are few that may not have been seen yet, so of the largest that any
    // input's has.
    const { rows: number, size } = told[k];
    const doubt = (2 * (number < FEW_ROWS ? largest : size)) / (rows * below);
    return { ...withInfluence(estimate, influence), telling: number, doubt };
  });
}

/** How many rows, all of one size, would have the sums of second and fourth powers of these, and that size. */
function telling(top: Float64Array): { readonly rows: number; readonly size: number } {
  let [squares, fourths] = [0, 0];
  for (const value of top) {
    const square = value * value;
    squares += square;
    fourths += square * square;
  }
  return squares === 0 ? { rows: 0, size: 0 } : { rows: squares ** 2 / fourths, size: Math.sqrt(fourths / squares) };
}

function firstRatio(design: PickFreeze, i: number, centre: number): Ratio {
  const { a, b } = design;
  const ab = column(design.ab, i);
  if (design.ba === null) {
    return { top: a.map((_, j) => (b[j] - centre) * (ab[j] - a[j])), bottom: squares(design, centre) };
  }
  const ba = column(design.ba, i);
  return {
    top: a.map((_, j) => 2 * (ba[j] - b[j]) * (a[j] - ab[j])),
    bottom: differences(design, ab, ba),
  };
}

function totalRatio(design: PickFreeze, i: number, centre: number): Ratio {
  const { a, b } = design;
  const ab = column(design.ab, i);
  if (design.ba === null) {
    return { top: a.map((_, j) => (a[j] - ab[j]) ** 2 / 2), bottom: squares(design, centre) };
  }
  const ba = column(design.ba, i);
  return {
    top: a.map((_, j) => (b[j] - ba[j]) ** 2 + (a[j] - ab[j]) ** 2),
    bottom: differences(design, ab, ba),
  };
}

/** Row by row, what has the variance for its mean. */
function squares({ a, b }: PickFreeze, centre: number): Float64Array {
  return a.map((_, j) => ((a[j] - centre) ** 2 + (b[j] - centre) ** 2) / 2);
}

/** Row by row, what has four variances for its mean. */
function differences({ a, b }: PickFreeze, ab: Float64Array, ba: Float64Array): Float64Array {
  return a.map((_, j) => (a[j] - b[j]) ** 2 + (ba[j] - ab[j]) ** 2);
}

function checked(design: PickFreeze): { readonly rows: number; readonly inputs: number[]; readonly centre: number } {
  const { a, b, ab, ba } = design;
  const rows = a.length;
  if (ba !== null && ba.length !== ab.length) throw new RangeError(`${ab.length} columns exchanged in A, ${ba.length} in B`);
  for (const outputs of [a, b, ...ab, ...(ba ?? [])]) {
    if (outputs.length !== rows) throw new RangeError(`outputs of ${outputs.length} rows beside ${rows}`);
    for (const value of outputs)
      if (!Number.isFinite(value)) throw new RangeError(`an output is ${value}: leave its row out of all matrices`);
  }
  const centre = pooledMean(a, b);
  // not by the variance: rounding in the mean can leave some where all outputs are one
  if (a.every((value) => value === a[0]) && b.every((value) => value === a[0]))
    throw new RangeError('an output that does not vary has no variance to share out');
  return { rows, inputs: ab.map((_, i) => i), centre };
}

function column(columns: readonly Float64Array[], i: number): Float64Array {
  const found = columns[i];
  if (found === undefined) throw new RangeError(`no input ${i} among ${columns.length}`);
  return found;
}

function pooledMean(a: Float64Array, b: Float64Array): number {
  return (meanOf(a.length, (j) => a[j]) + meanOf(b.length, (j) => b[j])) / 2;
}

function meanOf(rows: number, value: (row: number) => number): number {
  let sum = 0;
  for (let j = 0; j < rows; j++) sum += value(j);
  return sum / rows;
}
