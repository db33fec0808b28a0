/**
 * How much knowing one input changes the whole distribution of the output, not only its mean or variance, from ordinary
 * flights: Borgonovo's delta, half the mean distance between densities. Yes/no outputs are allowed.
 *
 * It is the mean of a contrast: delta = sup over phi in [-1, 1] of half (E_joint[phi] - E_independent[phi]). The rows
 * are drawn into ten tenths; the best contrast is learnt on the tenths before and its value taken on the next, from the
 * third on. So what is valued was never learnt from, the values are uncorrelated and their standard error is honest
 * even where the best contrast is not unique; an input without effect has an estimate of mean 0 (a plug-in has about
 * 0.05 at 100,000 rows), and any other is, in the mean, at most the true value: it errs low by what classes and wrongly
 * learnt signs cost, so that only a bound from below is told of it.
 * Source: A. R. Luedtke and M. J. van der Laan, Statistical inference for the mean outcome under a possibly non-unique
 * optimal treatment strategy, Ann. Statist. 44 (2016) 713-742.
 */
import { normalCdf, normalQuantile } from '../../maths/normal.ts';
import { noiseStream } from '../../maths/streams.ts';
import { type Partition, partition } from '../samples/partition.ts';
import type { Ranked } from '../samples/ranks.ts';
import { type Estimate, type Stated, withInfluence } from './influence.ts';

/** The estimate may fall below 0 for an input without effect. */
export interface Dependence extends Estimate {
  /** One-sided chance of so large an estimate were input and output independent (normal). */
  readonly pValue: number;
}

/** The tenth each row belongs to, 0..9, drawn once for all inputs. */
export type Folds = Uint8Array;

const FOLDS = 10;
/** Tenths that are learnt from only. */
const LEARNT_ONLY = 2;

/** @param rows n   @param key seeds the drawing, so that the same key gives the same estimates */
export function drawFolds(rows: number, key: string): Folds {
  const draw = noiseStream(`${key}/folds`);
  return Uint8Array.from({ length: rows }, () => Math.floor(draw() * FOLDS));
}

/** A column sorted into the classes that {@link delta} takes: an output once for all inputs, an input for all outputs. */
export function deltaClasses(x: Ranked): Partition {
  return partition(x, fineClasses(x.order.length));
}

/**
 * Classes of a contrast that is smoothed: twice the cube root of n, up to 96; tried on the closed forms of the tests at
 * 1,000 to 100,000 rows.
 */
function fineClasses(rows: number): number {
  return Math.max(2, Math.min(96, Math.round(2 * Math.cbrt(rows))));
}

/**
 * Lower confidence bound for the true value, one-sided, at least 0: the estimate errs low, so it has none from above.
 * It is over 0 exactly where the one-sided test at 1 - level finds a dependence.
 */
export function dependenceBound(e: Stated, level: number): number {
  return Math.max(0, e.estimate - normalQuantile(level) * e.standardError);
}

function addTo(sums: Float64Array, more: Float64Array): void {
  for (let k = 0; k < sums.length; k++) sums[k] += more[k];
}

/**
 * Borgonovo's delta in [0, 1]: half the mean absolute difference between the output's density and its density given the
 * input.
 * @param x the input's classes, n >= 100 rows   @param y the output's   @param folds from {@link drawFolds}
 * @throws RangeError when lengths differ or rows are fewer.
 * Sources: E. Borgonovo, A new uncertainty importance measure, Reliab. Eng. Syst. Saf. 92 (2007) 771-784; from given
 * data: E. Plischke, E. Borgonovo and C. L. Smith, Eur. J. Oper. Res. 226 (2013) 536-550.
 */
