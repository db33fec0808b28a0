/**
 * The best constants of an ignition rule under everything that varies, and how flat the optimum is. Starts from the drops, searches on one
 * stream of luck (searchConstants.ts), and answers from another that no constants were chosen on: the success probability, the comparison
 * with the study's present constants, and the map about the optimum. Neither stream is the study's own, so flying the study afterwards is
 * one more fair trial. Prints nothing.
 */
import { ruleKind } from '../../avionics/rules/kinds.ts';
import { UserError } from '../../errors.ts';
import type { Progress } from '../../fleet/fleet.ts';
import { onboardModel } from '../../flight/setup.ts';
import { suggestion } from '../../maths/nearest.ts';
import { answerTable } from '../../results/answerTable.ts';
import { ResultsFolder } from '../../results/folder.ts';
import { MOST_DIMENSIONS } from '../../statistics/sensitivity/quadraticSurface.ts';
import type { OpenedStudy } from '../../study/load.ts';
import type { RuleChoice, Study } from '../../study/study.ts';
import { lightingHeights, withConstants } from '../drops/burnHeights.ts';
import { burnPoints, flyDrops } from '../drops/drops.ts';
import type { Finished, RunFacts, RunOptions, StudyFacts } from '../flights/flightRun.ts';
import { studyFacts } from '../flights/studyFacts.ts';
import { ruleName } from '../fly/flyStudy.ts';
import { FlightCounter } from './flightCounter.ts';
import { type Bounds, type FreeConstant, freeConstants, nearestTo, RuleCoordinates } from './heightCoordinates.ts';
import { unsettled } from './searchConstants.ts';
import type { Constants, Tuning } from './tuning.ts';
import { DEFAULT_BUDGET, leastBudget, shareOut } from './tuningBudget.ts';
import { type Aim, TuningFlights } from './tuningFlights.ts';
import { type Answered, ask, type Found, onBounds, type Stage, search } from './tuningStages.ts';
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

export interface Tuned extends Finished {
  readonly tuning: Tuning;
}

/** Drops that give the coordinates and the start. */
const DROPS = { steps: 11, spread: 0.15 } as const;
/** m: half of the first region: mean lighting height, its slope over the drops, its curvature. */
const WIDTHS = [2, 1, 0.1];

/** @throws UserError when rule, bounds or budget do not fit, the nominal flight cannot be dropped, or the folder cannot take results */
export async function tuneRule(opened: OpenedStudy, options: TuneOptions = {}): Promise<Tuned> {
  const { study } = opened;
  const aim = options.aim ?? { kind: 'landed' };
  const name = ruleName(study, options.rule);
  const present = study.rules.find((rule) => rule.name === name);
  if (present === undefined) throw new Error(`no rule ${name}`);
  const budget = options.budget ?? DEFAULT_BUDGET;
  const free = checked(present, options.bounds ?? {}, budget);
  const folder = options.out === undefined ? null : ResultsFolder.prepare(options.out, options.force ? 'older' : 'none');
  try {
    const begun = performance.now();

    const points = burnPoints(flyDrops(study, { ...DROPS, lead: present.lead, tiltGuard: present.tiltGuard }));
    const onboard = onboardModel(study);
    const held = Object.fromEntries(Object.entries(options.bounds ?? {}).map(([key, { low }]): [string, number] => [key, low]));
    const start = nearestTo(points, withConstants(present, onlyHeld(held, free)), free, onboard);
    const widths = free.map((_, k) => WIDTHS[k]);
    const stage: Stage = {
      aim,
      budget: shareOut(budget, free.length),
      present,
      free,
      start,
      points,
      onboard,
      coordinates: new RuleCoordinates(start, free, onboard, points, widths),
      widths,
    };
    const { answers, threads } = await fly(study, options, stage, budget);
    const tuning: Tuning = {
      ...studyFacts(opened, options.overrides ?? []),
      rule: name,
      kind: present.kind,
      aim,
      budget,
      free,
      ...answers,
    };
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
    }
    return { tuning, run, folder: folder?.finish(tuning.finished) ?? null };
  } finally {
    folder?.close();
  }
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
  const least = leastBudget(free.length);
  if (budget < least)
    throw new UserError(`--flights: read ${budget}; tuning ${free.length} constant${free.length === 1 ? '' : 's'} takes at least ${least}`);
  return free;
}

const mean = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0) / values.length;

/** All that is flown: search and finalists on one stream, the answers on another. */
async function fly(study: Study, options: TuneOptions, stage: Stage, budget: number): Promise<{ answers: Answers; threads: number }> {
  const { present, start, points, onboard } = stage;
  const seeds = { search: `${study.seed}/tuning/search`, fresh: `${study.seed}/tuning/fresh` };
  const counter = new FlightCounter(budget, options.onProgress);
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
  // About the best the constants are taken for what they do there, which is not what they did at the start where a rule is no straight line.
  const local = new RuleCoordinates(found.best, stage.free, onboard, points, stage.widths);
  const there: Stage = { ...stage, coordinates: local };
  let answered: Answered = { fresh: null, map: null };
  if (found.good !== null) {
    const asking = opened(seeds.fresh);
    try {
      answered = await ask(there, found.best, found.good, seeds.fresh, counter.counting(asking));
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
      onBounds: onBounds(there, best),
      unsettled: unsettled(found.rounds),
      lost: counter.lost,
    },
  };
}
