/** How uncertain the mean over particles is that were met on chains: particles of one chain are alike. Moves nothing. */

export interface ChainNoise {
  readonly mean: number;
  /** Variance of the mean. */
  readonly variance: number;
  /** Chains it rests on. */
  readonly chains: number;
}

/**
 * The variance of a mean from the sums of its chains about it, as of clusters drawn with replacement. NaN where there is
 * one chain alone.
 * Source: W. G. Cochran, Sampling Techniques, 3rd ed. (1977), section 11.7 (a ratio to size, clusters unequal).
 * @param values one a particle   @param chains by particle, from 0 on
 */
export function chainNoise(values: ArrayLike<number>, chains: ArrayLike<number>): ChainNoise {
  const n = values.length;
  let mean = 0;
  for (let i = 0; i < n; i++) mean += values[i] / n;
  const sums = new Map<number, number>();
  for (let i = 0; i < n; i++) sums.set(chains[i], (sums.get(chains[i]) ?? 0) + values[i] - mean);
  let squares = 0;
  for (const sum of sums.values()) squares += sum * sum;
  const count = sums.size;
  return { mean, variance: (squares / (n * n)) * (count / (count - 1)), chains: count };
}
