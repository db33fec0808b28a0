/**
 * The search for a rule's best constants when every look at them is noisy. Response surfaces in a region that moves and
 * shrinks: a space-filling set of candidates, all flown on the same luck; a quadratic fitted over all candidates in it;
 * the region moved to where it is greatest and halved unless that is on its edge; twice as many flights a candidate;
 * and so on. Chosen because the surface is smooth and has one to three coordinates, because a fit over all candidates
 * uses every flight where a comparison of points throws most away, and because flying all candidates on the same luck
 * moves the level of the surface but hardly its shape. Derivatives of a share of landings do not exist flight by
 * flight, so methods that want them are out.
 *
 * Sources: K.-H. Chang, L. J. Hong and H. Wan, Stochastic trust-region response-surface method (STRONG), INFORMS
 * Journal on Computing 25 (2013) 230-243, for the region; L. W. Schruben and B. H. Margolin, Pseudorandom number
 * assignment in statistically designed simulation experiments, J. American Statistical Association 73 (1978) 504-520,
 * for the common luck.
 */
import { UserError } from '../../errors.ts';
import { stream } from '../../maths/streams.ts';
import { scrambledSobolDimension, sobolPoint } from '../../sampling/sobol.ts';
import { fitShares, fitValues, greatestWithin, quadraticTerms, type Surface } from '../../statistics/sensitivity/quadraticSurface.ts';
import type { HeightCoordinates } from '../drops/heightCoordinates.ts';
import { type Aim, type FlyCandidate, sinkQuantile, type Trial } from './tuningFlights.ts';

export interface SearchOptions {
  readonly coordinates: HeightCoordinates;
  readonly aim: Aim;
  /** m: half of the first region along each coordinate. */
  readonly widths: readonly number[];
  /** Flights at most. */
  readonly budget: number;
  /** Keys the sets of candidates. */
  readonly seed: string;
}

export interface Candidate {
  readonly constants: Readonly<Record<string, number>>;
  readonly flights: number;
  readonly landed: number;
  readonly fired: number;
  /** m/s; null unless sink speeds are aimed at, or when fewer than that share touched the ground. */
  readonly sink: number | null;
}

export interface Round {
  /** m, in the rule's coordinates: middle and half-widths of the region. */
  readonly centre: readonly number[];
  readonly halfWidths: readonly number[];
  readonly candidates: readonly Candidate[];
  /** Where the fitted surface is greatest. */
  readonly best: Readonly<Record<string, number>>;
  /** Whether that place is on the region's edge, along each coordinate. */
  readonly onEdge: readonly boolean[];
  /** Fitted to: landings (or the aimed-at quantile), or, where hardly any flight lands, the median sink speed. */
  readonly fittedTo: 'landings' | 'sink' | 'median sink';
}

export interface Search {
  readonly rounds: readonly Round[];
  /** m: half-widths of the region after the last round. */
  readonly halfWidths: readonly number[];
  /** Flights of the luck used up: numbers 1 to this. */
  readonly used: number;
  readonly flown: number;
  readonly finished: boolean;
}

const ROUNDS = 3;
/** Candidates for each coefficient of the quadratic, and one more. */
const PER_TERM = 2;
/** Share of the region's half-width within which the greatest place counts as on its edge. */
const EDGE = 0.98;
/** Landings of all candidates of a round, for a surface of shares to mean anything. */
const LEAST_LANDINGS = 20;
/** Points of the sequence tried for one candidate within bounds. */
const MOST_TRIES = 20_000;

/** Flights the search needs at least. @param d coordinates */
export function leastSearchBudget(d: number): number {
  return flightsFor(d) * 20;
}

/** Candidates times their flights in units of the first round's, over all rounds. */
function flightsFor(d: number): number {
  return candidatesFor(d) * (2 ** ROUNDS - 1);
}

function candidatesFor(d: number): number {
  return PER_TERM * quadraticTerms(d) + 1;
}

