/**
 * Partial correlations of many inputs with one output, each freed of the linear part of all the other inputs, on ranks.
 */

import { type Partition, partition } from '../samples/partition.ts';
import type { Ranked } from '../samples/ranks.ts';
import { correlationMatrix, invertCorrelation, LEAST_OWN_VARIANCE, madeUp, residualScores, standardise } from './correlationMatrix.ts';
import { type Estimate, withInfluence } from './influence.ts';

/**
 * Partial correlation, on average ranks, of each input with one output after another of the same rows; what the inputs
 * alone decide, most of the work, is done once.
 * @param inputs d columns of n > d + 2 rows   @param output the same rows
 * @returns one estimate an input, in [-1, 1]
 * @throws RangeError on lengths that differ, a column that does not vary or is a linear combination of the ones before
 * it (the output is column d). Sources: G. U. Yule, On the theory of correlation for any number of variables, Proc.
 * Roy. Soc. A 79 (1907) 182-193, through the inverse correlation matrix. Influence values: those of a correlation of
 * residuals (the regression's own part vanishes to first order), and the ranks' own, being estimated too. On ranks: R.
 * L. Iman and W. J. Conover, The use of the rank transform in regression, Technometrics 21 (1979) 499-509.
 */
export function partialRankCorrelations(inputs: readonly Ranked[]): (output: Ranked) => Estimate[] {
  const among = amongInputs(inputs.map(({ ranks }) => ranks));
  const classes = inputs.map((column) => partition(column, RANK_CLASSES));
  const sums = sumsByClass(among, classes);
  return (output) => {
    const end = withOutput(among, output.ranks);
    return estimates(among, end, rankPart(among, end, classes, sums, partition(output, RANK_CLASSES)));
  };
}

/** The inputs by themselves: rows n, columns d. */
interface Among {
  readonly rows: number;
  readonly columns: number;
  readonly scores: Float64Array;
  readonly deviations: Float64Array;
  /** Inverse of their correlation matrix, d x d. */
  readonly inverse: Float64Array;
  /** n x d: each input's residual on the other inputs, over that residual's variance. */
  readonly residuals: Float64Array;
}

function amongInputs(inputs: readonly Float64Array[]): Among {
  const z = standardise(inputs);
  const inverse = invertCorrelation(correlationMatrix(z), z.columns);
  return { ...z, inverse, residuals: residualScores(z, inverse) };
}

/**
 * What one output adds. With it the inverse matrix gets P + w w'/s, -w/s and 1/s for its parts, and the residual scores
 * of the inputs become p_i - w_i q (the inverse of a bordered matrix).
 */
interface WithOutput {
  readonly deviation: number;
  /** Coefficients of the output's regression on the inputs, in standard deviations. */
  readonly w: Float64Array;
  /** Share of the output's variance that the inputs leave, > 0. */
  readonly s: number;
  /** n: the output's residual on the inputs, over that residual's variance. */
  readonly q: Float64Array;
}

function withOutput({ rows: n, columns: d, scores, residuals, inverse }: Among, output: Float64Array): WithOutput {
  if (output.length !== n) throw new RangeError(`column ${d} has ${output.length} rows, column 0 has ${n}`);
  const z = standardise([output], d);
  const r = new Float64Array(d);
  for (let j = 0; j < n; j++) for (let i = 0; i < d; i++) r[i] += (z.scores[j] * scores[j * d + i]) / n;
  const w = new Float64Array(d);
  for (let i = 0; i < d; i++) for (let b = 0; b < d; b++) w[i] += inverse[i * d + b] * r[b];
  const s = r.reduce((left, value, i) => left - value * w[i], 1);
  if (!(s > LEAST_OWN_VARIANCE)) throw new RangeError(madeUp(d));
  const q = new Float64Array(n);
  for (let j = 0; j < n; j++) {
    let told = 0;
    for (let i = 0; i < d; i++) told += r[i] * residuals[j * d + i];
    q[j] = (z.scores[j] - told) / s;
  }
  return { deviation: z.deviations[0], w, s, q };
}

