/** Partial correlations of many inputs with one output, each freed of the linear part of all the other inputs: on values or on ranks. */
import { correlationMatrix, invertCorrelation, residualScores, type Standardised, standardise } from './correlationMatrix.ts';
import { type Estimate, withInfluence } from './influence.ts';
import { partition } from './partition.ts';
import type { Ranked } from './ranks.ts';

/**
 * Partial correlation of each input with the output.
 * @param inputs d columns of n > d + 2 rows   @param output the same rows
 * @returns one estimate an input, in [-1, 1].
 * @throws RangeError on lengths that differ, a column that does not vary or is a linear combination of the ones before it (the output is column d).
 * Source: G. U. Yule, On the theory of correlation for any number of variables, Proc. Roy. Soc. A 79 (1907) 182-193, through the
 * inverse correlation matrix. Influence values: those of a correlation of residuals (the regression's own part vanishes to first order).
 */
export function partialCorrelations(inputs: readonly Float64Array[], output: Float64Array): Estimate[] {
  const z = standardise([...inputs, output]);
  const inverse = invertCorrelation(correlationMatrix(z), z.columns);
  return fromScores(z, inverse, residualScores(z, inverse), null);
}

/**
 * The same on average ranks: partial rank correlation. Arguments, result and faults as above. The ranks being estimated is part of the influence values.
 * Source: R. L. Iman and W. J. Conover, The use of the rank transform in regression, Technometrics 21 (1979) 499-509.
 */
export function partialRankCorrelations(inputs: readonly Ranked[], output: Ranked): Estimate[] {
  const all = [...inputs, output];
  const z = standardise(all.map((column) => column.ranks));
  const inverse = invertCorrelation(correlationMatrix(z), z.columns);
  const q = residualScores(z, inverse);
  return fromScores(z, inverse, q, rankPart(z, inverse, q, all));
}

/** Inverse correlation matrix entries of one input's pair with the output. */
interface Pair {
  readonly pii: number;
  readonly piy: number;
  readonly pyy: number;
  readonly determinant: number;
  readonly rho: number;
}

function pairOf(inverse: Float64Array, columns: number, i: number): Pair {
  const y = columns - 1;
  const pii = inverse[i * columns + i];
  const piy = inverse[i * columns + y];
  const pyy = inverse[y * columns + y];
  return { pii, piy, pyy, determinant: pii * pyy - piy * piy, rho: -piy / Math.sqrt(pii * pyy) };
}

/** @param extra what the estimated ranks add to the influence, rows x inputs; null on values. */
function fromScores(z: Standardised, inverse: Float64Array, q: Float64Array, extra: Float64Array | null): Estimate[] {
  const { rows: n, columns } = z;
  const d = columns - 1;
  const pairs = Array.from({ length: d }, (_, i) => pairOf(inverse, columns, i));
  const influences = pairs.map(() => new Float32Array(n));
  forBlocks(n, pairs, (p, i, start, end) => {
    const influence = influences[i];
    // u, v: the output's and the input's residual on all other inputs, with variance 1
    const su = Math.sqrt(p.determinant * p.pii);
    const sv = Math.sqrt(p.determinant * p.pyy);
    for (let j = start; j < end; j++) {
      const qy = q[j * columns + d];
      const qi = q[j * columns + i];
      const u = (p.pii * qy - p.piy * qi) / su;
      const v = (p.pyy * qi - p.piy * qy) / sv;
      influence[j] = u * v - (p.rho / 2) * (u * u + v * v) + (extra === null ? 0 : extra[j * d + i]);
    }
  });
  return pairs.map((p, i) => withInfluence(p.rho, influences[i], d - 1));
}

/** Classes in which the ranks' part is worked out: it is a smooth function of each rank, so the error is of order 1/128^2 of a small part. */
const RANK_CLASSES = 128;

/**
 * What row i adds to each partial correlation by moving all rows' ranks: with u = sum_b alpha_b z_b and v = sum_b beta_b z_b,
 *   sum_b mean_j K_b(i, j) [alpha_b (v_j - rho u_j) + beta_b (u_j - rho v_j)] / sd_b,
 * K_b = 1 where row j lies above row i in column b, 1/2 at a tie. Written in q (residual scores) the bracket is c_y q_y + c_i q_i, so
 * two passes over the rows for each column b serve all inputs at once.
 */
