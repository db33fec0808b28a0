/**
 * The best constants of an ignition rule under everything that varies, and how flat the optimum is. Starts from the drops, searches on one
 * stream of luck (searchConstants.ts), and answers from another that no constants were chosen on: the success probability, the comparison
 * with the study's present constants, and the map about the optimum. Neither stream is the study's own, so flying the study afterwards is
 * one more fair trial. Prints nothing.
 */
import { ruleKind } from '../avionics/rules/kinds.ts';
import type { OnboardModel } from '../avionics/rules/rule.ts';
import { UserError } from '../errors.ts';
import type { LostFlight, Progress } from '../fleet/fleet.ts';
import { onboardModel } from '../flight/setup.ts';
import { answerTable } from '../results/answerTable.ts';
import { ResultsFolder } from '../results/folder.ts';
import type { Interval } from '../statistics/interval.ts';
import { MOST_DIMENSIONS } from '../statistics/quadraticSurface.ts';
import { quantileInterval, sorted } from '../statistics/quantiles.ts';
import type { OpenedStudy } from '../study/load.ts';
import { suggestion } from '../study/nearest.ts';
import type { RuleChoice, Study } from '../study/study.ts';
import { type BurnPoint, lightingHeights, roundedConstants, withConstants } from './burnHeights.ts';
import { burnPoints, flyDrops } from './drops.ts';
import { column, countOutcomes } from './flightColumns.ts';
import type { RunFacts, RunOptions, StudyFacts } from './flightRun.ts';
import { ruleName } from './flyStudy.ts';
import { type Odds, odds } from './odds.ts';
import { type Bounds, type FreeConstant, freeConstants, nearestTo, RuleCoordinates } from './ruleCoordinates.ts';
import { type Candidate, candidate, type FlyCandidate, leastSearchBudget, type Round, searchConstants } from './searchConstants.ts';
import { studyFacts } from './studyFacts.ts';
import { LEVEL } from './summary.ts';
import { type Aim, sinkQuantile, type Trial, TuningFlights } from './tuningFlights.ts';
import { mapOffsets, mapOptimum, type TuningMap } from './tuningMap.ts';
import { type Good, goodFor, pairTrials, type TuningPair } from './tuningPairs.ts';
import { mapTable } from './tuningTable.ts';

export interface TuneOptions extends RunOptions {
  /** Name of one of the study's rules; its first when left out. */
  readonly rule?: string;
  /** Flights at most, of all stages together; 60,000 when left out. */
  readonly budget?: number;
  /** Landings when left out. */
  readonly aim?: Aim;
  /** Narrower bounds of constants, by key; equal ones hold the constant there. */
  readonly bounds?: Readonly<Record<string, Bounds>>;
  readonly onProgress?: (progress: Progress) => void;
}

type Constants = Readonly<Record<string, number>>;

/** One set of constants on the fresh flights. */
export interface FreshAnswer {
  readonly constants: Constants;
  readonly odds: Odds;
  /** Flights in which the rule gave the ignition command. */
  readonly fired: number;
  /** The aimed-at quantile of sink speed, m/s; null when landings are aimed at. */
  readonly sink: null | { readonly value: number | null; readonly interval: Interval | null };
}

export interface Fresh {
  readonly seed: string;
  readonly flights: number;
  readonly best: FreshAnswer;
  readonly present: FreshAnswer;
  /** Best against present. */
  readonly pair: TuningPair;
}

/** What tuning.json holds: nothing in it depends on the machine or the time. */
export interface Tuning extends StudyFacts {
  readonly rule: string;
  readonly kind: string;
  readonly aim: Aim;
  readonly budget: number;
  readonly flown: number;
  /** False when interrupted: the best is then the best so far. */
  readonly finished: boolean;
  readonly free: readonly FreeConstant[];
  readonly present: Constants;
  /** Nearest to the softest drops of the nominal vehicle: where the search began. */
  readonly start: Constants;
  /** Rounded to what matters; flown as rounded. */
  readonly best: RuleChoice;
  /** Where the best came from. */
  readonly bestIs: 'surface' | 'candidate' | 'start' | 'present';
  readonly searchSeed: string;
  readonly rounds: readonly Round[];
  /** The last candidates on flights of the search's luck that the rounds had not used. */
  readonly finalists: readonly (Candidate & { readonly is: Tuning['bestIs'] })[];
  /** What counts as good in the paired comparisons; null before the search is done. */
  readonly good: Good | null;
  readonly fresh: Fresh | null;
  readonly map: TuningMap | null;
  /** m: mean believed height at which the best lights over the drops. */
  readonly lightingHeight: number;
  /** Constants of the best that lie on a bound, or as near as makes no difference. */
  readonly onBounds: readonly { readonly key: string; readonly at: number; readonly side: 'low' | 'high'; readonly own: boolean }[];
  /** The last round still found its best on the edge of its region: the search had not settled. */
  readonly unsettled: boolean;
  readonly lost: readonly LostFlight[];
}