/** Entries of the whole inverse correlation matrix for one input's pair with the output. */
interface Pair {
  readonly pii: number;
  readonly piy: number;
  readonly pyy: number;
  readonly determinant: number;
  readonly rho: number;
}

function pairsOf({ columns: d, inverse }: Among, { w, s }: WithOutput): Pair[] {
  const pyy = 1 / s;
  return Array.from(w, (wi, i): Pair => {
    const pii = inverse[i * d + i] + (wi * wi) / s;
    const piy = -wi / s;
    return { pii, piy, pyy, determinant: pii * pyy - piy * piy, rho: -piy / Math.sqrt(pii * pyy) };
  });
}

/** @param extra what the estimated ranks add to the influence, rows x inputs. */
function estimates(among: Among, end: WithOutput, extra: Float32Array): Estimate[] {
  const { rows: n, columns: d, residuals } = among;
  const { q, w } = end;
  const pairs = pairsOf(among, end);
  const influences = pairs.map(() => new Float32Array(n));
  forBlocks(n, pairs, (p, i, start, stop) => {
    const influence = influences[i];
    // u, v: the output's and the input's residual on all other inputs, with variance 1
    const su = Math.sqrt(p.determinant * p.pii);
    const sv = Math.sqrt(p.determinant * p.pyy);
    for (let j = start; j < stop; j++) {
      const qy = q[j];
      const qi = residuals[j * d + i] - w[i] * qy;
      const u = (p.pii * qy - p.piy * qi) / su;
      const v = (p.pyy * qi - p.piy * qy) / sv;
      influence[j] = u * v - (p.rho / 2) * (u * u + v * v) + extra[j * d + i];
    }
  });
  return pairs.map((p, i) => withInfluence(p.rho, influences[i], d - 1));
}

/**
 * Classes in which the ranks' part is worked out: it is a smooth function of each rank, so the error is of order
 * 1/128^2 of a small part.
 */
const RANK_CLASSES = 128;

/** Sums of the inputs' residual scores by class of each input: one array an input, classes x d. */
function sumsByClass({ rows: n, columns: d, residuals }: Among, classes: readonly Partition[]): Float64Array[] {
  const sums = classes.map(({ count }) => new Float64Array(count * d));
  forBlocks(n, classes, ({ classOf }, b, start, stop) => {
    const into = sums[b];
    for (let j = start; j < stop; j++) {
      const from = j * d;
      const to = classOf[j] * d;
      for (let a = 0; a < d; a++) into[to + a] += residuals[from + a];
    }
  });
  return sums;
}

/**
 * What row i adds to each partial correlation by moving all rows' ranks: with u = sum_b alpha_b z_b and v = sum_b
 * beta_b z_b,
 *   sum_b mean_j K_b(i, j) [alpha_b (v_j - rho u_j) + beta_b (u_j - rho v_j)] / sd_b,
 * K_b = 1 where row j lies above row i in column b, 1/2 at a tie. Written in residual scores the bracket is c_y q_y +
 * c_i q_i, so two passes over the rows for each column b, the output last, serve all inputs at once.
 */
function rankPart(
  among: Among,
  end: WithOutput,
  inputClasses: readonly Partition[],
  inputSums: readonly Float64Array[],
  outputClasses: Partition,
): Float32Array {
  const { rows: n, columns: d } = among;
  const classed = [...inputClasses, outputClasses];
  const sums = [...inputSums, ...sumsByClass(among, [outputClasses])];
  const pairs = pairsOf(among, end);
  const looked = classed.map((classes, b) => ({
    classOf: classes.classOf,
    table: rankTable(sums[b], sumOf(end.q, classes), end.w, rankFactors(among, end, pairs, b)),
  }));
  const part = new Float32Array(n * d);
  // three columns at once, so that a row's part is read and written once for all three; the last are filled up with a
  // column of nothing
  const none = { classOf: new Uint8Array(n), table: new Float32Array(d) };
  const triples = Array.from({ length: Math.ceil(looked.length / 3) }, (_, t) => [0, 1, 2].map((k) => looked[3 * t + k] ?? none));
  forBlocks(n, triples, ([x, y, w], _, start, stop) => {
    for (let j = start; j < stop; j++) {
      const to = j * d;
      const fromX = x.classOf[j] * d;
      const fromY = y.classOf[j] * d;
      const fromW = w.classOf[j] * d;
      for (let i = 0; i < d; i++) part[to + i] += x.table[fromX + i] + y.table[fromY + i] + w.table[fromW + i];
    }
  });
  return part;
}

