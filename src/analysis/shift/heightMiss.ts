/**
 * Do a rule's constants look stale? Over the flights flown, by how much the command came above or below the height it
 * should have come at, given the speed there (burnWindow.ts). Read from the outputs `ignitionHeight` and
 * `ignitionSpeed`, both true values, of every flight that gave the command; flies nothing but the nominal flights that
 * say what height is right.
 *
 * The interval is that of the median over these flights (distribution-free): it says nothing of how well the nominal
 * window's middle stands for the best height under everything that varies, which can be off by some tenths of a metre,
 * and more where the vehicle comes down unsteadily. So only a miss is called stale that is far beside its own spread
 * and the width of the window together, and `--retune` finds the shift from flights instead.
 */
import type { Interval } from '../../statistics/samples/interval.ts';
import { quantile, quantileInterval, sortedInPlace } from '../../statistics/samples/quantiles.ts';
import type { Study } from '../../study/study.ts';
import { column, type FlightColumns } from '../flights/flightColumns.ts';
import { type BurnTarget, burnTarget } from './burnWindow.ts';

export interface HeightMiss {
  /** Flights that gave the command. */
  readonly flights: number;
  /** m, command minus where it should have come: median with its interval; negative is too low. */
  readonly median: number;
  readonly interval: Interval;
  /** m: half of what the middle 68 % of the flights span. */
  readonly spread: number;
  /** m: half of the heights that the nominal vehicle lands softly from. */
  readonly reach: number;
  /**
   * The whole interval lies further out than half of spread and reach together (root of the squares): the constants
   * look stale.
   */
  readonly stale: boolean;
}

/** Outputs it is read from. */
export const MISS_KEYS = ['ignitionHeight', 'ignitionSpeed'] as const;

/** Commands below which nothing is said. */
const LEAST = 50;
/** Share of spread and reach. */
const FAR = 0.5;

/** @returns for any rule's flights of one study, with the columns of MISS_KEYS; null where it cannot be told */
export function heightMissOf(study: Study, level: number): (flights: FlightColumns) => HeightMiss | null {
  let target: BurnTarget | null | undefined;
  return (flights) => {
    if (column(flights, 'ignitionHeight').reduce((sum, height) => sum + (Number.isFinite(height) ? 1 : 0), 0) < LEAST) return null;
    if (target === undefined) target = burnTarget(study);
    return target === null ? null : missFrom(flights, target, level);
  };
}

/** @returns null for too few commands */
export function missFrom(flights: FlightColumns, { height, speed, slope, perMetre, reach }: BurnTarget, level: number): HeightMiss | null {
  const speeds = column(flights, 'ignitionSpeed');
  const misses = column(flights, 'ignitionHeight').map((lit, i) => (lit - height - slope * (speeds[i] - speed)) / perMetre);
  // Moved together in place: a filter would hold each as an object of its own first.
  let known = 0;
  for (let i = 0; i < misses.length; i++) if (Number.isFinite(misses[i])) misses[known++] = misses[i];
  const sample = sortedInPlace(misses.subarray(0, known));
  const interval = sample.length < LEAST ? null : quantileInterval(sample, 0.5, level);
  if (interval === null) return null;
  const spread = (quantile(sample, 0.84) - quantile(sample, 0.16)) / 2;
  const nearest = interval[0] <= 0 && interval[1] >= 0 ? 0 : Math.min(...interval.map(Math.abs));
  const stale = nearest > FAR * Math.hypot(spread, reach);
  return { flights: sample.length, median: quantile(sample, 0.5), interval, spread, reach, stale };
}
