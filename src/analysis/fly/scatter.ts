/**
 * Where do they come down? Landing places over the flights that touched the ground: ellipses, a circle, the farthest
 * one.
 */
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import {
  type Axes,
  containmentRadius,
  type Ellipse,
  insideEllipse,
  predictionEllipse,
  principalAxes,
  spread,
} from '../../statistics/samples/ellipse.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import { quantile, quantileInterval, sorted } from '../../statistics/samples/quantiles.ts';
import { twoSided } from '../../statistics/sensitivity/influence.ts';
import { column, type FlightColumns, hasResult, rowsWhere, valuesAt } from '../flights/flightColumns.ts';

const SHARES = [0.5, 0.95, 0.99];

export interface Scatter {
  /** Flights with a result and a landing place: the denominator of everything here. */
  readonly placed: number;
  /** Flights with a result that never touched the ground. */
  readonly unplaced: number;
  readonly noResult: number;
  /**
   * m from the pad that so many of the places lie within, each with its distribution-free interval (null: too few);
   * empty without any.
   */
  readonly distances: readonly { readonly share: number; readonly value: number; readonly interval: Interval | null }[];
  /** The farthest last contact from the pad, and whose it was (the first of equals); null without any. */
  readonly farthest: null | { readonly distance: number; readonly number: number };
  /** null below three places. x is east and y is north of the pad, m. */
  readonly cloud: null | {
    readonly meanEast: number;
    readonly meanNorth: number;
    /** At the level asked for, each for itself, by the normal limit of a mean. */
    readonly meanEastInterval: Interval;
    readonly meanNorthInterval: Interval;
    /** Principal standard deviations; the angle is from east toward north. */
    readonly axes: Axes;
    /**
     * Each made to hold its share of further flights if places were normally distributed, and how many of these flights
     * it holds: the two far apart say that they are not.
     */
    readonly ellipses: readonly (Ellipse & { readonly inside: number; readonly insideInterval: Interval })[];
    /** m about the mean; half of all places fall inside, if they are normally distributed. */
    readonly cep: number;
    /** m about the mean; half of these places fall inside, as counted. */
    readonly cepCounted: number;
    /** Distribution-free; null below 6 places. */
    readonly cepInterval: Interval | null;
  };
}

/**
 * @param flights with columns landingEast, landingNorth and landingDistance   @param level of the intervals, in (0, 1)
 * @throws RangeError when a flight that has an east lacks one of the others
 */
export function scatter(flights: FlightColumns, level: number): Scatter {
  const east = column(flights, 'landingEast');
  const north = column(flights, 'landingNorth');
  const distance = column(flights, 'landingDistance');
  let noResult = 0;
  let unplaced = 0;
  const rows = rowsWhere(east.length, (i) => {
    if (!hasResult(flights, i)) noResult++;
    else if (Number.isNaN(east[i])) unplaced++;
    else return true;
    return false;
  });
  let farthest: Scatter['farthest'] = null;
  for (const i of rows) {
    const d = distance[i] ?? Number.NaN;
    const number = flights.number[i] ?? Number.NaN;
    if (!Number.isFinite(d) || Number.isNaN(number)) throw new RangeError(`row ${i} has a place but distance ${d} and number ${number}`);
    if (farthest === null || d > farthest.distance) farthest = { distance: d, number };
  }
  const x = valuesAt(rows, east);
  const y = valuesAt(rows, north);
  const far = sorted(valuesAt(rows, distance));
  const distances =
    rows.length === 0 ? [] : SHARES.map((share) => ({ share, value: quantile(far, share), interval: quantileInterval(far, share, level) }));
  return { placed: rows.length, unplaced, noResult, distances, farthest, cloud: rows.length < 3 ? null : cloud(x, y, level) };
}

function cloud(x: Float64Array, y: Float64Array, level: number): NonNullable<Scatter['cloud']> {
  const moments = spread(x, y);
  const axes = principalAxes(moments);
  const fromMean = sorted(x.map((east, i) => Math.hypot(east - moments.meanX, (y[i] ?? Number.NaN) - moments.meanY)));
  return {
    meanEast: moments.meanX,
    meanNorth: moments.meanY,
    meanEastInterval: around(moments.meanX, moments.varianceX, x.length, level),
    meanNorthInterval: around(moments.meanY, moments.varianceY, x.length, level),
    axes,
    ellipses: SHARES.map((share) => {
      const ellipse = predictionEllipse(moments, share);
      const inside = x.reduce((count, east, i) => (insideEllipse(ellipse, east, y[i] ?? Number.NaN) ? count + 1 : count), 0);
      return { ...ellipse, inside, insideInterval: clopperPearson(inside, x.length, level) };
    }),
    cep: containmentRadius(axes.major, axes.minor, 0.5),
    cepCounted: quantile(fromMean, 0.5),
    cepInterval: quantileInterval(fromMean, 0.5, level),
  };
}

function around(mean: number, variance: number, n: number, level: number): Interval {
  const reach = twoSided(level) * Math.sqrt(variance / n);
  return [mean - reach, mean + reach];
}
