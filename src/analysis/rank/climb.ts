/**
 * Which fixes, in which order, bring success to where it is wished? Step by step the best fix beside those taken, until
 * the wish is met or nothing is shown to help. Constants follow: a candidate whose constants look stale is retuned by a
 * height shift of its own (shift/retune.ts), and so is each that is taken, wherever that lands more; a search's luck
 * would otherwise be mistaken for what a fix does.
 * One luck chooses the steps and ends the climb, the study's own reports what each bought, so that what is reported is
 * not what was picked for looking well. A forward selection is not the best set of fixes: two that help only together
 * are not found. Prints nothing.
 */
import { flying, type Session } from '../../fleet/session.ts';
import { flightsOf } from '../../fleet/work.ts';
import { OUTCOMES } from '../../flight/outputs.ts';
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import { type PairCounts, pairedDifference } from '../../statistics/proportions/paired.ts';
import type { OpenedStudy } from '../../study/load.ts';
import { ruleByName } from '../../study/ruleByName.ts';
import type { Study } from '../../study/study.ts';
import { pairOff, pairsIn } from '../compare/rulePair.ts';
import { collectFlights } from '../flights/collectFlights.ts';
import { countOutcomes, type FlightColumns, outcomeIndex } from '../flights/flightColumns.ts';
import { type Finished, type FlyingOptions, IN_PLACE_OF_PARTS, keeping, refuseInParts } from '../flights/keptResults.ts';
import { studyFacts } from '../flights/studyFacts.ts';
import { odds } from '../fly/odds.ts';
import { LEVEL } from '../fly/summary.ts';
import { heightMissOf, MISS_KEYS } from '../shift/heightMiss.ts';
import { type HeightShift, retuneBudget, shiftFor } from '../shift/retune.ts';
import { type Candidate, candidatesOf, everythingGone } from './candidates.ts';
import { type FixedStudies, fixedStudies, type Reopen } from './fixedStudies.ts';
import { type AskedFix, type Fix, fixedPlan, readFix, together } from './fixes.ts';
import { gainEstimate } from './fixGain.ts';
import { placesOf } from './rankFixes.ts';
import { groupSubjects, inputSubjects, noiseSubjects, type Subject } from './rankSubjects.ts';
import type { ChoosingGain, Remaining, Stage, Staircase, Step } from './staircase.ts';
import { staircaseFiles } from './staircaseTable.ts';

export interface ClimbOptions extends FlyingOptions {
  /** Share of flights landed, in (0, 1). */
  readonly wish: number;
  readonly strength?: Staircase['strength'];
  readonly rule?: string;
  /** Of each vehicle: half of them on the luck that chooses, half on the one that reports; 3,000 when left out. */
  readonly flights?: number;
  readonly by?: 'group' | 'input';
  /** The user's own groups (rankSubjects.ts). */
  readonly groups?: readonly string[];
  /** Fixes that may be taken too (fixes.ts), each as a whole. */
  readonly fixes?: readonly string[];
  /** For fixes of settings. */
  readonly reopen?: Reopen;
}

export interface Climbed extends Finished {
  readonly staircase: Staircase;
}

const FLIGHTS = 3000;

/** @throws UserError when rule, groups or fixes do not fit the study, for too few flights, or an unfit folder */
export async function climb(opened: OpenedStudy, options: ClimbOptions): Promise<Climbed> {
  const { study } = opened;
  const { wish, strength = 'half', by = 'group' } = options;
  refuseInParts(options, '--toward', true, IN_PLACE_OF_PARTS.oneMachine);
  const rule = ruleByName(study, options.rule).name;
  const asked = options.flights ?? FLIGHTS;
  retuneBudget(asked);
  const groups = [...groupSubjects(study, options.groups ?? []), ...noiseSubjects(study)];
  const subjects = by === 'group' ? groups : [...inputSubjects(study), ...noiseSubjects(study)];
  const fixes = (options.fixes ?? []).map((text) => readFix(study, text, groups));
  const studies = fixedStudies(opened, options.reopen, rule);
  await studies.open(fixes.map(({ whole }) => whole));
  return keeping(options, { command: 'rank --toward', studies: [opened] }, (keeper) =>
    flying({ ...options, ...keeper.journaled }, async (session) => {
      const flights = Math.floor(asked / 2);
      const found = await climbAll({ study, studies, rule, session, asked, flights, subjects, fixes, wish, strength });
      const facts = studyFacts({ ...opened, warnings: [...opened.warnings, ...studies.warnings] }, options.overrides ?? []);
      const staircase: Staircase = { ...facts, rule, wish, strength, flights, level: LEVEL, ...found, lost: session.lost };
      const run = session.facts();
      const folder = keeper.finish(await staircaseFiles(staircase), opened.text, run, staircase.stoppedBy !== 'interrupted');
      return { staircase, run, folder };
    }),
  );
}

interface Plan {
  readonly study: Study;
  readonly studies: FixedStudies;
  readonly rule: string;
  readonly session: Session;
  /** Flights of a vehicle, and on each luck. */
  readonly asked: number;
  readonly flights: number;
  readonly subjects: readonly Subject[];
  readonly fixes: readonly AskedFix[];
  readonly wish: number;
  readonly strength: Staircase['strength'];
}

