/**
 * How an interval behaves over many repeats with fixed seeds: coverage, bias, and whether the standard error tells the
 * true spread.
 */
import type { Interval } from '../../src/statistics/samples/interval.ts';

export interface Coverage {
  readonly repeats: number;
  /** Share of intervals that hold the truth. */
  readonly covered: number;
  readonly bias: number;
  /** Standard deviation of the estimates over the repeats. */
  readonly spread: number;
  /** Mean stated standard error over that standard deviation: 1 when honest. */
  readonly statedOverTrue: number;
}

export interface Trial {
  readonly estimate: number;
  readonly standardError: number;
  readonly interval: Interval;
}

/** @param trial the estimate of one repeat, from streams keyed by its number */
export function coverageOf(truth: number, repeats: number, trial: (repeat: number) => Trial): Coverage {
  const trials = Array.from({ length: repeats }, (_, r) => trial(r));
  const mean = trials.reduce((sum, t) => sum + t.estimate, 0) / repeats;
  const spread = Math.sqrt(trials.reduce((sum, t) => sum + (t.estimate - mean) ** 2, 0) / (repeats - 1));
  const stated = trials.reduce((sum, t) => sum + t.standardError, 0) / repeats;
  const covered = trials.filter(({ interval: [low, high] }) => low <= truth && truth <= high).length / repeats;
  return { repeats, covered, bias: mean - truth, spread, statedOverTrue: stated / spread };
}

/**
 * Four binomial standard errors for a coverage of 0.95: false alarm 6e-5 with the normal law, less for these skewed
 * counts.
 */
export function fourErrors(repeats: number): number {
  return 4 * Math.sqrt((0.95 * 0.05) / repeats);
}
