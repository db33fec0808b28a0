/**
 * Success share over bands of one quantity, as the study draws it: not what the quantity does alone, since correlated
 * inputs move along. For any quantity of a flight, an input or not; rules side by side are across.ts.
 */
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import { partitionOf } from '../../statistics/samples/partition.ts';
import { outcomeIndex } from '../flights/flightColumns.ts';
import { LEVEL } from './summary.ts';

/** Flights of a band at least: with fewer an interval says little. Common practice, no source. */
const LEAST_FLIGHTS = 30;

export interface Band {
  /** Least and greatest value among the flights here, SI. */
  readonly low: number;
  readonly high: number;
  readonly flights: number;
  readonly noResult: number;
  readonly counted: number;
  readonly landed: number;
  /** landed/counted with Clopper and Pearson's interval for this band alone; null when no flight here has a result. */
  readonly share: number | null;
  readonly interval: Interval | null;
}

/**
 * @param values finite, one a flight   @param outcome of the same flights   @param most bands at most, 1..255
 * @returns about equally many flights each, ascending; equal values are never parted. Empty without flights.
 */
export function bands(values: Float64Array, outcome: Uint8Array, most: number): readonly Band[] {
  if (values.length === 0) return [];
  const wanted = Math.min(most, Math.max(1, Math.floor(values.length / LEAST_FLIGHTS)));
  const { classOf, count } = partitionOf(values, wanted);
  const found = Array.from({ length: count }, () => ({
    low: Number.POSITIVE_INFINITY,
    high: Number.NEGATIVE_INFINITY,
    flights: 0,
    noResult: 0,
    landed: 0,
  }));
  const [none, good] = [outcomeIndex('no result'), outcomeIndex('landed')];
  for (let i = 0; i < values.length; i++) {
    const band = found[classOf[i]];
    if (values[i] < band.low) band.low = values[i];
    if (values[i] > band.high) band.high = values[i];
    band.flights++;
    if (outcome[i] === none) band.noResult++;
    else if (outcome[i] === good) band.landed++;
  }
  return found.map((band) => {
    const counted = band.flights - band.noResult;
    const any = counted > 0;
    return {
      ...band,
      counted,
      share: any ? band.landed / counted : null,
      interval: any ? clopperPearson(band.landed, counted, LEVEL) : null,
    };
  });
}

/**
 * How much success differs between bands: the share of its variance that lies between them, less what luck alone would
 * put there.
 */
export function betweenBands(all: readonly Band[]): number {
  const n = all.reduce((sum, band) => sum + band.counted, 0);
  const mean = all.reduce((sum, band) => sum + band.landed, 0) / n;
  if (!(mean > 0 && mean < 1)) return 0;
  const filled = all.filter((band) => band.counted > 0);
  const between = filled.reduce((sum, band) => sum + band.counted * (band.landed / band.counted - mean) ** 2, 0);
  // Under no dependence the weighted squares come to (bands - 1) times the variance of one flight.
  return Math.max(0, between / (mean * (1 - mean)) - (filled.length - 1)) / n;
}
