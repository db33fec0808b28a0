/**
 * How likely is a landing? The share of flights that landed, with its interval, and what the flights without a result
 * leave open.
 */
import { OUTCOMES } from '../../flight/outputs.ts';
import { clopperPearson, wilson } from '../../statistics/proportions/binomial.ts';
import { checkCounts, checkLevel, type Interval } from '../../statistics/samples/interval.ts';
import { outcomeIndex } from '../flights/flightColumns.ts';

export interface Odds {
  /** What the intervals keep. */
  readonly level: number;
  /**
   * What they were computed at: more than `level` where flying stopped at a width, which favours flights that make it
   * narrow.
   */
  readonly nominal: number;
  /** All flights flown. */
  readonly flights: number;
  /** Those without a result: in no share below but the `open` one, and always shown beside it. */
  readonly noResult: number;
  /** Flights with a result: the denominator of `share`. */
  readonly counted: number;
  readonly landed: number;
  /** landed/counted; null when no flight has a result. */
  readonly share: number | null;
  /** The headline: Clopper and Pearson's, since it alone keeps its level whatever the true probability. */
  readonly interval: Interval | null;
  /** Wilson's, shorter, right on average only; for those who compare with other work. */
  readonly wilson: Interval | null;
  /**
   * What could be true of all flights, had none or all of those without a result landed; null when nothing was flown.
   */
  readonly open: null | {
    /** landed/flights and (landed + noResult)/flights. */
    readonly share: Interval;
    /** Exact lower end of the first, exact upper end of the second. */
    readonly interval: Interval;
  };
}

/**
 * Takes flights as independent; spread-out designs (Latin hypercube, Sobol') scatter less, and the interval is then
 * usually too wide.
 * @param counts flights per outcome, in the order of OUTCOMES
 * @param level in (0, 1)   @param nominal of the intervals: `level`, or stopAtWidth.ts's for flights stopped by it
 * @throws RangeError for unfit counts or level
 */
export function odds(counts: readonly number[], level: number, nominal = level): Odds {
  checkLevel(level);
  if (counts.length !== OUTCOMES.length) throw new RangeError(`${counts.length} counts for ${OUTCOMES.length} outcomes`);
  checkCounts(Object.fromEntries(OUTCOMES.map((outcome, i) => [outcome, counts[i] ?? Number.NaN])));
  const flights = counts.reduce((sum, count) => sum + count, 0);
  const noResult = counts[outcomeIndex('no result')] ?? Number.NaN;
  const landed = counts[outcomeIndex('landed')] ?? Number.NaN;
  const counted = flights - noResult;
  const any = counted > 0;
  return {
    level,
    nominal,
    flights,
    noResult,
    counted,
    landed,
    share: any ? landed / counted : null,
    interval: any ? clopperPearson(landed, counted, nominal) : null,
    wilson: any ? wilson(landed, counted, nominal) : null,
    open:
      flights > 0
        ? {
            share: [landed / flights, (landed + noResult) / flights],
            interval: [clopperPearson(landed, flights, nominal)[0], clopperPearson(landed + noResult, flights, nominal)[1]],
          }
        : null,
  };
}
