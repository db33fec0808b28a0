/** What is asked of tempered particles: a likelihood of several factors over standard normal scores. Solves nothing. */

export interface Block {
  /** Places of its scores in a particle. */
  readonly places: Int32Array;
  /** Factors that depend on them. */
  readonly factors: readonly number[];
  /** The luck of these factors is drawn anew now and then with the move. */
  readonly renewsLuck: boolean;
}

/** Blocks that are moved at once; none shares a factor with another. */
export type Turn = readonly Block[];

/** `own`: of this factor alone, in no other's features. */
export type Feature = readonly { readonly place: number; readonly weight: number; readonly own: boolean }[];

export interface Likelihood {
  /** Logarithms, finite: particles x factors. */
  readonly logs: Float64Array;
  /**
   * Observed less simulated in standard errors, particles x factors x residuals; NaN where there is none. They steer
   * the moves, and change no answer.
   */
  readonly residuals: Float64Array;
}

export interface TemperedProblem {
  /** Scores of a particle. */
  readonly dimensions: number;
  /** Taken in one after the other, in their order. */
  readonly factors: number;
  /** Observations of each factor that have a residual, at most. */
  readonly residuals: number;
  /**
   * Sums of scores, by factor, through which alone the likelihood depends on scores: what residuals are fitted on, and
   * what stays as it is when shared scores are drawn anew.
   */
  readonly features: readonly (readonly Feature[])[];
  /** Taken one after the other. */
  readonly turns: readonly Turn[];
  /**
   * @param scores particles x dimensions   @param luck particles x factors, whole numbers below 2^32
   * @param factors asked for, ascending: what the answer holds of others is not read
   */
  likelihood(scores: Float64Array, luck: Float64Array, factors: readonly number[]): Promise<Likelihood>;
}

/** The scores of particles, their luck and what it came to, all of one length. */
export interface ParticleSet {
  /** particles x dimensions */
  readonly scores: Float64Array;
  /** particles x factors */
  readonly luck: Float64Array;
  /** particles x factors */
  readonly logs: Float64Array;
}

export type OnScores = { readonly places: Int32Array; readonly coefficients: Float64Array };

/** Slopes on features as slopes on the scores that make them up. */
export function onScores(slopes: Float64Array, features: readonly Feature[]): OnScores {
  const found = new Map<number, number>();
  for (const [k, feature] of features.entries()) {
    if (slopes[k] === 0) continue;
    for (const { place, weight } of feature) found.set(place, (found.get(place) ?? 0) + weight * slopes[k]);
  }
  return { places: Int32Array.from(found.keys()), coefficients: Float64Array.from(found.values()) };
}
