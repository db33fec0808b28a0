/**
 * Partial correlations of many inputs with one output, each freed of the linear part of all the other inputs, on ranks.
 * Walks the rows some at a time, so that beside the ranks themselves little is held.
 */
import type { KeptRanks } from '../samples/keptRanks.ts';
import {
  BLOCK,
  correlationMatrix,
  invertCorrelation,
  LEAST_OWN_VARIANCE,
  madeUp,
  residualScores,
  StandardScores,
} from './correlationMatrix.ts';
import { InfluenceSums, type Stated } from './influence.ts';

/**
 * Partial correlation, on average ranks, of each input with one output after another of the same rows; what the inputs
 * alone decide is done once.
 * @param inputs d columns of n > d + 2 rows   @param output the same rows
 * @param met for whoever looks at influence values: those of `count` rows from `start` on, count x d row by row, before
 * their mean is taken off; good until the next
 * @returns one estimate an input, in [-1, 1]
 * @throws RangeError on lengths that differ, a column that does not vary or is a linear combination of the ones before
 * it (the output is column d). Sources: G. U. Yule, On the theory of correlation for any number of variables, Proc.
 * Roy. Soc. A 79 (1907) 182-193, through the inverse correlation matrix. Influence values: those of a correlation of
 * residuals (the regression's own part vanishes to first order), and the ranks' own, being estimated too. On ranks: R.
 * L. Iman and W. J. Conover, The use of the rank transform in regression, Technometrics 21 (1979) 499-509.
 */
export function partialRankCorrelations(
  inputs: readonly KeptRanks[],
): (output: KeptRanks, met?: (influence: Float32Array, start: number, count: number) => void) => Stated[] {
  const among = amongInputs(inputs);
  return (output, met = () => undefined) => estimates(among, withOutput(among, output), met);
}

/** The inputs by themselves. */
interface Among {
  readonly scores: StandardScores;
  readonly ranks: readonly KeptRanks[];
  /** Inverse of their correlation matrix, d x d. */
  readonly inverse: Float64Array;
  /** By input: sums of all inputs' residual scores over each of its classes, classes x d. */
  readonly sums: readonly Float64Array[];
}

function amongInputs(inputs: readonly KeptRanks[]): Among {
  const scores = new StandardScores(inputs.map(({ doubled }) => doubled));
  const inverse = invertCorrelation(correlationMatrix(scores), scores.columns);
  return { scores, ranks: inputs, inverse, sums: sumsByClass(scores, inputs, inverse) };
}

/** Sums of the inputs' residual scores by class of each column: residuals are linear in scores, and so are their sums. */
function sumsByClass(scores: StandardScores, columns: readonly KeptRanks[], inverse: Float64Array): Float64Array[] {
  const d = scores.columns;
  const ofScores = columns.map(({ classes }) => new Float64Array(classes.count * d));
  const classOf = new Uint8Array(BLOCK);
  scores.eachBlock((z, start, count) => {
    for (let b = 0; b < columns.length; b++) {
      const into = ofScores[b];
      columns[b].classes.fill(classOf, columns[b].doubled, start, count);
      addRows(into, classOf, z, count, d);
    }
  });
  return ofScores.map((sums, b) => {
    const residual = new Float64Array(sums.length);
    residualScores(residual, sums, columns[b].classes.count, inverse, d);
    return residual;
  });
}

/** Adds each of `count` rows of d numbers to the row of `into` that its class says. */
function addRows(into: Float64Array, classOf: Uint8Array, rows: Float64Array, count: number, d: number): void {
  const whole = d - (d % 4);
  for (let i = 0; i < count; i++) {
    let from = i * d;
    let to = classOf[i] * d;
    // four at once: this is most of the time that many inputs take
    for (const end = from + whole; from < end; from += 4, to += 4) {
      into[to] += rows[from];
      into[to + 1] += rows[from + 1];
      into[to + 2] += rows[from + 2];
      into[to + 3] += rows[from + 3];
    }
    for (const end = (i + 1) * d; from < end; from++, to++) into[to] += rows[from];
  }
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
  readonly ranks: KeptRanks;
}

