/** How hard does it touch the ground? Sink, slide and tilt over the flights that touched, against their limits. */
import { bisectRight } from 'd3-array';
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import { edgesOnLimit, type Histogram, histogram } from '../../statistics/samples/histogram.ts';
import { checkLevel, type Interval } from '../../statistics/samples/interval.ts';
import { quantile, quantileInterval, type Sorted, sortedInPlace } from '../../statistics/samples/quantiles.ts';
import type { Study } from '../../study/study.ts';
import { heldLimits } from '../../study/touchdownLimits.ts';
import { column, type FlightColumns, hasResult, rowsWhere, valuesAt } from '../flights/flightColumns.ts';

/** The measures of a touchdown: keys of the output table and of the limits alike. */
export const TOUCHDOWN_MEASURES = ['sink', 'slide', 'tilt'] as const;
export type TouchdownMeasure = (typeof TOUCHDOWN_MEASURES)[number];

/** Shares at which the quantiles are given. */
const SHARES = [0.05, 0.25, 0.5, 0.75, 0.95, 0.99];

/** Ten bins up to the limit and thirty past it: what lies beyond four times the limit is wreckage, and only counted. */
const BINS_WITHIN = 10;
const BINS_BEYOND = 30;
/** Share of the touchdowns that is drawn where no limit says what is wreckage. */
const MOST_SHOWN = 0.99;

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
  /** SI, as the study sets it; null: nothing limits it. */
  readonly limit: number | null;
  /** The limit is not the study's: it is what the nominal legs stand. */
  readonly ofLegs: boolean;
  /** Touchdowns at or under the limit; null without one. */
  readonly within: number | null;
  /** Of those that touched, with Clopper and Pearson's interval; null when none touched, and without a limit. */
  readonly shareWithin: number | null;
  readonly shareWithinInterval: Interval | null;
  /** Empty when none touched. */
  readonly quantiles: readonly {
    readonly share: number;
    readonly value: number;
    /** Distribution-free; null when too few touched for that share and level. */
    readonly interval: Interval | null;
  }[];
  /** From 0 to four times the limit, an edge exactly on it; without one up to the greatest of 99 in 100. */
  readonly histogram: Histogram;
}

/**
 * @param flights with columns sink, slide and tilt
 * @param study whose limits they are held against, or whose legs
 * @param level in (0, 1)
 * @throws RangeError for an unfit level or limit, or when a flight that has a sink lacks one of the others
 */
export function touchdown(flights: FlightColumns, study: Study, level: number): Touchdown {
  checkLevel(level);
  const sink = column(flights, 'sink');
  let noResult = 0;
  let untouched = 0;
  const rows = rowsWhere(sink.length, (i) => {
    if (!hasResult(flights, i)) noResult++;
    else if (Number.isNaN(sink[i])) untouched++;
    else return true;
    return false;
  });
  const measure = (key: TouchdownMeasure): MeasuredTouchdown => {
    const values = column(flights, key);
    const held = heldLimits(study)[key];
    const limit = held === Number.POSITIVE_INFINITY ? null : held;
    return measured(sortedInPlace(valuesAt(rows, values)), limit, study.limits[key] === null && limit !== null, level);
  };
  return {
    level,
    touched: rows.length,
    untouched,
    noResult,
    measures: { sink: measure('sink'), slide: measure('slide'), tilt: measure('tilt') },
  };
}

function measured(sample: Sorted, limit: number | null, ofLegs: boolean, level: number): MeasuredTouchdown {
  const n = sample.length;
  const within = limit === null ? null : bisectRight(sample, limit);
  const known = n > 0 && within !== null;
  const most = n > 0 ? quantile(sample, MOST_SHOWN) : 0;
  return {
    limit,
    ofLegs,
    within,
    shareWithin: known ? within / n : null,
    shareWithinInterval: known ? clopperPearson(within, n, level) : null,
    quantiles:
      n > 0 ? SHARES.map((share) => ({ share, value: quantile(sample, share), interval: quantileInterval(sample, share, level) })) : [],
    histogram: histogram(
      sample,
      limit === null ? edgesOnLimit(most > 0 ? most : 1, BINS_WITHIN + BINS_BEYOND, 0) : edgesOnLimit(limit, BINS_WITHIN, BINS_BEYOND),
    ),
  };
}
