/**
 * The height shift at which most touchdowns are soft, from flights at a few shifts: a quadratic through the shares of
 * soft touchdowns (on the log odds), or through the median sink speed where hardly any is soft, and what the luck of
 * these flights leaves open of its greatest place. Each shift is flown with luck of its own: told apart are not two
 * shifts but where the crowd of flights would have the height. The share of soft touchdowns stands for that of
 * landings, since the height decides the sink and hardly the rest, and more flights are soft than land. Flies nothing.
 */
import { quantileSorted } from 'd3-array';
import { type Stream, stream } from '../../maths/streams.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import { fitShares, fitValues, type Surface } from '../../statistics/sensitivity/quadraticSurface.ts';

/** Flights at one shift. */
export interface ShiftTrial {
  /** m */
  readonly shift: number;
  /** m/s at touchdown, of every flight; MAX_VALUE for one that never touched or came to no result. */
  readonly sinks: readonly number[];
}

/** m: middle and half-width of shifts. */
export interface Region {
  readonly centre: number;
  readonly halfWidth: number;
}

export interface ShiftFound {
  /** m */
  readonly best: number;
  readonly interval: Interval;
  /** m: shifts about the best that these flights do not show to be worse. */
  readonly flat: Interval;
  /** The best lies on the edge of what was flown: there is no telling how far it goes on. */
  readonly onEdge: boolean;
  readonly fittedTo: 'soft touchdowns' | 'median sink';
}

/** Soft touchdowns of all trials, for a surface of shares to mean anything. */
const LEAST_SOFT = 20;
const RESAMPLES = 200;
/** Places at which the flat region is asked about. */
const PLACES = 81;
/** Share of the half-width within which the greatest place counts as on its edge. */
const EDGE = 0.98;

/**
 * Where the best is sought, without asking how sure that is: quick, for a first round.
 * @param trials and others as of {@link findShift}
 */
export function roughShift(trials: readonly ShiftTrial[], region: Region, limit: number): Pick<ShiftFound, 'best' | 'onEdge'> {
  const best = greatest(parabolaThrough(standing(trials, region, limit)));
  return { best: region.centre + region.halfWidth * best, onEdge: Math.abs(best) > EDGE };
}

/**
 * @param trials at three shifts or more, all with flights   @param region where the best is sought
 * @param limit m/s: a touchdown at or under it is soft   @param seed of the resampling   @param level of both intervals
 */
export function findShift(trials: readonly ShiftTrial[], region: Region, limit: number, seed: string, level: number): ShiftFound {
  const { centre, halfWidth } = region;
  const stood = standing(trials, region, limit);
  const parabola = parabolaThrough(stood);
  const best = greatest(parabola);
  const next = stream(seed);
  const again = Array.from({ length: RESAMPLES }, () => parabolaThrough(drawnAgain(stood, parabola, next)));
  const bests = again.map(greatest).sort((a, b) => a - b);
  const tail = (1 - level) / 2;
  const metres = (x: number): number => centre + halfWidth * x;
  // What is not beaten by the best in nearly all resamples is not shown to be worse.
  const beaten = (x: number): number => again.filter((other) => heightOf(other, best) > heightOf(other, x)).length / RESAMPLES;
  const flat = Array.from({ length: PLACES }, (_, i) => (2 * i) / (PLACES - 1) - 1).filter((x) => beaten(x) < level);
  return {
    best: metres(best),
    interval: [metres(Math.min(best, at(bests, tail))), metres(Math.max(best, at(bests, 1 - tail)))],
    flat: [metres(Math.min(best, ...flat)), metres(Math.max(best, ...flat))],
    onEdge: Math.abs(best) > EDGE,
    fittedTo: stood.soft === null ? 'median sink' : 'soft touchdowns',
  };
}

/** Trials in the coordinate of the region, -1 to 1. */
interface Standing {
  readonly places: readonly (readonly number[])[];
  readonly sinks: readonly (readonly number[])[];
  /** Soft touchdowns of each; null where so few are soft that sink speeds speak instead. */
  readonly soft: readonly number[] | null;
}

function standing(trials: readonly ShiftTrial[], { centre, halfWidth }: Region, limit: number): Standing {
  const soft = trials.map(({ sinks }) => sinks.filter((sink) => sink <= limit).length);
  return {
    places: trials.map(({ shift }) => [(shift - centre) / halfWidth]),
    sinks: trials.map(({ sinks }) => sinks),
    soft: soft.reduce((sum, k) => sum + k, 0) >= LEAST_SOFT ? soft : null,
  };
}

/**
 * Other flights of the same kind: soft ones as the fitted shares have them, so that a shift at which none was soft
 * varies too; or sink speeds.
 */
function drawnAgain({ places, sinks, soft }: Standing, fitted: Parabola, next: Stream): Standing {
  if (soft === null) {
    return { places, soft, sinks: sinks.map((own) => own.map(() => own[Math.floor(next() * own.length)])) };
  }
  const drawn = places.map(([x], i) => binomial(1 / (1 + Math.exp(-heightOf(fitted, x))), sinks[i].length, next));
  return { places, sinks, soft: drawn };
}

/** value + slope x + bend x^2 */
interface Parabola {
  readonly value: number;
  readonly slope: number;
  readonly bend: number;
}

function parabolaThrough({ places, sinks, soft }: Standing): Parabola {
  const counts = sinks.map((own) => own.length);
  const surface = soft === null ? throughMedians(places, sinks) : fitShares(places, soft, counts);
  const [low, value, high] = [surface([-1]), surface([0]), surface([1])];
  return { value, slope: (high - low) / 2, bend: (high + low) / 2 - value };
}

function heightOf({ value, slope, bend }: Parabola, x: number): number {
  return value + x * (slope + x * bend);
}

/** Where between -1 and 1 it is greatest. */
function greatest({ slope, bend }: Parabola): number {
  if (bend < 0) return Math.min(1, Math.max(-1, -slope / (2 * bend)));
  return slope < 0 ? -1 : 1;
}

/** Minus the logarithm of the median sink speed: crashes at some shifts then do not rule the fit. */
function throughMedians(places: readonly (readonly number[])[], sinks: readonly (readonly number[])[]): Surface {
  const softness = sinks.map(
    (own) =>
      -Math.log(
        at(
          [...own].sort((a, b) => a - b),
          0.5,
        ),
      ),
  );
  const counts = sinks.map((own) => own.length);
  return fitValues(places, softness, counts);
}

function at(ordered: readonly number[], share: number): number {
  const value = quantileSorted(ordered as number[], share);
  if (value === undefined) throw new RangeError('a quantile needs values');
  return value;
}

function binomial(share: number, trials: number, next: Stream): number {
  let hits = 0;
  for (let i = 0; i < trials; i++) if (next() < share) hits++;
  return hits;
}
