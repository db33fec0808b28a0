/**
 * The stages of a tuning: the search and its last candidates on one stream of luck, then the answers on another, that
 * no constants were chosen on. What flies is passed in.
 */
import { ruleKind } from '../../avionics/rules/kinds.ts';
import type { OnboardModel } from '../../avionics/rules/rule.ts';
import { quantileInterval, sorted } from '../../statistics/samples/quantiles.ts';
import type { RuleChoice } from '../../study/study.ts';
import { type BurnPoint, roundedConstants, withConstants } from '../drops/burnHeights.ts';
import type { FreeConstant, HeightCoordinates } from '../drops/heightCoordinates.ts';
import { column, countOutcomes } from '../flights/flightColumns.ts';
import { odds } from '../fly/odds.ts';
import { LEVEL } from '../fly/summary.ts';
import { type Candidate, candidate, searchConstants } from './searchConstants.ts';
import type { Constants, Fresh, FreshAnswer, Tuning } from './tuning.ts';
import type { TuningBudget } from './tuningBudget.ts';
import { type Aim, type FlyCandidate, sinkQuantile, type Trial } from './tuningFlights.ts';
import { mapOptimum } from './tuningMap.ts';
import { type Good, goodFor, pairTrials } from './tuningPairs.ts';

/** Reach of the map, of those. */
const MAP_REACH = 1;
/** m: constants are rounded within this of lighting height. */
const ROUNDING = 0.002;
/** m of lighting height: nearer to a bound is on it. */
const ON_BOUND = 0.02;

export interface Stage {
  readonly aim: Aim;
  readonly budget: TuningBudget;
  readonly present: RuleChoice;
  readonly free: readonly FreeConstant[];
  readonly start: RuleChoice;
  readonly points: readonly BurnPoint[];
  readonly onboard: OnboardModel;
  readonly coordinates: HeightCoordinates;
  readonly widths: readonly number[];
}

export type SearchFound = Pick<Tuning, 'bestIs' | 'best' | 'rounds' | 'finalists' | 'good'>;
export type Answered = Pick<Tuning, 'fresh' | 'map'>;

/** Searches, then lets the last candidates fly against each other on flights the rounds had not used. */
export async function search(stage: Stage, seed: string, fly: FlyCandidate): Promise<SearchFound> {
  const { aim, budget, present, free, start, points, onboard, coordinates, widths } = stage;
  const neat = (constants: Constants): RuleChoice => {
    const rounded = roundedConstants(withConstants(present, constants), onboard, points, ROUNDING);
    // What lies on a bound stays on it.
    const held = free.map(({ key, low, high }) => [key, Math.min(high, Math.max(low, rounded.constants[key]))]);
    return withConstants(rounded, Object.fromEntries(held));
  };
  const { rounds, used, finished } = await searchConstants({ coordinates, aim, widths, budget: budget.search, seed }, fly);
  const last = rounds.at(-1);
  const unfinished: SearchFound = {
    bestIs: last === undefined ? 'start' : 'surface',
    best: neat(last?.best ?? start.constants),
    rounds,
    finalists: [],
    good: null,
  };
  if (!finished || last === undefined) return unfinished;
  const rivals: (readonly [Tuning['bestIs'], RuleChoice])[] = [
    ['surface', neat(last.best)],
    ['candidate', neat(bestOf(last.candidates, aim).constants)],
    ['start', neat(start.constants)],
    ['present', present],
  ];
  const entered = rivals.filter(
    ([, rule], i) => coordinates.within(rule.constants) && rivals.findIndex(([, other]) => same(other, rule)) === i,
  );
  const each = Math.floor(budget.finalists / entered.length);
  const trials: Trial[] = [];
  for (const [, rule] of entered) {
    const trial = await fly(rule.constants, used + 1, each);
    if (trial === null) return unfinished;
    trials.push(trial);
  }
  const finalists = trials.map((trial, i) => ({ is: entered[i][0], ...candidate(trial, aim) }));
  // On luck that none of them was chosen on, whoever is ahead is the better bet; of equals the first.
  const place = finalists.reduce((ahead, finalist, i) => (score(finalist, aim) > score(finalists[ahead], aim) ? i : ahead), 0);
  return { bestIs: entered[place][0], best: entered[place][1], rounds, finalists, good: goodFor(aim, trials[place]) };
}

/** Share landed, or how soft; a candidate of which too few touched the ground at all is the worst. */
function score({ sink, landed, flights }: Candidate, aim: Aim): number {
  if (aim.kind === 'landed') return landed / flights;
  return sink === null ? Number.NEGATIVE_INFINITY : -sink;
}

function bestOf(candidates: readonly Candidate[], aim: Aim): Candidate {
  return candidates.reduce((best, other) => (score(other, aim) > score(best, aim) ? other : best));
}

const same = (a: RuleChoice, b: RuleChoice): boolean => Object.entries(a.constants).every(([key, value]) => b.constants[key] === value);

/** The answers, from luck that no constants were chosen on. */
export async function ask(stage: Stage, best: RuleChoice, good: Good, seed: string, fly: FlyCandidate): Promise<Answered> {
  const { aim, budget, present, coordinates, widths } = stage;
  const flights = budget.freshEach;
  const bestTrial = await fly(best.constants, 1, flights);
  if (bestTrial === null) return { fresh: null, map: null };
  const presentTrial = same(best, present) ? bestTrial : await fly(present.constants, 1, flights);
  if (presentTrial === null) return { fresh: null, map: null };
  const fresh: Fresh = {
    seed,
    flights,
    best: freshAnswer(bestTrial, aim),
    present: freshAnswer(presentTrial, aim),
    pair: pairTrials(bestTrial, presentTrial, good),
  };
  const map = await mapOptimum({
    coordinates,
    widths: widths.map((width) => MAP_REACH * width),
    best: bestTrial,
    flightsEach: budget.mapEach,
    aim,
    good,
    fly,
  });
  return { fresh, map };
}

function freshAnswer(trial: Trial, aim: Aim): FreshAnswer {
  return {
    constants: trial.constants,
    odds: odds(countOutcomes(trial.flights.outcome), LEVEL),
    fired: trial.fired,
    sink: aim.kind === 'landed' ? null : sinkAnswer(trial, aim.quantile),
  };
}

/** Over the flights that count: one that never touched is harder than all. */
function sinkAnswer(trial: Trial, share: number): NonNullable<FreshAnswer['sink']> {
  const speeds = sorted(column(trial.flights, 'sink').map((speed) => (Number.isNaN(speed) ? Number.MAX_VALUE : speed)));
  const value = sinkQuantile(trial, share);
  const interval = quantileInterval(speeds, share, LEVEL);
  return { value: value === Number.MAX_VALUE ? null : value, interval: interval?.[1] === Number.MAX_VALUE ? null : interval };
}

export function onBounds({ coordinates, free, present }: Stage, best: RuleChoice): Tuning['onBounds'] {
  const kind = ruleKind(present.kind);
  return free.flatMap(({ key, low, high }, k): Tuning['onBounds'][number][] => {
    const room = coordinates.room(best.constants, k);
    const own = kind.constants.find((constant) => constant.key === key);
    if (room.low < ON_BOUND) return [{ key, at: low, side: 'low', own: own?.low === low }];
    if (room.high < ON_BOUND) return [{ key, at: high, side: 'high', own: own?.high === high }];
    return [];
  });
}