/** A vehicle flown on the luck that chooses, with the shift of its rule; null as programmed. */
interface Tried {
  readonly fix: Fix | null;
  readonly shift: HeightShift | null;
  readonly flights: FlightColumns;
}

/** A vehicle on the luck that reports. */
interface Reported {
  readonly shift: HeightShift | null;
  readonly outcome: Uint8Array;
}

/** One look at all candidates: the one taken, if any, and what is said of it and of the others. */
interface Look {
  readonly taken: null | { readonly candidate: Candidate; readonly tried: Tried };
  readonly said: Pick<Step, 'chosen' | 'alike'>;
  readonly refused: Staircase['refused'];
}

type Taken = Pick<Step, 'name' | 'kind' | 'strength' | 'keys' | 'chosen' | 'alike'> & { readonly reported: Reported };
type Answers = Pick<Staircase, 'programmed' | 'steps' | 'everything' | 'end' | 'stoppedBy' | 'refused' | 'remaining'>;

async function climbAll(plan: Plan): Promise<Answers> {
  const { study, studies, subjects, fixes, wish, strength } = plan;
  const programmed = await report(plan, null, null);
  const asItIs = programmed === null ? null : await fly(plan, null, null);
  const start = asItIs === null ? null : await retuned(plan, asItIs);
  const reported = start === null ? null : start.shift === null ? programmed : await report(plan, null, start.shift);
  if (start === null || reported === null) return answersOf(programmed, [], null, wish, 'interrupted', []);
  const taken: Candidate[] = [];
  const said = { name: '', kind: 'retuning', strength: null, keys: [], chosen: null, alike: [] } as const;
  const steps: Taken[] = start.shift === null ? [] : [{ ...said, reported }];
  let now = start;
  let refused: Staircase['refused'] = [];
  let stoppedBy: Staircase['stoppedBy'] | null = null;
  while (stoppedBy === null) {
    const candidates = candidatesOf(study, subjects, fixes, strength, taken);
    if (reaches(now.flights.outcome, wish)) stoppedBy = 'wish';
    else if (candidates.length === 0) stoppedBy = 'nothing left';
    else {
      const look = await lookAt(plan, now, taken, candidates);
      if (look === null) return answersOf(programmed, steps, null, wish, 'interrupted', refused);
      refused = look.refused;
      if (look.taken === null) stoppedBy = 'nothing helps';
      else {
        const { candidate } = look.taken;
        const tried = await retuned(plan, look.taken.tried);
        const reported = tried === null ? null : await report(plan, tried.fix, tried.shift);
        if (tried === null || reported === null) return answersOf(programmed, steps, null, wish, 'interrupted', refused);
        taken.push(candidate);
        now = tried;
        const { name, kind, strength: own, keys } = candidate;
        steps.push({ name, kind, strength: own, keys, ...look.said, reported });
      }
    }
  }
  const gone = everythingGone(study, subjects, taken);
  await studies.open([gone]);
  const flown = await fly(plan, gone, now.shift);
  const best = flown === null ? null : await retuned(plan, flown);
  const everything = best === null ? null : await report(plan, gone, best.shift);
  return answersOf(programmed, steps, everything, wish, stoppedBy, refused);
}

/** Each candidate beside what is taken, against what stands now. null when interrupted */
async function lookAt(plan: Plan, now: Tried, taken: readonly Candidate[], candidates: readonly Candidate[]): Promise<Look | null> {
  const beside = candidates.map((candidate) => together([...taken, candidate].map(({ fix }) => fix)));
  await plan.studies.open(beside);
  plan.session.announce(plan.flights * candidates.length);
  const tried: Tried[] = [];
  for (const fix of beside) {
    const found = await fly(plan, fix, now.shift);
    const stale = found !== null && heightMissOf(plan.studies.studyOf(fix), LEVEL)(found.flights)?.stale === true;
    const best = found !== null && stale ? await retuned(plan, found) : found;
    if (best === null) return null;
    tried.push(best);
  }
  const gains = tried.map(({ flights }) => gainOver(flights.outcome, now.flights.outcome, levelOfEach(candidates.length)));
  const shown = gains.flatMap(({ gain, interval }, i) => (gain !== null && interval !== null && interval[0] > 0 ? [{ i, gain }] : []));
  const best = shown.length === 0 ? null : shown.reduce((a, b) => (b.gain > a.gain ? b : a)).i;
  const places = placesOf(tried.map(({ flights }) => gainEstimate(now.flights.outcome, flights.outcome)));
  const candidacy = (i: number) => ({ name: candidates[i].name, strength: candidates[i].strength });
  const others = candidates.map((_, i) => i).filter((i) => i !== best);
  return {
    taken: best === null ? null : { candidate: candidates[best], tried: tried[best] },
    said: {
      chosen: best === null ? null : { gain: gains[best].gain, interval: gains[best].interval, candidates: candidates.length },
      alike: best === null ? [] : others.filter((i) => places[i].best === 1).map(candidacy),
    },
    refused: others
      .map((i) => ({ ...candidacy(i), gain: gains[i].gain, interval: gains[i].interval }))
      .sort((a, b) => (b.gain ?? -1) - (a.gain ?? -1)),
  };
}

