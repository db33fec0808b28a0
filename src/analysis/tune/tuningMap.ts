/**
 * How flat is the optimum? Success over the two leading coordinates of a rule's constants about the best, on one set of
 * flights, and which constants cannot be told apart from the best by them. Further coordinates get a line of points
 * each.
 */
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import { holm } from '../../statistics/samples/holm.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import type { Bounds, HeightCoordinates } from '../drops/heightCoordinates.ts';
import { LEVEL } from '../fly/summary.ts';
import { type Aim, type FlyCandidate, firstFlights, sinkQuantile, type Trial } from './tuningFlights.ts';
import { countGood, type Good, pairTrials } from './tuningPairs.ts';

export interface MapPoint {
  /** m, from the best, in the rule's coordinates. */
  readonly offset: readonly number[];
  readonly constants: Readonly<Record<string, number>>;
  readonly flights: number;
  /** Flights with a result, and the good ones of them. */
  readonly counted: number;
  readonly good: number;
  readonly share: number | null;
  readonly interval: Interval | null;
  readonly landed: number;
  /** m/s; null unless sink speeds are aimed at. */
  readonly sink: number | null;
  /** Against the best on the same flights, for all points together (Holm); null for the best itself. */
  readonly adjustedP: number | null;
  readonly verdict: 'best' | 'alike' | 'worse' | 'better';
}

export interface TuningMap {
  readonly level: number;
  readonly flightsEach: number;
  /** Along each coordinate: offsets of the points, m, ascending; the best is at 0. */
  readonly axes: readonly (readonly number[])[];
  /**
   * The grid over the first two coordinates, the second slowest, then the lines along further ones. Places outside the
   * bounds are left out.
   */
  readonly points: readonly MapPoint[];
  /** Of each constant: what it ranges over where no point is shown to be worse than the best. */
  readonly alike: Readonly<Record<string, Bounds>>;
  /** That flat region reaches the map's rim, so the ranges may be wider. */
  readonly reachesRim: boolean;
}

/** Points along one coordinate: for one, for each of two, and for each further. Odd, so that the best is among them. */
const ALONE = 17;
const SIDE = 7;
const FURTHER = 5;

/** Offsets of the map's points, the best not among them. @param widths m: how far it reaches along each coordinate */
export function mapOffsets(widths: readonly number[]): { axes: number[][]; offsets: number[][] } {
  const d = widths.length;
  const axes = widths.map((width, k) => line(width, d === 1 ? ALONE : k < 2 ? SIDE : FURTHER));
  const offset = (parts: Readonly<Record<number, number>>): number[] => widths.map((_, k) => parts[k] ?? 0);
  const grid = d === 1 ? axes[0].map((x) => offset({ 0: x })) : axes[1].flatMap((y) => axes[0].map((x) => offset({ 0: x, 1: y })));
  const lines = axes.slice(2).flatMap((axis, k) => axis.map((x) => offset({ [k + 2]: x })));
  return { axes, offsets: [...grid, ...lines].filter((parts) => parts.some((part) => part !== 0)) };
}

function line(width: number, points: number): number[] {
  const half = (points - 1) / 2;
  return Array.from({ length: points }, (_, i) => (width * (i - half)) / half);
}

/** What a map is made of. */
export interface MapPlan {
  readonly coordinates: HeightCoordinates;
  /** m: how far it reaches along each coordinate. */
  readonly widths: readonly number[];
  /** Flown on flights 1 .. at least `flightsEach`. */
  readonly best: Trial;
  readonly flightsEach: number;
  readonly aim: Aim;
  readonly good: Good;
  readonly fly: FlyCandidate;
}

/** @returns null when interrupted */
export async function mapOptimum({ coordinates, widths, best, flightsEach, aim, good, fly }: MapPlan): Promise<TuningMap | null> {
  const { axes, offsets } = mapOffsets(widths);
  const middle = firstFlights(best, flightsEach);
  const centre = coordinates.of(best.constants);
  const reached = offsets
    .map((offset) => ({ offset, constants: coordinates.constantsAt(centre.map((z, k) => z + offset[k])) }))
    .filter(({ constants }) => coordinates.within(constants));
  const trials: Trial[] = [];
  for (const { constants } of reached) {
    const trial = await fly(constants, best.first, flightsEach);
    if (trial === null) return null;
    trials.push(trial);
  }
  const pairs = trials.map((trial) => pairTrials(trial, middle, good));
  const adjusted = holm(pairs.map(({ p }) => p));
  const point = (trial: Trial, offset: readonly number[]): Omit<MapPoint, 'adjustedP' | 'verdict'> => {
    const { good: hits, counted } = countGood(trial, good);
    const sink = aim.kind === 'sink' ? sinkQuantile(trial, aim.quantile) : null;
    const any = counted > 0;
    return {
      offset,
      constants: trial.constants,
      flights: flightsEach,
      counted,
      good: hits,
      share: any ? hits / counted : null,
      interval: any ? clopperPearson(hits, counted, LEVEL) : null,
      landed: trial.landed,
      sink: sink === Number.MAX_VALUE ? null : sink,
    };
  };
  const others = trials.map((trial, i): MapPoint => {
    const { firstOnly, secondOnly } = pairs[i].counts;
    const verdict = adjusted[i] > 1 - LEVEL ? 'alike' : firstOnly < secondOnly ? 'worse' : 'better';
    return { ...point(trial, reached[i].offset), adjustedP: adjusted[i], verdict };
  });
  const origin: MapPoint = {
    ...point(
      middle,
      widths.map(() => 0),
    ),
    adjustedP: null,
    verdict: 'best',
  };
  const points = inOrder([...others, origin], axes);
  return {
    level: LEVEL,
    flightsEach,
    axes,
    points,
    ...flatRegion(
      points,
      axes,
      coordinates.free.map(({ key }) => key),
    ),
  };
}

/**
 * What the constants range over where no point is shown to be worse than the best. A point that came out better than it
 * belongs there all the more: it is no place to keep away from.
 */
export function flatRegion(
  points: readonly MapPoint[],
  axes: readonly (readonly number[])[],
  keys: readonly string[],
): Pick<TuningMap, 'alike' | 'reachesRim'> {
  const flat = points.filter(({ verdict }) => verdict !== 'worse');
  const range = (key: string): Bounds => {
    const values = flat.map(({ constants }) => constants[key]);
    return { low: Math.min(...values), high: Math.max(...values) };
  };
  return {
    alike: Object.fromEntries(keys.map((key) => [key, range(key)])),
    reachesRim: flat.some(({ offset }) => offset.some((part, k) => part !== 0 && Math.abs(part) === axes[k][axes[k].length - 1])),
  };
}

/** The grid row by row with the best in its middle, then the lines. */
function inOrder(points: readonly MapPoint[], axes: readonly (readonly number[])[]): MapPoint[] {
  const further = ({ offset }: MapPoint): number => offset.findIndex((part, k) => k >= 2 && part !== 0);
  const rank = (point: MapPoint): number[] => [further(point), ...axes.map((_, k) => point.offset[axes.length - 1 - k])];
  return [...points].sort((a, b) => {
    const [x, y] = [rank(a), rank(b)];
    const first = x.findIndex((value, i) => value !== y[i]);
    return first < 0 ? 0 : x[first] - y[first];
  });
}
