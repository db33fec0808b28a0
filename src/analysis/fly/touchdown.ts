/** How hard does it touch the ground? Sink, slide and tilt over the flights that touched, against their limits. */
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import { edgesOnLimit, type Histogram, histogram } from '../../statistics/samples/histogram.ts';
import { checkLevel, type Interval } from '../../statistics/samples/interval.ts';
import { quantile, quantileInterval, type Sorted, sorted } from '../../statistics/samples/quantiles.ts';
import type { Limits } from '../../study/study.ts';
import { column, type FlightColumns, hasResult } from '../flights/flightColumns.ts';

/** The measures of a touchdown: keys of the output table and of the limits alike. */
export const TOUCHDOWN_MEASURES = ['sink', 'slide', 'tilt'] as const;
export type TouchdownMeasure = (typeof TOUCHDOWN_MEASURES)[number];

/** Shares at which the quantiles are given. */
const SHARES = [0.05, 0.25, 0.5, 0.75, 0.95, 0.99];

/** Ten bins up to the limit and thirty past it: what lies beyond four times the limit is wreckage, and only counted. */
const BINS_WITHIN = 10;
const BINS_BEYOND = 30;

export interface Touchdown {
  readonly level: number;
  /** Flights with a result that touched the ground: the denominator of everything in `measures`. */
  readonly touched: number;
  /** Flights with a result that never did. */
  readonly untouched: number;
  readonly noResult: number;
  readonly measures: Readonly<Record<TouchdownMeasure, MeasuredTouchdown>>;
}

export interface MeasuredTouchdown {
  /** SI, as the study sets it. */
  readonly limit: number;
  /** Touchdowns at or under the limit. */
  readonly within: number;
  /** Of those that touched, with Clopper and Pearson's interval; null when none touched. */
  readonly shareWithin: number | null;
  readonly shareWithinInterval: Interval | null;
  /** Empty when none touched. */
  readonly quantiles: readonly {
    readonly share: number;
    readonly value: number;
    /** Distribution-free; null when too few touched for that share and level. */
    readonly interval: Interval | null;
  }[];
  /** From 0 to four times the limit, an edge exactly on it. */
  readonly histogram: Histogram;
}

/**
 * @param flights with columns sink, slide and tilt
 * @param limits > 0, SI
 * @param level in (0, 1)
 * @throws RangeError for an unfit level or limit, or when a flight that has a sink lacks one of the others
 */
export function touchdown(flights: FlightColumns, limits: Pick<Limits, TouchdownMeasure>, level: number): Touchdown {
  checkLevel(level);
  const sink = column(flights, 'sink');
  const rows: number[] = [];
  let noResult = 0;
  let untouched = 0;
  for (let i = 0; i < sink.length; i++) {
    if (!hasResult(flights, i)) noResult++;
    else if (Number.isNaN(sink[i])) untouched++;
    else rows.push(i);
  }
  const measure = (key: TouchdownMeasure): MeasuredTouchdown => {
    const values = column(flights, key);
    return measured(sorted(rows.map((i) => values[i] ?? Number.NaN)), limits[key], level);
  };
  return {
    level,
    touched: rows.length,
    untouched,
    noResult,
    measures: { sink: measure('sink'), slide: measure('slide'), tilt: measure('tilt') },
  };
}

function measured(sample: Sorted, limit: number, level: number): MeasuredTouchdown {
  const n = sample.length;
  const within = sample.reduce((count, value) => (value <= limit ? count + 1 : count), 0);
  return {
    limit,
    within,
    shareWithin: n > 0 ? within / n : null,
    shareWithinInterval: n > 0 ? clopperPearson(within, n, level) : null,
    quantiles:
      n > 0 ? SHARES.map((share) => ({ share, value: quantile(sample, share), interval: quantileInterval(sample, share, level) })) : [],
    histogram: histogram(sample, edgesOnLimit(limit, BINS_WITHIN, BINS_BEYOND)),
  };
}
