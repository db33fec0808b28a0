/**
 * What is asked of tempered particles, a likelihood of several factors over standard normal scores, and what comes back.
 * Solves nothing.
 */

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

export interface TemperedOptions {
  readonly particles: number;
  /** Key of the sampler's own random streams. */
  readonly seed: string;
  /** Of the particles, that each step of the exponent must leave as effective; 0.5 when left out. */
  readonly share?: number;
  /** Moves at each stop of a factor's own scores, at least 1. */
  readonly movesEach: number;
  /** Turns taken once all factors are in at least; more while calls are fewer than aimed at. */
  readonly turnsAtEnd: number;
  /** Of the likelihood, each counted by the share of the factors that it was asked for. */
  readonly callsAimed?: number;
  /** Calls at most, counted likewise; where they run out the particles are not `complete`. */
  readonly mostCalls: number;
}

export interface Tempered extends ParticleSet {
  readonly particles: number;
  /** As drawn from the prior. */
  readonly prior: ParticleSet;
  /** Scores once the first factor was in, the first two, and so on: the last are those of the result. */
  readonly grown: readonly Grown[];
  /** Stops of the exponents, over all factors. */
  readonly stops: number;
  /** Whether all factors count in full. */
  readonly complete: boolean;
  readonly logEvidence: number;
  /** Share of moves accepted at each turn. */
  readonly acceptance: readonly number[];
  /** Calls of the likelihood, each counted by the share of the factors that it was asked for. */
  readonly calls: number;
  /** Particles that differ. */
  readonly distinct: number;
}

/** Particles on the way. */
export interface Grown {
  /** particles x dimensions */
  readonly scores: Float64Array;
  /**
   * By particle: the chain, of those at the end of the factor before, that it descends from. Particles of one family are
   * alike, since they share ancestors or a chain; families went their own ways for a factor at least.
   */
  readonly families: Int32Array;
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

/** By factor: places of its features and blocks that no factor before it has. */
export function freshPlaces({ features, turns, factors }: TemperedProblem): number[][] {
  const met = new Set<number>();
  return Array.from({ length: factors }, (_, factor) => {
    const touched = [
      ...features[factor].flatMap((feature) => feature.map(({ place }) => place)),
      ...turns.flat().flatMap((block) => (block.factors.includes(factor) ? Array.from(block.places) : [])),
    ];
    const fresh = [...new Set(touched)].filter((place) => !met.has(place));
    for (const place of fresh) met.add(place);
    return fresh;
  });
}