function rankPart(z: Standardised, inverse: Float64Array, q: Float64Array, columnsRanked: readonly Ranked[]): Float64Array {
  const { rows: n, columns } = z;
  const d = columns - 1;
  const classed = columnsRanked.map((column) => partition(column, RANK_CLASSES));
  // sums of the residual scores by column, class and score
  const sums = classed.map(({ count }) => new Float64Array(count * columns));
  forBlocks(n, classed, ({ classOf }, b, start, end) => {
    const into = sums[b];
    for (let j = start; j < end; j++) {
      const from = j * columns;
      const to = classOf[j] * columns;
      for (let a = 0; a < columns; a++) into[to + a] += q[from + a];
    }
  });
  const tables = sums.map((inClass, b) => rankTable(inClass, rankFactors(z, inverse, b), columns));
  const part = new Float64Array(n * d);
  forBlocks(n, classed, ({ classOf }, b, start, end) => {
    const table = tables[b];
    for (let j = start; j < end; j++) {
      const to = j * d;
      const from = classOf[j] * d;
      for (let i = 0; i < d; i++) part[to + i] += table[from + i];
    }
  });
  return part;
}

/** Blocks of rows that stay in the cache while every column walks them. */
const BLOCK = 256;

function forBlocks<T>(rows: number, columns: readonly T[], walk: (column: T, index: number, start: number, end: number) => void): void {
  for (let start = 0; start < rows; start += BLOCK) {
    const end = Math.min(rows, start + BLOCK);
    for (let b = 0; b < columns.length; b++) walk(columns[b], b, start, end);
  }
}

/** The ranks' part by class of one column and input, from that column's sums by class. */
function rankTable(sums: Float64Array, { ofOutput, ofInput }: RankFactors, columns: number): Float64Array {
  const d = columns - 1;
  const count = sums.length / columns;
  const table = new Float64Array(count * d);
  // the scores have mean 0, so all above is 0 at first and falls by each class in turn, half of it before and half after
  const above = new Float64Array(columns);
  for (let c = 0; c < count; c++) {
    for (let a = 0; a < columns; a++) above[a] -= sums[c * columns + a] / 2;
    for (let i = 0; i < d; i++) table[c * d + i] = ofOutput[i] * above[d] + ofInput[i] * above[i];
    for (let a = 0; a < columns; a++) above[a] -= sums[c * columns + a] / 2;
  }
  return table;
}

interface RankFactors {
  readonly ofOutput: Float64Array;
  readonly ofInput: Float64Array;
}

/** c_y and c_i of column b for every input. Ranks are n times the distribution function and the mean over j has 1/n: both cancel. */
function rankFactors(z: Standardised, inverse: Float64Array, b: number): RankFactors {
  const { columns } = z;
  const d = columns - 1;
  const ofOutput = new Float64Array(d);
  const ofInput = new Float64Array(d);
  const scale = 1 / z.deviations[b];
  const pyb = inverse[d * columns + b];
  for (let i = 0; i < d; i++) {
    const p = pairOf(inverse, columns, i);
    const su = Math.sqrt(p.determinant * p.pii);
    const sv = Math.sqrt(p.determinant * p.pyy);
    const pib = inverse[i * columns + b];
    const alpha = (p.pii * pyb - p.piy * pib) / su;
    const beta = (p.pyy * pib - p.piy * pyb) / sv;
    // v - rho u and u - rho v as multiples of q_y and q_i
    ofOutput[i] = scale * (alpha * (-p.piy / sv - (p.rho * p.pii) / su) + beta * (p.pii / su + (p.rho * p.piy) / sv));
    ofInput[i] = scale * (alpha * (p.pyy / sv + (p.rho * p.piy) / su) + beta * (-p.piy / su - (p.rho * p.pyy) / sv));
  }
  return { ofOutput, ofInput };
}
