/**
 * The bootstrap: rows drawn again with replacement, once a replicate for all statistics together, so that differences
 * between statistics keep what they share. For independent rows; rows of a balanced design (Latin hypercube, Sobol'
 * points) are less spread, and these intervals then too wide.
 *
 * Sources: B. Efron, Bootstrap methods: another look at the jackknife, Ann. Statist. 7 (1979) 1-26; B. Efron, Better
 * bootstrap confidence intervals, J. Amer. Statist. Assoc. 82 (1987) 171-185.
 */
import { normalCdf, normalQuantile } from '../../maths/normal.ts';
import { noiseStream } from '../../maths/streams.ts';
import { checkLevel, type Interval } from './interval.ts';

/** Statistics of each replicate. */
export interface Replicates {
  readonly count: number;
  /** Statistics in each. */
  readonly size: number;
  /** size x count: all replicates of one statistic stand together. */
  readonly values: Float64Array;
}

/**
 * Draws rows again and evaluates all statistics on each draw.
 * @param rows n >= 2   @param count replicates, >= 100   @param key seeds the draws
 * @param size number of statistics
 * @param evaluate fills `out` (size) for rows taken `times[i]` times each; the times sum to n
 * @throws RangeError on too few rows or replicates, or a statistic that is not finite.
 */
export function bootstrap(
  rows: number,
  count: number,
  key: string,
  size: number,
  evaluate: (out: Float64Array, times: Uint16Array) => void,
): Replicates {
  if (rows < 2 || count < 100) throw new RangeError(`${count} replicates of ${rows} rows: at least 100 of at least 2`);
  const draw = noiseStream(`${key}/bootstrap`);
  const times = new Uint16Array(rows);
  const out = new Float64Array(size);
  const values = new Float64Array(size * count);
  for (let r = 0; r < count; r++) {
    times.fill(0);
    for (let i = 0; i < rows; i++) {
      const row = Math.floor(draw() * rows);
      times[row] += 1;
    }
    evaluate(out, times);
    for (let k = 0; k < size; k++) {
      if (!Number.isFinite(out[k])) throw new RangeError(`statistic ${k} is ${out[k]} in replicate ${r}`);
      values[k * count + r] = out[k];
    }
  }
  return { count, size, values };
}

/** Interval between the replicates' own quantiles. @param which statistic, 0..size-1   @param level in (0, 1) */
export function percentileInterval(replicates: Replicates, which: number, level: number): Interval {
  checkLevel(level);
  const sorted = sortedReplicates(replicates, which);
  return [quantileOf(sorted, (1 - level) / 2), quantileOf(sorted, (1 + level) / 2)];
}

/**
 * The same with the quantiles moved for bias and for a standard error that changes with the estimate.
 * @param estimate from all rows   @param influence its influence values (their skewness is the acceleration); all 0
 * gives no acceleration
 */
export function bcaInterval(replicates: Replicates, which: number, estimate: number, influence: Float32Array, level: number): Interval {
  checkLevel(level);
  const sorted = sortedReplicates(replicates, which);
  let below = 0;
  for (const value of sorted) below += value < estimate ? 1 : value === estimate ? 0.5 : 0;
  // half a replicate from either end: an estimate outside all its replicates still gives finite places
  const bias = normalQuantile(Math.min(sorted.length - 0.5, Math.max(0.5, below)) / sorted.length);
  let squares = 0;
  let cubes = 0;
  for (const value of influence) {
    squares += value * value;
    cubes += value * value * value;
  }
  const acceleration = squares > 0 ? cubes / (6 * squares ** 1.5) : 0;
  const moved = (p: number): number => {
    const z = bias + normalQuantile(p);
    return quantileOf(sorted, normalCdf(bias + z / (1 - acceleration * z)));
  };
  return [moved((1 - level) / 2), moved((1 + level) / 2)];
}

/** Covariance matrix of the statistics over the replicates, size x size by rows. */
export function covarianceOfReplicates(replicates: Replicates): Float64Array {
  const { count, size, values } = replicates;
  const centred = new Float64Array(values.length);
  for (let k = 0; k < size; k++) {
    let sum = 0;
    for (let r = 0; r < count; r++) sum += values[k * count + r];
    for (let r = 0; r < count; r++) centred[k * count + r] = values[k * count + r] - sum / count;
  }
  const covariance = new Float64Array(size * size);
  for (let a = 0; a < size; a++) {
    for (let b = 0; b <= a; b++) {
      let sum = 0;
      for (let r = 0; r < count; r++) sum += centred[a * count + r] * centred[b * count + r];
      covariance[a * size + b] = sum / (count - 1);
      covariance[b * size + a] = sum / (count - 1);
    }
  }
  return covariance;
}

function sortedReplicates(replicates: Replicates, which: number): Float64Array {
  const { count, size, values } = replicates;
  if (!(Number.isInteger(which) && which >= 0 && which < size)) throw new RangeError(`statistic ${which} of ${size}`);
  return values.slice(which * count, (which + 1) * count).sort();
}

/** Place p (R + 1) among the R sorted replicates, linear between, held at the ends. */
function quantileOf(sorted: Float64Array, p: number): number {
  const place = Math.min(sorted.length, Math.max(1, p * (sorted.length + 1)));
  const lower = Math.floor(place);
  const a = sorted[lower - 1];
  const b = sorted[Math.min(lower, sorted.length - 1)];
  return a + (place - lower) * (b - a);
}