function withOutput({ scores, inverse }: Among, ranks: KeptRanks): WithOutput {
  const { rows: n, columns: d } = scores;
  const { doubled } = ranks;
  if (doubled.length !== n) throw new RangeError(`column ${d} has ${doubled.length} rows, column 0 has ${n}`);
  const output = new StandardScores([doubled], d);
  const [mean, deviation] = [output.means[0], output.deviations[0]];
  const r = new Float64Array(d);
  scores.eachBlock((z, start, count) => {
    for (let i = 0; i < count; i++) {
      const zy = (doubled[start + i] - mean) / deviation;
      for (let a = 0; a < d; a++) r[a] += (zy * z[i * d + a]) / n;
    }
  });
  const w = new Float64Array(d);
  for (let i = 0; i < d; i++) for (let b = 0; b < d; b++) w[i] += inverse[i * d + b] * r[b];
  const s = r.reduce((left, value, i) => left - value * w[i], 1);
  if (!(s > LEAST_OWN_VARIANCE)) throw new RangeError(madeUp(d));
  const q = new Float64Array(n);
  scores.eachBlock((z, start, count) => {
    for (let i = 0; i < count; i++) {
      let told = 0;
      for (let a = 0; a < d; a++) told += w[a] * z[i * d + a];
      q[start + i] = ((doubled[start + i] - mean) / deviation - told) / s;
    }
  });
  return { deviation, w, s, q, ranks };
}

/** Entries of the whole inverse correlation matrix for one input's pair with the output. */
interface Pair {
  readonly pii: number;
  readonly piy: number;
  readonly pyy: number;
  readonly determinant: number;
  readonly rho: number;
}

function pairsOf({ scores: { columns: d }, inverse }: Among, { w, s }: WithOutput): Pair[] {
  const pyy = 1 / s;
  return Array.from(w, (wi, i): Pair => {
    const pii = inverse[i * d + i] + (wi * wi) / s;
    const piy = -wi / s;
    return { pii, piy, pyy, determinant: pii * pyy - piy * piy, rho: -piy / Math.sqrt(pii * pyy) };
  });
}

function estimates(among: Among, end: WithOutput, met: (influence: Float32Array, start: number, count: number) => void): Stated[] {
  const { scores, inverse } = among;
  const d = scores.columns;
  const pairs = pairsOf(among, end);
  const sums = new InfluenceSums(d);
  const addRankPart = rankPart(among, end, pairs);
  const addResidualPart = residualPart(end, pairs);
  const residuals = new Float64Array(BLOCK * d);
  const influences = new Float32Array(BLOCK * d);
  scores.eachBlock((z, start, count) => {
    residualScores(residuals, z, count, inverse, d);
    influences.fill(0);
    addRankPart(influences, start, count);
    addResidualPart(influences, residuals, start, count);
    sums.add(influences, count);
    met(influences, start, count);
  });
  return pairs.map(({ rho }, i) => sums.stated(i, rho, d - 1));
}

/**
 * The influence of a correlation, u v - rho (u^2 + v^2)/2, of the output's and an input's residual on all other inputs,
 * brought to variance 1: both are sums of multiples of the residual scores q_y and q_i, and so it is a quadratic form of
 * these.
 * @returns adds it for `count` rows from `start` on, count x d
 */
function residualPart(
  { q, w }: WithOutput,
  pairs: readonly Pair[],
): (part: Float32Array, residuals: Float64Array, start: number, count: number) => void {
  const d = pairs.length;
  const [ofOutput, ofBoth, ofInput] = [new Float64Array(d), new Float64Array(d), new Float64Array(d)];
  for (const [i, p] of pairs.entries()) {
    const su = Math.sqrt(p.determinant * p.pii);
    const sv = Math.sqrt(p.determinant * p.pyy);
    // u = uy qy + ui qi, v = vy qy + vi qi
    const [uy, ui, vy, vi] = [p.pii / su, -p.piy / su, -p.piy / sv, p.pyy / sv];
    ofOutput[i] = uy * vy - (p.rho / 2) * (uy * uy + vy * vy);
    ofBoth[i] = uy * vi + ui * vy - p.rho * (uy * ui + vy * vi);
    ofInput[i] = ui * vi - (p.rho / 2) * (ui * ui + vi * vi);
  }
  return (part, residuals, start, count) => {
    for (let j = 0; j < count; j++) {
      const qy = q[start + j];
      const row = j * d;
      for (let i = 0; i < d; i++) {
        const qi = residuals[row + i] - w[i] * qy;
        part[row + i] += (ofOutput[i] * qy + ofBoth[i] * qi) * qy + ofInput[i] * qi * qi;
      }
    }
  };
}

