/** Mean of many independent numbers, with its interval by the central limit theorem. Not for a handful of them. */
import { normalQuantile } from '../../maths/normal.ts';
import { checkLevel, type Interval } from './interval.ts';

export interface Mean {
  readonly value: number;
  readonly interval: Interval;
}

/**
 * @param values n >= 2, finite; the interval is for tens of them or more   @param level in (0, 1)
 * @throws RangeError otherwise
 * Source: any text; W. Feller, An Introduction to Probability Theory and Its Applications I, 3rd ed., Wiley 1968, X.
 */
export function meanInterval(values: readonly number[], level: number): Mean {
  checkLevel(level);
  const n = values.length;
  if (n < 2) throw new RangeError(`a mean's interval needs two numbers at least, got ${n}`);
  let sum = 0;
  for (const value of values) sum += value;
  const mean = sum / n;
  let squares = 0;
  for (const value of values) squares += (value - mean) ** 2;
  const half = normalQuantile((1 + level) / 2) * Math.sqrt(squares / (n - 1) / n);
  if (!Number.isFinite(half)) throw new RangeError('a mean needs finite numbers');
  return { value: mean, interval: [mean - half, mean + half] };
}