export interface Tuned {
  readonly tuning: Tuning;
  readonly run: RunFacts;
}

export const DEFAULT_BUDGET = 60_000;
/** Drops that give the coordinates and the start. */
const DROPS = { steps: 11, spread: 0.15 } as const;
/** m: half of the first region: mean lighting height, its slope over the drops, its curvature. */
const WIDTHS = [2, 1, 0.1];
/** Reach of the map, of those. */
const MAP_REACH = 1;
/** Shares of the budget. The map gets the rest. */
const SHARES = { search: 0.45, finalists: 0.05, fresh: 0.2 } as const;
/** m: constants are rounded within this of lighting height. */
const ROUNDING = 0.002;
/** m of lighting height: nearer to a bound is on it. */
const ON_BOUND = 0.02;

/** @throws UserError when rule, bounds or budget do not fit, the nominal flight cannot be dropped, or the folder cannot take results */
export async function tuneRule(opened: OpenedStudy, options: TuneOptions = {}): Promise<Tuned> {
  const { study } = opened;
  const aim = options.aim ?? { kind: 'landed' };
  const name = ruleName(study, options.rule);
  const present = study.rules.find((rule) => rule.name === name);
  if (present === undefined) throw new Error(`no rule ${name}`);
  const budget = options.budget ?? DEFAULT_BUDGET;
  const free = checked(present, options.bounds ?? {}, budget);
  const folder = options.out === undefined ? null : ResultsFolder.prepare(options.out, options.force ?? false);
  const begun = performance.now();

  const points = burnPoints(flyDrops(study, { ...DROPS, lead: present.lead, tiltGuard: present.tiltGuard }));
  const onboard = onboardModel(study);
  const held = Object.fromEntries(Object.entries(options.bounds ?? {}).map(([key, { low }]): [string, number] => [key, low]));
  const start = nearestTo(points, withConstants(present, onlyHeld(held, free)), free, onboard);
  const widths = free.map((_, k) => WIDTHS[k]);
  const stage: Stage = {
    study,
    options,
    aim,
    budget,
    present,
    free,
    start,
    points,
    onboard,
    coordinates: new RuleCoordinates(start, free, onboard, points, widths),
    widths,
  };
  const { answers, threads } = await fly(stage);
  const tuning: Tuning = { ...studyFacts(opened, options.overrides ?? []), rule: name, kind: present.kind, aim, budget, free, ...answers };
  const seconds = (performance.now() - begun) / 1000;
  const run: RunFacts = { seconds, threads, flightsPerSecond: tuning.flown / seconds, node: process.version };
  if (folder !== null) {
    folder.write('study.yaml', opened.text);
    folder.writeJson('tuning.json', tuning);
    if (tuning.map !== null) {
      const { title, studyHash, seed } = tuning;
      folder.write('tuning.arrow', await answerTable('tuning', mapTable(tuning.map, free), { title, studyHash, seed, rule: name }));
    }
    folder.writeJson('run.json', run);
    folder.removeStale();
  }
  return { tuning, run };
}

interface Stage {
  readonly study: Study;
  readonly options: TuneOptions;
  readonly aim: Aim;
  readonly budget: number;
  readonly present: RuleChoice;
  readonly free: readonly FreeConstant[];
  readonly start: RuleChoice;
  readonly points: readonly BurnPoint[];
  readonly onboard: OnboardModel;
  readonly coordinates: RuleCoordinates;
  readonly widths: readonly number[];
}

type Answers = Omit<Tuning, keyof StudyFacts | 'rule' | 'kind' | 'aim' | 'budget' | 'free'>;

/** Constants whose bounds are equal, at their value. */
function onlyHeld(values: Constants, free: readonly FreeConstant[]): Constants {
  return Object.fromEntries(Object.entries(values).filter(([key]) => !free.some((constant) => constant.key === key)));
}