function sumOf(values: Float64Array, { classOf, count }: Partition): Float64Array {
  const sums = new Float64Array(count);
  for (let j = 0; j < values.length; j++) sums[classOf[j]] += values[j];
  return sums;
}

/** Blocks of rows that stay in the cache while every column walks them. */
const BLOCK = 64;

function forBlocks<T>(rows: number, columns: readonly T[], walk: (column: T, index: number, start: number, end: number) => void): void {
  for (let start = 0; start < rows; start += BLOCK) {
    const end = Math.min(rows, start + BLOCK);
    for (let b = 0; b < columns.length; b++) walk(columns[b], b, start, end);
  }
}

/**
 * The ranks' part by class of one column and input, from that column's sums by class: of the inputs' residual scores,
 * and of the output's.
 */
function rankTable(sums: Float64Array, ofQ: Float64Array, w: Float64Array, { ofOutput, ofInput }: RankFactors): Float32Array {
  const d = w.length;
  const table = new Float32Array(sums.length);
  // the scores have mean 0, so all above is 0 at first and falls by each class in turn, half of it before and half
  // after
  const above = new Float64Array(d);
  let aboveQ = 0;
  for (let c = 0; c < ofQ.length; c++) {
    aboveQ -= ofQ[c] / 2;
    for (let i = 0; i < d; i++) {
      const half = (sums[c * d + i] - w[i] * ofQ[c]) / 2;
      table[c * d + i] = ofOutput[i] * aboveQ + ofInput[i] * (above[i] - half);
      above[i] -= 2 * half;
    }
    aboveQ -= ofQ[c] / 2;
  }
  return table;
}

interface RankFactors {
  readonly ofOutput: Float64Array;
  readonly ofInput: Float64Array;
}

/**
 * c_y and c_i of column b for every input; b = d is the output. Ranks are n times the distribution function and the
 * mean over j has 1/n: both cancel.
 */
function rankFactors(
  { columns: d, inverse, deviations }: Among,
  { deviation, w, s }: WithOutput,
  pairs: readonly Pair[],
  b: number,
): RankFactors {
  const ofOutput = new Float64Array(d);
  const ofInput = new Float64Array(d);
  const scale = 1 / (b === d ? deviation : deviations[b]);
  const pyb = b === d ? 1 / s : -w[b] / s;
  for (const [i, p] of pairs.entries()) {
    const su = Math.sqrt(p.determinant * p.pii);
    const sv = Math.sqrt(p.determinant * p.pyy);
    const pib = b === d ? p.piy : inverse[i * d + b] + (w[i] * w[b]) / s;
    const alpha = (p.pii * pyb - p.piy * pib) / su;
    const beta = (p.pyy * pib - p.piy * pyb) / sv;
    // v - rho u and u - rho v as multiples of q_y and q_i
    ofOutput[i] = scale * (alpha * (-p.piy / sv - (p.rho * p.pii) / su) + beta * (p.pii / su + (p.rho * p.piy) / sv));
    ofInput[i] = scale * (alpha * (p.pyy / sv + (p.rho * p.piy) / su) + beta * (-p.piy / su - (p.rho * p.pyy) / sv));
  }
  return { ofOutput, ofInput };
}