/**
 * What row i adds to each partial correlation by moving all rows' ranks: with u = sum_b alpha_b z_b and v = sum_b
 * beta_b z_b,
 *   sum_b mean_j K_b(i, j) [alpha_b (v_j - rho u_j) + beta_b (u_j - rho v_j)] / sd_b,
 * K_b = 1 where row j lies above row i in column b, 1/2 at a tie. Written in residual scores the bracket is c_y q_y +
 * c_i q_i, so sums over the classes of each column b, the output last, serve all inputs at once.
 * @returns adds it for `count` rows from `start` on, count x d
 */
function rankPart(among: Among, end: WithOutput, pairs: readonly Pair[]): (part: Float32Array, start: number, count: number) => void {
  const { scores, inverse } = among;
  const d = scores.columns;
  const columns = [...among.ranks, end.ranks];
  const sums = [...among.sums, ...sumsByClass(scores, [end.ranks], inverse)];
  const looked = columns.map((ranks, b) => ({
    ranks,
    classOf: new Uint8Array(BLOCK),
    table: rankTable(sums[b], sumOf(end.q, ranks), end.w, rankFactors(among, end, pairs, b)),
  }));
  // six columns at once, so that a row's part is read and written once for all six; the last are filled up with a
  // column of nothing
  const none = { classOf: new Uint8Array(BLOCK), table: new Float32Array(d) };
  const six = Array.from({ length: Math.ceil(looked.length / 6) }, (_, t) => [0, 1, 2, 3, 4, 5].map((k) => looked[6 * t + k] ?? none));
  return (part, start, count) => {
    for (const { ranks, classOf } of looked) ranks.classes.fill(classOf, ranks.doubled, start, count);
    for (const columns of six) addSix(part, columns, count, d);
  };
}

interface Looked {
  readonly classOf: Uint8Array;
  /** Classes x d. */
  readonly table: Float32Array;
}

/** Adds to the part of each of `count` rows what six columns say of its classes. */
function addSix(part: Float32Array, columns: readonly Looked[], count: number, d: number): void {
  const [a, b, c, e, f, g] = columns.map(({ table }) => table);
  const [classA, classB, classC, classE, classF, classG] = columns.map(({ classOf }) => classOf);
  for (let j = 0; j < count; j++) {
    const to = j * d;
    const inA = classA[j] * d;
    const inB = classB[j] * d;
    const inC = classC[j] * d;
    const inE = classE[j] * d;
    const inF = classF[j] * d;
    const inG = classG[j] * d;
    for (let i = 0; i < d; i++) part[to + i] += a[inA + i] + b[inB + i] + c[inC + i] + e[inE + i] + f[inF + i] + g[inG + i];
  }
}

function sumOf(values: Float64Array, { doubled, classes }: KeptRanks): Float64Array {
  const sums = new Float64Array(classes.count);
  const classOf = new Uint8Array(BLOCK);
  for (let start = 0; start < values.length; start += BLOCK) {
    const count = Math.min(BLOCK, values.length - start);
    classes.fill(classOf, doubled, start, count);
    for (let j = 0; j < count; j++) sums[classOf[j]] += values[start + j];
  }
  return sums;
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
  { scores: { columns: d, deviations }, inverse }: Among,
  { deviation, w, s }: WithOutput,
  pairs: readonly Pair[],
  b: number,
): RankFactors {
  const ofOutput = new Float64Array(d);
  const ofInput = new Float64Array(d);
  // of ranks as they are, not doubled
  const scale = 2 / (b === d ? deviation : deviations[b]);
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