export function delta(x: Partition, y: Partition, folds: Folds): Dependence {
  const n = folds.length;
  if (x.classOf.length !== n || y.classOf.length !== n) {
    throw new RangeError(`input of ${x.classOf.length}, output of ${y.classOf.length} and folds of ${n} rows`);
  }
  if (n < 100) throw new RangeError(`${n} rows are too few for a held-out estimate: at least 100`);
  const cells = x.count * y.count;
  const counts = new Float64Array(FOLDS * cells);
  for (let i = 0; i < n; i++) {
    const cell = folds[i] * cells + x.classOf[i] * y.count + y.classOf[i];
    counts[cell] += 1;
  }
  const learnt = new Float64Array(cells);
  for (let f = 0; f < LEARNT_ONLY; f++) addTo(learnt, counts.subarray(f * cells, (f + 1) * cells));
  const phis = new Float64Array(FOLDS * cells);
  const ofX = new Float64Array(FOLDS * x.count);
  const ofY = new Float64Array(FOLDS * y.count);
  const centres = new Float64Array(FOLDS);
  let valued = 0;
  let sum = 0;
  for (let f = LEARNT_ONLY; f < FOLDS; f++) {
    const held = counts.subarray(f * cells, (f + 1) * cells);
    const phi = phis.subarray(f * cells, (f + 1) * cells);
    signContrast(phi, learnt, x.count, y.count);
    const inX = ofX.subarray(f * x.count, (f + 1) * x.count);
    const inY = ofY.subarray(f * y.count, (f + 1) * y.count);
    const { rows, value, centre } = contrastValue(held, phi, x.count, y.count, inX, inY);
    centres[f] = centre;
    valued += rows;
    sum += rows * value;
    addTo(learnt, held);
  }
  const estimate = sum / valued;
  const influence = new Float32Array(n);
  for (let i = 0; i < n; i++) {
    const f = folds[i];
    if (f < LEARNT_ONLY) continue;
    const b = x.classOf[i];
    const k = y.classOf[i];
    const own = phis[f * cells + b * y.count + k] - ofX[f * x.count + b] - ofY[f * y.count + k];
    influence[i] = (n / valued) * (own / 2 - centres[f]);
  }
  const e = withInfluence(estimate, influence);
  return { ...e, pValue: e.standardError > 0 ? normalCdf(-e.estimate / e.standardError) : 1 };
}

/**
 * `value` is half (E_joint - E_independent)[phi] on the held-out rows; fills the means of phi given each class of x
 * over y, and of y over x. The product of the two margins comes from the same rows, hence the factor m/(m-1), which
 * makes it unbiased. A row's influence on it is (phi - mean given x - mean given y)/2 less `centre`.
 */
function contrastValue(
  held: Float64Array,
  phi: Float64Array,
  xClasses: number,
  yClasses: number,
  ofX: Float64Array,
  ofY: Float64Array,
): { rows: number; value: number; centre: number } {
  const { inX, inY, rows } = margins(held, xClasses, yClasses);
  if (rows < 2) throw new RangeError('a fold without rows');
  let joint = 0;
  let independent = 0;
  for (let b = 0; b < xClasses; b++) {
    for (let k = 0; k < yClasses; k++) {
      const value = phi[b * yClasses + k];
      joint += (value * held[b * yClasses + k]) / rows;
      const px = inX[b] / rows;
      const py = inY[k] / rows;
      independent += value * px * py;
      ofX[b] += value * py;
      ofY[k] += value * px;
    }
  }
  return { rows, value: ((joint - independent) / 2) * (rows / (rows - 1)), centre: joint / 2 - independent };
}

/**
 * Fewest classes that are smoothed over; fewer are the values of a discrete column, whose neighbours need not be alike.
 */
const SMOOTHED_FROM = 12;

/**
 * phi = the sign of (joint - product of margins), smoothed over neighbouring cells so that it can be fine without
 * learning noise. Any sign pattern gives a lower bound in the mean, so smoothing can cost but not feign influence.
 */
function signContrast(phi: Float64Array, counts: Float64Array, xClasses: number, yClasses: number): void {
  const { inX, inY, rows } = margins(counts, xClasses, yClasses);
  for (let b = 0; b < xClasses; b++) {
    for (let k = 0; k < yClasses; k++) {
      phi[b * yClasses + k] = counts[b * yClasses + k] * rows - inX[b] * inY[k];
    }
  }
  for (let pass = 0; pass < 2; pass++) {
    if (yClasses >= SMOOTHED_FROM) for (let b = 0; b < xClasses; b++) smooth(phi, b * yClasses, 1, yClasses);
    if (xClasses >= SMOOTHED_FROM) for (let k = 0; k < yClasses; k++) smooth(phi, k, yClasses, xClasses);
  }
  for (let cell = 0; cell < phi.length; cell++) phi[cell] = Math.sign(phi[cell]);
}

/** Weights 1/4, 1/2, 1/4 along one line of cells, in place; the ends count themselves again. */
function smooth(cells: Float64Array, start: number, stride: number, length: number): void {
  let before = cells[start];
  for (let i = 0; i < length; i++) {
    const cell = start + i * stride;
    const here = cells[cell];
    const after = i + 1 < length ? cells[cell + stride] : here;
    cells[cell] = (before + 2 * here + after) / 4;
    before = here;
  }
}

function margins(counts: Float64Array, xClasses: number, yClasses: number): { inX: Float64Array; inY: Float64Array; rows: number } {
  const inX = new Float64Array(xClasses);
  const inY = new Float64Array(yClasses);
  let rows = 0;
  for (let b = 0; b < xClasses; b++) {
    for (let k = 0; k < yClasses; k++) {
      const count = counts[b * yClasses + k];
      inX[b] += count;
      inY[k] += count;
      rows += count;
    }
  }
  return { inX, inY, rows };
}