function checked(rule: RuleChoice, bounds: Readonly<Record<string, Bounds>>, budget: number): FreeConstant[] {
  const { constants } = ruleKind(rule.kind);
  const keys = constants.map(({ key }) => key);
  const problems = Object.entries(bounds).flatMap(([key, { low, high }]): string[] => {
    const own = constants.find((constant) => constant.key === key);
    if (own === undefined) {
      return [`--bounds: read "${key}"; expected a constant of rule ${rule.name}: ${keys.join(', ')}.${suggestion(key, keys)}`];
    }
    if (low <= high && low >= own.low && high <= own.high) return [];
    return [`--bounds ${key}: read ${low}..${high}; expected low..high within ${own.low} to ${own.high} ${own.unit}`.trimEnd()];
  });
  if (problems.length > 0) throw new UserError(problems);
  const free = freeConstants(rule.kind, bounds);
  if (free.length === 0) throw new UserError('--bounds: every constant is held; leave at least one free');
  if (free.length > MOST_DIMENSIONS) {
    throw new UserError(
      `rule ${rule.name} has ${free.length} constants; hold all but ${MOST_DIMENSIONS}, e.g. --bounds ${free[0].key}=1..1`,
    );
  }
  const map = mapOffsets(free.map(() => 1)).offsets.length;
  const least =
    1000 * Math.ceil(Math.max(leastSearchBudget(free.length) / SHARES.search, (20 * map) / (1 - sum(Object.values(SHARES)))) / 1000);
  if (budget < least)
    throw new UserError(`--flights: read ${budget}; tuning ${free.length} constant${free.length === 1 ? '' : 's'} takes at least ${least}`);
  return free;
}

const mean = (values: readonly number[]): number => sum(values) / values.length;
const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);

/** All that is flown: search and finalists on one stream, the answers on another. */
async function fly(stage: Stage): Promise<{ answers: Answers; threads: number }> {
  const { study, options, present, start, points, onboard } = stage;
  const seeds = { search: `${study.seed}/tuning/search`, fresh: `${study.seed}/tuning/fresh` };
  const counter = new FlightCounter(stage.budget, options.onProgress);
  const opened = (seed: string): TuningFlights =>
    new TuningFlights(study, {
      rule: present.name,
      seed,
      ...(options.threads === undefined ? {} : { threads: options.threads }),
      ...(options.chunk === undefined ? {} : { chunk: options.chunk }),
      stopSignal: options.stopSignal ?? new AbortController().signal,
      onProgress: (progress) => counter.within(progress),
    });
  const searching = opened(seeds.search);
  let found: Found;
  try {
    found = await search(stage, seeds.search, counter.counting(searching));
  } finally {
    await searching.close();
  }
  let answered: Answered = { fresh: null, map: null };
  if (found.good !== null) {
    const asking = opened(seeds.fresh);
    try {
      answered = await ask(stage, found.best, found.good, seeds.fresh, counter.counting(asking));
    } finally {
      await asking.close();
    }
  }
  const { best, ...rest } = found;
  return {
    threads: searching.threads,
    answers: {
      flown: counter.flown,
      finished: answered.fresh !== null && answered.map !== null,
      present: present.constants,
      start: start.constants,
      best,
      ...rest,
      searchSeed: seeds.search,
      ...answered,
      lightingHeight: mean(lightingHeights(best, onboard, points)),
      onBounds: onBounds(stage, best),
      unsettled: found.rounds.at(-1)?.onEdge ?? false,
      lost: counter.lost,
    },
  };
}

type Found = Pick<Tuning, 'bestIs' | 'best' | 'rounds' | 'finalists' | 'good'>;
type Answered = Pick<Tuning, 'fresh' | 'map'>;