/** @throws UserError when the bounds leave hardly any of the region */
export async function searchConstants(options: SearchOptions, fly: FlyCandidate): Promise<Search> {
  const { coordinates, aim, budget } = options;
  const d = coordinates.free.length;
  const reach = coordinates.reach();
  let halfWidths = options.widths.map((width, k) => Math.min(width, reach[k]));
  let centre = new Array<number>(d).fill(0);
  const base = Math.floor(budget / flightsFor(d));
  const rounds: Round[] = [];
  const seen: { readonly z: readonly number[]; readonly trial: Trial }[] = [];
  let used = 0;
  let flown = 0;
  for (let round = 0; round < ROUNDS; round++) {
    const count = base * 2 ** round;
    const places = candidatesWithin(coordinates, centre, halfWidths, `${options.seed}/candidates/${round}`);
    const trials: Trial[] = [];
    for (const place of places) {
      const trial = await fly(coordinates.constantsAt(at(centre, halfWidths, place)), used + 1, count);
      if (trial === null) return { rounds, halfWidths, used, flown, finished: false };
      trials.push(trial);
      flown += count;
    }
    used += count;
    const [middle, half] = [centre, halfWidths];
    // Candidates of earlier rounds that lie in this region have something to say about its shape too; their level is
    // that of other luck.
    const earlier = seen
      .map(({ z, trial }) => ({ x: z.map((value, k) => (value - middle[k]) / half[k]), trial }))
      .filter(({ x }) => x.every((value) => Math.abs(value) <= 1));
    const { surface, fittedTo } = surfaceThrough(
      [...places, ...earlier.map(({ x }) => x)],
      [...trials, ...earlier.map(({ trial }) => trial)],
      aim,
    );
    seen.push(...places.map((x, i) => ({ z: at(middle, half, x), trial: trials[i] })));
    const best =
      greatestWithin(surface, d, (x) => coordinates.within(coordinates.constantsAt(at(middle, half, x)))) ?? new Array<number>(d).fill(0);
    const onEdge = best.map((x) => Math.abs(x) > EDGE);
    rounds.push({
      centre,
      halfWidths,
      candidates: trials.map((trial) => candidate(trial, aim)),
      best: coordinates.constantsAt(at(centre, halfWidths, best)),
      onEdge,
      fittedTo,
    });
    centre = at(centre, halfWidths, best);
    halfWidths = halfWidths.map((width, k) => (onEdge[k] ? width : width / 2));
  }
  return { rounds, halfWidths, used, flown, finished: true };
}

/**
 * The last round was best on the edge of a region that no round had narrowed in that direction: there is no telling how
 * far it goes on.
 */
export function unsettled(rounds: readonly Round[]): boolean {
  const last = rounds.at(-1);
  return last?.onEdge.some((edge, k) => edge && last.halfWidths[k] === rounds[0].halfWidths[k]) ?? false;
}

export function candidate(trial: Trial, aim: Aim): Candidate {
  const sink = aim.kind === 'sink' ? sinkQuantile(trial, aim.quantile) : null;
  return {
    constants: trial.constants,
    flights: trial.count,
    landed: trial.landed,
    fired: trial.fired,
    sink: sink === Number.MAX_VALUE ? null : sink,
  };
}

/** m: a place of the box -1..1 in the rule's coordinates. */
function at(centre: readonly number[], halfWidths: readonly number[], x: readonly number[]): number[] {
  return x.map((value, k) => centre[k] + halfWidths[k] * value);
}

/** The centre, and scrambled Sobol' points of the region as far as the constants' bounds allow them. */
function candidatesWithin(
  coordinates: HeightCoordinates,
  centre: readonly number[],
  halfWidths: readonly number[],
  key: string,
): number[][] {
  const d = centre.length;
  const dimensions = centre.map((_, k) => scrambledSobolDimension(k, stream(`${key}/${k}`)));
  const places: number[][] = [new Array<number>(d).fill(0)];
  const wanted = candidatesFor(d);
  for (let index = 0; places.length < wanted; index++) {
    if (index === MOST_TRIES * wanted)
      throw new UserError('--bounds: they leave too little of the region to search in; widen them, or hold a constant with equal bounds');
    const place = dimensions.map((dimension) => 2 * sobolPoint(dimension, index) - 1);
    if (coordinates.within(coordinates.constantsAt(at(centre, halfWidths, place)))) places.push(place);
  }
  return places;
}

function surfaceThrough(
  places: readonly number[][],
  trials: readonly Trial[],
  aim: Aim,
): { surface: Surface; fittedTo: Round['fittedTo'] } {
  const counts = trials.map(({ count }) => count);
  const lucks = trials.map(({ first }) => first);
  if (aim.kind === 'landed') {
    const landed = trials.map((trial) => trial.landed);
    if (landed.reduce((sum, k) => sum + k, 0) >= LEAST_LANDINGS)
      return { surface: fitShares(places, landed, counts, lucks), fittedTo: 'landings' };
    return { surface: fitValues(places, softness(trials, 0.5), counts, lucks), fittedTo: 'median sink' };
  }
  return { surface: fitValues(places, softness(trials, aim.quantile), counts, lucks), fittedTo: 'sink' };
}

/** Minus the logarithm of a quantile of sink speed: crashes of some candidates then do not rule the fit. */
function softness(trials: readonly Trial[], share: number): number[] {
  return trials.map((trial) => -Math.log(sinkQuantile(trial, share)));
}
