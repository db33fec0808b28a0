/**
 * The best constants of an ignition rule under everything that varies, and how flat the optimum is. Starts from the
 * drops, searches on one stream of luck (searchConstants.ts), and answers from another that no constants were chosen
 * on: the success probability, the comparison with the study's present constants, and the map about the optimum.
 * Neither stream is the study's own, so flying the study afterwards is one more fair trial. Prints nothing.
 */
import { ruleKind } from '../../avionics/rules/kinds.ts';
import { UserError } from '../../errors.ts';
import { flying, type Session } from '../../fleet/session.ts';
import { onboardModel } from '../../flight/setup.ts';
import { suggestion } from '../../maths/nearest.ts';
import { answerTable } from '../../results/answerTable.ts';
import { MOST_DIMENSIONS } from '../../statistics/sensitivity/quadraticSurface.ts';
import type { OpenedStudy } from '../../study/load.ts';
import { ruleByName } from '../../study/ruleByName.ts';
import type { RuleChoice, Study } from '../../study/study.ts';
import { lightingHeights, withConstants } from '../drops/burnHeights.ts';
import { burnPoints, flyDrops } from '../drops/drops.ts';
import { type Bounds, type FreeConstant, freeConstants, HeightCoordinates, nearestTo } from '../drops/heightCoordinates.ts';
import { type AnswerFiles, type Finished, type FlyingOptions, keeping } from '../flights/keptResults.ts';
import { type StudyFacts, studyFacts } from '../flights/studyFacts.ts';
import { unsettled } from './searchConstants.ts';
import type { Constants, Tuning } from './tuning.ts';
import { DEFAULT_BUDGET, leastBudget, shareOut } from './tuningBudget.ts';
import { type Aim, candidatesOf } from './tuningFlights.ts';
import { type Answered, ask, onBounds, type Stage, search } from './tuningStages.ts';
import { tuningTable } from './tuningTable.ts';

export interface TuneOptions extends FlyingOptions {
  /** Name of one of the study's rules; its first when left out. */
  readonly rule?: string;
  /** Flights at most, of all stages together; 60,000 when left out. */
  readonly budget?: number;
  /** Landings when left out. */
  readonly aim?: Aim;
  /** Narrower bounds of constants, by key; equal ones hold the constant there. */
  readonly bounds?: Readonly<Record<string, Bounds>>;
}

export interface Tuned extends Finished {
  readonly tuning: Tuning;
}

/** Drops that give the coordinates and the start. */
const DROPS = { steps: 11, spread: 0.15 } as const;
/** m: half of the first region: mean lighting height, its slope over the drops, its curvature. */
const WIDTHS = [2, 1, 0.1];

/**
 * @throws UserError when rule, bounds or budget do not fit, the nominal flight cannot be dropped, or the folder cannot
 * take results
 */
export async function tuneRule(opened: OpenedStudy, options: TuneOptions = {}): Promise<Tuned> {
  const { study } = opened;
  const aim = options.aim ?? { kind: 'landed' };
  const present = ruleByName(study, options.rule);
  const budget = options.budget ?? DEFAULT_BUDGET;
  const free = checked(present, options.bounds ?? {}, budget);
  return keeping(options, { command: 'tune', studies: [opened] }, (keeper) =>
    flying({ ...options, ...keeper.journaled }, async (session) => {
      const stage = firstStage(study, present, free, aim, budget, options.bounds ?? {});
      session.announce(budget);
      const answers = await fly(study, session, stage);
      const facts = studyFacts(opened, options.overrides ?? []);
      const tuning: Tuning = { ...facts, rule: present.name, kind: present.kind, aim, budget, free, ...answers };
      const run = session.facts();
      return { tuning, run, folder: keeper.finish(await tuningFiles(tuning), opened.text, run, tuning.finished) };
    }),
  );
}

async function tuningFiles(tuning: Tuning): Promise<AnswerFiles> {
  const { title, studyHash, seed, rule, map, free } = tuning;
  if (map === null) return { 'tuning.json': tuning };
  return { 'tuning.json': tuning, 'tuning.arrow': await answerTable('tuning', tuningTable(map, free), { title, studyHash, seed, rule }) };
}

/**
 * Where the search begins: at the constants that the drops of the nominal vehicle give, in coordinates of lighting
 * height.
 */
function firstStage(
  study: Study,
  present: RuleChoice,
  free: readonly FreeConstant[],
  aim: Aim,
  budget: number,
  bounds: Readonly<Record<string, Bounds>>,
): Stage {
  const points = burnPoints(flyDrops(study, { ...DROPS, lead: present.lead, tiltGuard: present.tiltGuard }));
  const onboard = onboardModel(study);
  const held = Object.fromEntries(Object.entries(bounds).map(([key, { low }]): [string, number] => [key, low]));
  const start = nearestTo(points, withConstants(present, onlyHeld(held, free)), free, onboard);
  const widths = free.map((_, k) => WIDTHS[k]);
  const coordinates = new HeightCoordinates(start, free, onboard, points, widths);
  return { aim, budget: shareOut(budget, free.length), present, free, start, points, onboard, coordinates, widths };
}

type TuningAnswers = Omit<Tuning, keyof StudyFacts | 'rule' | 'kind' | 'aim' | 'budget' | 'free'>;

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
async function fly(study: Study, session: Session, stage: Stage): Promise<TuningAnswers> {
  const { present, start, points, onboard } = stage;
  const seeds = { search: `${study.seed}/tuning/search`, fresh: `${study.seed}/tuning/fresh` };
  const found = await search(stage, seeds.search, candidatesOf(session, study, present.name, seeds.search, true));
  // About the best the constants are taken for what they do there, which is not what they did at the start where a rule
  // is no straight line.
  const local = new HeightCoordinates(found.best, stage.free, onboard, points, stage.widths);
  const there: Stage = { ...stage, coordinates: local };
  let answered: Answered = { fresh: null, map: null };
  if (found.good !== null) {
    answered = await ask(there, found.best, found.good, seeds.fresh, candidatesOf(session, study, present.name, seeds.fresh, false));
  }
  const { best, ...rest } = found;
  return {
    flown: session.flown,
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
    lost: session.lost,
  };
}