/** Searches, then lets the last candidates fly against each other on flights the rounds had not used. */
async function search(stage: Stage, seed: string, fly: FlyCandidate): Promise<Found> {
  const { aim, budget, present, start, points, onboard, coordinates, widths } = stage;
  const neat = (constants: Constants): RuleChoice => roundedConstants(withConstants(present, constants), onboard, points, ROUNDING);
  const { rounds, used, finished } = await searchConstants(
    { coordinates, aim, widths, budget: Math.floor(SHARES.search * budget), seed },
    fly,
  );
  const last = rounds.at(-1);
  const unfinished: Found = {
    bestIs: last === undefined ? 'start' : 'surface',
    best: neat(last?.best ?? start.constants),
    rounds,
    finalists: [],
    good: null,
  };
  if (!finished || last === undefined) return unfinished;
  // The surface comes first: it stands on all flights of a round, its rivals on a single candidate's.
  const rivals: (readonly [Tuning['bestIs'], RuleChoice])[] = [
    ['surface', neat(last.best)],
    ['candidate', neat(bestOf(last.candidates).constants)],
    ['start', neat(start.constants)],
    ['present', present],
  ];
  const entered = rivals.filter(
    ([, rule], i) => coordinates.within(rule.constants) && rivals.findIndex(([, other]) => same(other, rule)) === i,
  );
  const each = Math.floor((SHARES.finalists * budget) / entered.length);
  const trials: Trial[] = [];
  for (const [, rule] of entered) {
    const trial = await fly(rule.constants, used + 1, each);
    if (trial === null) return unfinished;
    trials.push(trial);
  }
  const finalists = trials.map((trial, i) => ({ is: entered[i][0], ...candidate(trial, aim) }));
  const good = goodFor(aim, trials[0]);
  // A rival takes its place only when it is better beyond luck, all rivals together.
  const better = trials.slice(1).map((trial) => pairTrials(trial, trials[0], good));
  const won = better.map(({ p, counts }) => p * better.length <= 1 - LEVEL && counts.firstOnly > counts.secondOnly);
  const place =
    better.reduce((at, { difference }, i) => (won[i] && (at < 0 || (difference ?? 0) > (better[at].difference ?? 0)) ? i : at), -1) + 1;
  return { bestIs: entered[place][0], best: entered[place][1], rounds, finalists, good: goodFor(aim, trials[place]) };
}

function bestOf(candidates: readonly Candidate[]): Candidate {
  const score = ({ sink, landed, flights }: Candidate): number => (sink === null ? landed / flights : -sink);
  return candidates.reduce((best, other) => (score(other) > score(best) ? other : best));
}

const same = (a: RuleChoice, b: RuleChoice): boolean => Object.entries(a.constants).every(([key, value]) => b.constants[key] === value);

/** The answers, from luck that no constants were chosen on. */
async function ask(stage: Stage, best: RuleChoice, good: Good, seed: string, fly: FlyCandidate): Promise<Answered> {
  const { aim, budget, present, free, coordinates, widths } = stage;
  const flights = Math.floor((SHARES.fresh * budget) / 2);
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
  const points = mapOffsets(free.map(() => 1)).offsets.length;
  const each = Math.min(flights, Math.floor(((1 - sum(Object.values(SHARES))) * budget) / points));
  const map = await mapOptimum(
    coordinates,
    widths.map((width) => MAP_REACH * width),
    bestTrial,
    each,
    aim,
    good,
    fly,
  );
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

function onBounds({ coordinates, free, present }: Stage, best: RuleChoice): Tuning['onBounds'] {
  const kind = ruleKind(present.kind);
  return free.flatMap(({ key, low, high }, k): Tuning['onBounds'][number][] => {
    const room = coordinates.room(best.constants, k);
    const own = kind.constants.find((constant) => constant.key === key);
    if (room.low < ON_BOUND) return [{ key, at: low, side: 'low', own: own?.low === low }];
    if (room.high < ON_BOUND) return [{ key, at: high, side: 'high', own: own?.high === high }];
    return [];
  });
}

/** Counts all flights of all stages, for the progress and the report. */
class FlightCounter {
  flown = 0;
  readonly lost: LostFlight[] = [];
  readonly #begun = performance.now();
  readonly #limit: number;
  readonly #told: ((progress: Progress) => void) | undefined;

  constructor(limit: number, told: ((progress: Progress) => void) | undefined) {
    this.#limit = limit;
    this.#told = told;
  }

  within({ done }: Progress): void {
    const all = this.flown + done;
    // Over all calls: each of them is too short for a pace of its own.
    const rate = all / ((performance.now() - this.#begun) / 1000);
    this.#told?.({ done: all, limit: this.#limit, rate, secondsLeft: (this.#limit - all) / rate });
  }

  counting(flights: TuningFlights): FlyCandidate {
    return async (constants, first, count) => {
      const trial = await flights.fly(constants, first, count);
      if (trial === null) return null;
      this.flown += count;
      this.lost.push(...trial.lost);
      return trial;
    };
  }
}