/** Level of each of so many intervals that hold together at LEVEL (Bonferroni). */
function levelOfEach(intervals: number): number {
  return 1 - (1 - LEVEL) / Math.max(1, intervals);
}

/** On the luck that chooses: neither the study's nor the retuning's. null when interrupted */
async function fly(plan: Plan, fix: Fix | null, shift: HeightShift | null): Promise<Tried | null> {
  const study = plan.studies.studyOf(fix);
  const choosing: Study = { ...study, seed: `${study.seed}/choosing`, design: 'independent' };
  const flights = await flightsWith(plan, choosing, fix, shift);
  return flights === null ? null : { fix, shift, flights };
}

/** With a shift of its own where that lands more, by the luck that chooses; else as it was. null when interrupted */
async function retuned(plan: Plan, tried: Tried): Promise<Tried | null> {
  const { session, studies, rule, asked } = plan;
  const { fix } = tried;
  const held = fix === null ? {} : { pins: fix.pins, spread: fix.spread };
  const shift = await shiftFor(session, studies.studyOf(fix), rule, asked, LEVEL, held);
  const again = shift === null ? null : await fly(plan, fix, shift);
  if (again === null) return null;
  return landings(again) > landings(tried) ? again : tried;
}

function landings({ flights }: Tried): number {
  return countOutcomes(flights.outcome)[outcomeIndex('landed')];
}

async function report(plan: Plan, fix: Fix | null, shift: HeightShift | null): Promise<Reported | null> {
  const flown = await flightsWith(plan, plan.studies.studyOf(fix), fix, shift);
  return flown === null ? null : { shift, outcome: flown.outcome };
}

async function flightsWith(
  { session, rule, flights }: Plan,
  study: Study,
  fix: Fix | null,
  shift: HeightShift | null,
): Promise<FlightColumns | null> {
  const { constants } = ruleByName(study, rule);
  const own = shift === null ? constants : { ...constants, [shift.constant]: shift.to };
  const plan = fixedPlan(fix, Math.max(study.flights, flights));
  const work = flightsOf(study, { rule, constants: own, plan }, fix?.name ?? 'the study as it is');
  return (await collectFlights(session, work, 1, flights, MISS_KEYS))?.flights ?? null;
}

/** Whether success is shown to be at the wish. */
function reaches(outcome: Uint8Array, wish: number): boolean {
  const { landed, counted } = odds(countOutcomes(outcome), LEVEL);
  return counted > 0 && clopperPearson(landed, counted, LEVEL)[0] >= wish;
}

function gainOver(outcome: Uint8Array, before: Uint8Array, level: number): ChoosingGain & { readonly counts: PairCounts } {
  const { counts } = pairOff(outcome, before, before.length);
  if (pairsIn(counts) === 0) return { gain: null, interval: null, counts };
  const { difference, interval } = pairedDifference(counts, level);
  return { gain: difference, interval, counts };
}

/** How many stages there are was settled by the other luck, so their intervals may be widened by that number. */
function answersOf(
  programmed: Reported | null,
  taken: readonly Taken[],
  everything: Reported | null,
  wish: number,
  stoppedBy: Staircase['stoppedBy'],
  refused: Staircase['refused'],
): Answers {
  const stages = 1 + taken.length + (everything === null ? 0 : 1);
  const stage = ({ outcome, shift }: Reported): Stage => {
    const found = odds(countOutcomes(outcome), LEVEL);
    return { odds: found, band: found.counted === 0 ? null : clopperPearson(found.landed, found.counted, levelOfEach(stages)), shift };
  };
  const steps = taken.map(({ reported, ...said }, i): Step => {
    const before = i === 0 ? programmed : taken[i - 1].reported;
    return { ...said, ...stage(reported), ...gainOver(reported.outcome, (before ?? reported).outcome, levelOfEach(taken.length)) };
  });
  const last = taken.at(-1)?.reported ?? programmed;
  const interval = last === null ? null : stage(last).odds.interval;
  return {
    programmed: programmed === null ? null : stage(programmed),
    steps,
    everything: everything === null ? null : stage(everything),
    end: interval === null ? null : interval[0] >= wish ? 'reached' : interval[1] < wish ? 'missed' : 'open',
    stoppedBy,
    refused,
    remaining: last === null ? [] : remainingOf(last.outcome),
  };
}

/** The most frequent first; of all flights, those without a result among them. */
function remainingOf(outcome: Uint8Array): Remaining[] {
  const counts = countOutcomes(outcome);
  const seen = OUTCOMES.map((name, o) => ({ outcome: name, flights: counts[o] })).filter(
    ({ outcome: name, flights }) => name !== 'landed' && flights > 0,
  );
  return seen
    .map(({ outcome: name, flights }): Remaining => {
      const interval = clopperPearson(flights, outcome.length, levelOfEach(seen.length));
      return { outcome: name, flights, share: flights / outcome.length, interval };
    })
    .sort((a, b) => b.flights - a.flights);
}
