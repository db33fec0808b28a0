/**
 * What a few values from a bell curve say: mean and standard deviation with their intervals, and what the next value
 * may be. Wrong for values that are no bell curve; whoever asks has looked.
 */
import { chiSquareQuantile } from '../../maths/incompleteGamma.ts';
import { normalQuantile } from '../../maths/normal.ts';
import { studentQuantile } from '../../maths/student.ts';
import { checkLevel, type Interval } from './interval.ts';

export interface NormalSample {
  readonly count: number;
  readonly mean: number;
  /** With n - 1; null of one value. */
  readonly sd: number | null;
}

/** @param values at least one   @throws RangeError otherwise */
export function normalSample(values: ArrayLike<number>): NormalSample {
  const count = values.length;
  if (count < 1) throw new RangeError('an empty sample has no mean');
  let mean = 0;
  for (let i = 0; i < count; i++) mean += (values[i] - mean) / (i + 1);
  let squares = 0;
  for (let i = 0; i < count; i++) squares += (values[i] - mean) ** 2;
  return { count, mean, sd: count > 1 ? Math.sqrt(squares / (count - 1)) : null };
}

/**
 * Interval of the mean.
 * @returns null of one value
 * Source: Student, The probable error of a mean, Biometrika 6 (1908) 1-25.
 */
export function meanInterval({ count, mean, sd }: NormalSample, level: number): Interval | null {
  checkLevel(level);
  if (sd === null) return null;
  const half = (studentQuantile(count - 1)(0.5 * (1 + level)) * sd) / Math.sqrt(count);
  return [mean - half, mean + half];
}

/**
 * Interval of a standard deviation that was told with so many degrees of freedom (n - 1 of a sample): chi-square,
 * equal tails.
 * @param freedom > 0, need not be whole
 * Source: G. J. Hahn and W. Q. Meeker, Statistical Intervals, Wiley 1991, section 4.2.
 */
export function sdInterval(sd: number, freedom: number, level: number): Interval {
  checkLevel(level);
  const tail = 0.5 * (1 - level);
  return [sd * Math.sqrt(freedom / chiSquareQuantile(freedom, 1 - tail)), sd * Math.sqrt(freedom / chiSquareQuantile(freedom, tail))];
}

/** Where the next value lies: Student's t about the mean. */
export interface Prediction {
  readonly mean: number;
  readonly scale: number;
  readonly freedom: number;
}

/**
 * Source: Hahn and Meeker (1991), section 4.7: the next value lies within mean +- t sd sqrt(1 + 1/n).
 * @returns null of one value
 */
export function prediction({ count, mean, sd }: NormalSample): Prediction | null {
  return sd === null ? null : { mean, scale: sd * Math.sqrt(1 + 1 / count), freedom: count - 1 };
}

/** Pearson's correlation of two columns, equally long. @returns null where one does not vary */
export function correlation(x: ArrayLike<number>, y: ArrayLike<number>): number | null {
  const [a, b] = [normalSample(x), normalSample(y)];
  if (!a.sd || !b.sd) return null;
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += (x[i] - a.mean) * (y[i] - b.mean);
  return Math.max(-1, Math.min(1, sum / ((a.count - 1) * a.sd * b.sd)));
}

/**
 * Interval of a correlation of two bell curves, by the transform atanh.
 * @param r in [-1, 1]   @param count pairs   @returns null of fewer than four pairs
 * Source: R. A. Fisher, Metron 1 (1921) 3-32.
 */
export function correlationInterval(r: number, count: number, level: number): Interval | null {
  checkLevel(level);
  if (count < 4) return null;
  if (Math.abs(r) === 1) return [r, r];
  const half = normalQuantile(0.5 * (1 + level)) / Math.sqrt(count - 3);
  return [Math.tanh(Math.atanh(r) - half), Math.tanh(Math.atanh(r) + half)];
}
