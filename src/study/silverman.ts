/** Bandwidth of a Gaussian kernel over bench data. Does not smooth; drawing is inputs/. */
import { power } from '../maths/power.ts';

/** Quantile of ascending values by linear interpolation between order statistics. */
function quantile(sorted: readonly number[], p: number): number {
  const rank = (sorted.length - 1) * p;
  const below = sorted[Math.floor(rank)] ?? Number.NaN;
  const above = sorted[Math.ceil(rank)] ?? below;
  return below + (above - below) * (rank - Math.floor(rank));
}

/** Lower and upper quartile. @param sorted ascending, at least one */
export function quartiles(sorted: readonly number[]): readonly [number, number] {
  return [quantile(sorted, 0.25), quantile(sorted, 0.75)];
}

/**
 * 0.9 min(standard deviation, interquartile range / 1.34) n^(-1/5).
 * @param sorted ascending   @returns 0 for fewer than two values or no spread
 * Source: B. W. Silverman, Density Estimation for Statistics and Data Analysis, 1986, equation 3.31 (the rule as
 * printed there, from memory).
 */
export function silvermanBandwidth(sorted: readonly number[]): number {
  const n = sorted.length;
  if (n < 2) return 0;
  const mean = sorted.reduce((a, b) => a + b, 0) / n;
  const sd = Math.sqrt(sorted.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (n - 1));
  const [low, high] = quartiles(sorted);
  return 0.9 * Math.min(sd, (high - low) / 1.34) * power(n, -0.2);
}
