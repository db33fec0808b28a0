/**
 * How uncertain the mean over particles is that descend from others, or were met on chains: particles of one family are
 * alike. Moves nothing.
 */

export interface FamilyNoise {
  readonly mean: number;
  /** Variance of the mean. */
  readonly variance: number;
  /** Families it rests on. */
  readonly families: number;
}

/**
 * The variance of a mean from the sums of its families about it, as of clusters drawn with replacement. NaN where there is
 * one family alone.
 * Sources: W. G. Cochran, Sampling Techniques, 3rd ed. (1977), section 11.7 (a ratio to size, clusters unequal); that
 * ancestors some steps back make the families: J. Olsson and R. Douc, Bernoulli 25 (2019) 1504-1535.
 * @param values one a particle   @param families by particle
 */
export function familyNoise(values: ArrayLike<number>, families: ArrayLike<number>): FamilyNoise {
  const n = values.length;
  let mean = 0;
  for (let i = 0; i < n; i++) mean += values[i] / n;
  const sums = new Map<number, number>();
  for (let i = 0; i < n; i++) sums.set(families[i], (sums.get(families[i]) ?? 0) + values[i] - mean);
  let squares = 0;
  for (const sum of sums.values()) squares += sum * sum;
  const count = sums.size;
  return { mean, variance: (squares / (n * n)) * (count / (count - 1)), families: count };
}
