/**
 * First-order variance share of an input from ordinary flights, no special design: Var(E[Y|X]) / Var(Y).
 * It sees any dependence of the mean on one input alone; interactions and changes of spread it does not
 * (momentIndependent.ts does).
 */
import { fUpperTail } from '../samples/fTail.ts';
import type { Interval } from '../samples/interval.ts';
import { classesFor, type Partition, partitionOf } from '../samples/partition.ts';
import { type Estimate, normalInterval, withInfluence } from './influence.ts';

/** The estimate may fall below 0 for an input without effect: it is unbiased there. */
export interface FirstOrder extends Estimate {
  /** Chance of so large a share had the input no effect on the mean. */
  readonly pValue: number;
  /** Classes of the input used. */
  readonly classes: number;
}

/**
 * First-order index by a straight line in each class of the input (one value per class for an input of few values).
 *
 * The classes hold about equal numbers of rows; the residual variance of each is unbiased for its own degrees of
 * freedom, so that many classes do not feign influence. What is left of bias is the curvature inside a class, of order
 * classes^-4 for a smooth response.
 * @param x the input, n >= 30 rows   @param y the output, same rows, varying; 0/1 is allowed
 * @param influence where the influence values are put: zeros, as many as rows
 * @throws RangeError on other lengths, y not finite or constant. An input that does not vary has estimate 0, standard
 * error 0, p-value 1. Sources: K. Pearson, On the general theory of skew correlation and non-linear regression (1905),
 * for the ratio; T. L. Kelley, An unbiased correlation ratio measure, Proc. Natl. Acad. Sci. 21 (1935) 554-559, for the
 * correction; E. Plischke, An effective algorithm for computing global sensitivity indices from given data, Reliab.
 * Eng. Syst. Saf. 95 (2010) 354-360, for its use; G. E. P. Box, Ann. Math. Statist. 25 (1954) 290-302, for the test
 * with unequal variances. Standard error: influence values (the fit's own part vanishes to first order), with the
 * variance of the quadratic form, which alone remains for an input without effect.
 */
export function firstOrder(x: Float64Array, y: Float64Array, influence = new Float32Array(y.length)): FirstOrder {
  const n = y.length;
  if (x.length !== n) throw new RangeError(`an input of ${x.length} rows and an output of ${n} rows`);
  if (n < 30) throw new RangeError(`${n} rows are too few for a first-order index: at least 30`);
  const { total, mean } = spreadOf(y);
  const classed = partitionOf(x, classesFor(n));
  const { residuals, left, used } = linesByClass(x, y, classed);
  const variance = total / (n - 1);
  let within = 0; // estimate of E[Var(Y|X)]
  let parameters = 0;
  let noise = 0; // traces of P S and (P S)^2 for pure noise: P the fit less the grand mean, S the variances of the classes
  let noiseSquared = 0;
  let explained = total;
  for (let c = 0; c < classed.count; c++) {
    const size = classed.sizes[c];
    const share = size / n;
    const spent = used[c];
    const s2 = left[c] / (size - spent);
    parameters += spent;
    within += share * s2;
    noise += (spent - share) * s2;
    noiseSquared += (spent - 2 * share) * s2 * s2;
    explained -= left[c];
  }
  noiseSquared += within * within;
  // an input that does not vary has one class and no slope: nothing to estimate
  if (parameters === 1) return { ...withInfluence(0, influence), pValue: 1, classes: 1 };
  const estimate = 1 - within / variance;
  for (let i = 0; i < n; i++) {
    influence[i] = ((1 - estimate) * (y[i] - mean) ** 2 - residuals[i] ** 2) / variance;
  }
  const e = withInfluence(estimate, influence, parameters - 1);
  // the fit's own noise puts twice the quadratic form's variance into the influence values, once too much; for no
  // effect only once remains
  const ofForm = (2 * noiseSquared) / (variance * variance * n * (n - parameters));
  const standardError = Math.sqrt(Math.max(e.standardError ** 2 - ofForm, ofForm));
  return { ...e, standardError, pValue: upperTail(explained, noise, noiseSquared, n - parameters), classes: classed.count };
}

/**
 * Normal interval in [0, 1], starting at 0 unless the test finds an effect at this level. An estimate below 0 lies
 * outside: it stands for 0.
 */
export function shareInterval(e: FirstOrder, level: number): Interval {
  const [low, high] = normalInterval(e, level, 0, 1);
  return [e.pValue < 1 - level ? low : 0, Math.max(0, high)];
}

/** Least-squares line of y on x in each class. */
interface Lines {
  readonly residuals: Float64Array;
  /** Sum of squared residuals, one a class. */
  readonly left: Float64Array;
  /** Parameters, one a class: 2, or 1 where x does not vary. */
  readonly used: Uint8Array;
}

function linesByClass(x: Float64Array, y: Float64Array, { classOf, count, sizes }: Partition): Lines {
  const n = y.length;
  const meanX = new Float64Array(count);
  const meanY = new Float64Array(count);
  for (let i = 0; i < n; i++) {
    const c = classOf[i];
    meanX[c] += x[i] / sizes[c];
    meanY[c] += y[i] / sizes[c];
  }
  const sxx = new Float64Array(count);
  const sxy = new Float64Array(count);
  const least = new Float64Array(count).fill(Infinity);
  const most = new Float64Array(count).fill(-Infinity);
  for (let i = 0; i < n; i++) {
    const c = classOf[i];
    const xi = x[i];
    const dx = xi - meanX[c];
    sxx[c] += dx * dx;
    sxy[c] += dx * (y[i] - meanY[c]);
    if (xi < least[c]) least[c] = xi;
    if (xi > most[c]) most[c] = xi;
  }
  // not sxx > 0: rounding in the mean can leave some where x is one value
  const used = Uint8Array.from(sizes, (_, c) => (most[c] > least[c] ? 2 : 1));
  const slope = Float64Array.from(sizes, (_, c) => (used[c] === 2 ? sxy[c] / sxx[c] : 0));
  const residuals = new Float64Array(n);
  const left = new Float64Array(count);
  for (let i = 0; i < n; i++) {
    const c = classOf[i];
    const e = y[i] - meanY[c] - slope[c] * (x[i] - meanX[c]);
    residuals[i] = e;
    left[c] += e * e;
  }
  return { residuals, left, used };
}

/**
 * Upper tail of explained / noise, taken as F with Box's degrees of freedom; no noise at all leaves only certainty or
 * nothing.
 */
function upperTail(explained: number, noise: number, noiseSquared: number, freedom: number): number {
  if (noise <= 0) return explained > 0 ? 0 : 1;
  if (explained <= 0) return 1;
  return fUpperTail(explained / noise, (noise * noise) / noiseSquared, freedom);
}

/** Mean, and sum of squares about it. @throws RangeError when a value is not finite or all are one. */
function spreadOf(y: Float64Array): { readonly mean: number; readonly total: number } {
  let sum = 0;
  let least = Infinity;
  let most = -Infinity;
  for (let i = 0; i < y.length; i++) {
    sum += y[i];
    if (y[i] < least) least = y[i];
    if (y[i] > most) most = y[i];
  }
  if (!Number.isFinite(sum)) throw new RangeError('the output holds a value that is not finite');
  if (!(most > least)) throw new RangeError('an output that does not vary has no variance to share out');
  const mean = sum / y.length;
  let total = 0;
  for (let i = 0; i < y.length; i++) total += (y[i] - mean) ** 2;
  return { mean, total };
}
