/**
 * What would a fix buy? The study's flights flown again, same luck flight by flight, with one thing perfect or its
 * spread halved, group by group, then input by input where it matters most. The rule and its constants stay as they
 * are, but for fixes asked for by name, which can be judged retuned too. Prints nothing.
 */
import { flying, type Session } from '../../fleet/session.ts';
import { flightsOf, type Work } from '../../fleet/work.ts';
import { covarianceByInfluence, type Estimate } from '../../statistics/sensitivity/influence.ts';
import { type Place, sharedPlaces } from '../../statistics/sensitivity/sharedPlaces.ts';
import type { OpenedStudy } from '../../study/load.ts';
import { ruleByName } from '../../study/ruleByName.ts';
import type { Study } from '../../study/study.ts';
import { collectFlights } from '../flights/collectFlights.ts';
import { countOutcomes, type FlightColumns, outcomeIndex } from '../flights/flightColumns.ts';
import { type Finished, type FlyingOptions, keeping } from '../flights/keptResults.ts';
import { type StudyFacts, studyFacts } from '../flights/studyFacts.ts';
import { odds } from '../fly/odds.ts';
import { LEVEL } from '../fly/summary.ts';
import { heightMissOf, MISS_KEYS } from '../shift/heightMiss.ts';
import { retuneBudget } from '../shift/retune.ts';
import { type Advice, adviceOf } from './advice.ts';
import { besideSpread, directionsOf } from './besideSpread.ts';
import { flyCampaignGains } from './campaignGains.ts';
import type { Direction } from './direction.ts';
import { fixedStudies, type Reopen, type StudyOf } from './fixedStudies.ts';
import { type AskedFix, type Fix, fixedPlan, halved, perfect, readFix, withoutMiddle } from './fixes.ts';
import { gainEstimate, gainsOf } from './fixGain.ts';
import type { AskedRow, FixRanking, FixRow } from './ranking.ts';
import { rankingFiles } from './rankingFiles.ts';
import { groupSubjects, inputSubjects, noiseSubjects, type Subject } from './rankSubjects.ts';
import { type FlownRetuned, flyRetuned, retunedGains } from './retunedFixes.ts';

/**
 * Flights of each variation when nobody says: about a minute or two on two threads, and a standard error near one
 * point.
 */
const FLIGHTS = 1500;
/** Attempts that a campaign takes, near enough. */
const ATTEMPTS_EACH = 3;
/** Groups whose inputs are looked at when nobody asks for all. */
const LEADERS = 3;

export interface RankFixesOptions extends FlyingOptions {
  readonly rule?: string;
  /** Flights with and without each fix; fewer of 1,500 and the study's own when left out. */
  readonly flights?: number;
  /** `input`: every varying input, not only those of the leading groups. */
  readonly by?: 'group' | 'input';
  /** The user's own groups (rankSubjects.ts). */
  readonly groups?: readonly string[];
  /** Fixes to try (fixes.ts); nothing is ranked then but these. */
  readonly fixes?: readonly string[];
  /** Judge the fixes asked for a second time, with and without each retuned (shift/retune.ts). */
  readonly retune?: boolean;
  /** Also for a first landing by this attempt, of groups or of the fixes asked for. */
  readonly campaign?: number;
  /** For fixes of settings. */
  readonly reopen?: Reopen;
}

export interface RankedFixes extends Finished {
  readonly ranking: FixRanking;
}

/** Outcomes with a fix in place; the base flight of the same number beside it. */
interface Tried {
  readonly fix: Fix;
  readonly outcome: Uint8Array;
}

/** @throws UserError when rule, groups or fixes do not fit the study, or the folder cannot take results */
export async function rankFixes(opened: OpenedStudy, options: RankFixesOptions = {}): Promise<RankedFixes> {
  const { study } = opened;
  const rule = ruleByName(study, options.rule).name;
  const flights = options.flights ?? Math.min(FLIGHTS, study.flights);
  const groups = [...groupSubjects(study, options.groups ?? []), ...noiseSubjects(study)];
  const asked = (options.fixes ?? []).map((text) => readFix(study, text, groups));
  if (options.retune) retuneBudget(flights);
  const studies = fixedStudies(opened, options.reopen, rule);
  await studies.open(asked.flatMap(({ whole, parts }) => [whole, ...parts]));
  return keeping(options, { command: 'rank', studies: [opened, ...studies.flown] }, (keeper) =>
    flying({ ...options, ...keeper.journaled }, async (session) => {
      const found = await flyAll({
        study,
        studyOf: studies.studyOf,
        rule,
        session,
        flights,
        groups,
        asked,
        byInput: options.by === 'input',
        inParts: options.part !== undefined,
        retune: options.retune ?? false,
      });
      const fixes = asked.length > 0 ? asked.flatMap(({ whole, parts }) => [whole, ...parts]) : perfectOf(study, groups);
      const campaign =
        options.campaign === undefined || found.stoppedBy === 'interrupted'
          ? null
          : await flyCampaignGains({ session, studyOf: studies.studyOf, rule }, fixes, options.campaign, campaignsFor(flights));
      const facts = studyFacts({ ...opened, warnings: [...opened.warnings, ...studies.warnings] }, options.overrides ?? []);
      const ranking: FixRanking = { ...facts, kind: 'fixes', rule, flights, ...found, campaign, lost: session.lost };
      const run = session.facts();
      const folder = keeper.finish(await rankingFiles(ranking), opened.text, run, ranking.stoppedBy !== 'interrupted');
      return { ranking, run, folder };
    }),
  );
}

/** Campaigns beside so many flights: about as many flights again, at a few attempts each. */
function campaignsFor(flights: number): number {
  return Math.ceil(flights / ATTEMPTS_EACH);
}

function perfectOf(study: Study, groups: readonly Subject[]): Fix[] {
  return groups.flatMap((subject) => perfect(study, subject) ?? []);
}

interface Plan {
  readonly study: Study;
  readonly studyOf: StudyOf;
  readonly rule: string;
  readonly session: Session;
  readonly flights: number;
  readonly groups: readonly Subject[];
  readonly asked: readonly AskedFix[];
  readonly byInput: boolean;
  /** Which groups lead is seen only from all parts: each flies its share of the inputs of every group. */
  readonly inParts: boolean;
  readonly retune: boolean;
}

type FixAnswers = Omit<FixRanking, keyof StudyFacts | 'kind' | 'rule' | 'flights' | 'campaign' | 'lost'>;

async function flyAll({ study, studyOf, rule, session, flights, groups, asked, byInput, inParts, retune }: Plan): Promise<FixAnswers> {
  const workOf = (fix: Fix | null): Work =>
    flightsOf(studyOf(fix), { rule, plan: fixedPlan(fix, study.flights) }, fix === null ? 'the study as it is' : fix.name);
  const unfinished: string[] = [];
  const tried = new Map<Fix, Tried>();
  const fly = async (fix: Fix, strength: string): Promise<void> => {
    const flown = unfinished.length > 0 ? null : await collectFlights(session, workOf(fix), 1, flights, []);
    if (flown === null) unfinished.push(`${fix.name}${strength}`);
    else tried.set(fix, { fix, outcome: flown.flights.outcome });
  };
  const askedFixes = asked.flatMap(({ whole, parts }) => [whole, ...parts]);
  const single = inputSubjects(study);
  const first = asked.length > 0 ? [] : byInput ? [...groups, ...single] : groups;
  const variants = new Map(first.map((subject) => [subject, strengths(study, subject)]));
  const count = [...variants.values()].reduce((sum, { whole, half }) => sum + (whole === null ? 0 : 1) + (half === null ? 0 : 1), 0);
  session.announce(flights * ((1 + askedFixes.length) * (retune ? 2 : 1) + count));

  const keys = single.flatMap((subject) => subject.keys);
  const flown = await collectFlights(session, workOf(null), 1, flights, [...keys, ...MISS_KEYS]);
  if (flown === null) {
    const names = [...askedFixes, ...first].map(({ name }) => name);
    const advice = { groups: adviceOf([]), inputs: adviceOf([]) };
    const none = {
      odds: null,
      heightMiss: null,
      retuned: null,
      groups: [],
      inputs: [],
      leaders: [],
      advice,
      bySize: [],
      circles: [],
      asked: [],
      cautions: [],
    };
    return { ...none, stoppedBy: 'interrupted', unfinished: names };
  }
  const base = flown.flights;
  for (const fix of askedFixes) await fly(fix, '');
  const again = retune ? await flyRetuned({ studyOf, rule, session, flights }, [...tried.keys()], unfinished) : null;
  const flyBoth = async (subjects: readonly Subject[]): Promise<void> => {
    for (const subject of subjects) {
      const { whole, half } = variants.get(subject) ?? strengths(study, subject);
      if (whole !== null) await fly(whole, ' perfect');
      if (half !== null) await fly(half, ' halved');
    }
  };
  await flyBoth(first);
  const works = directionsOf(base, single);
  const rowsOf = (subjects: readonly Subject[]): FixRow[] => fixRows(study, subjects, variants, tried, base, works);
  const groupRows = asked.length > 0 ? [] : rowsOf(groups);
  const leaders = byInput || asked.length > 0 ? [] : inParts ? groupRows : leading(groupRows);
  const inner = single.filter(({ name }) => leaders.some((leader) => leader.keys.includes(name)));
  if (inner.length > 0) {
    for (const subject of inner) variants.set(subject, strengths(study, subject));
    session.announce(2 * flights * inner.length);
    await flyBoth(inner);
  }
  const inputRows = asked.length > 0 ? [] : rowsOf(byInput ? single : inner);
  return {
    stoppedBy: unfinished.length > 0 ? 'interrupted' : 'limit',
    odds: odds(countOutcomes(base.outcome), LEVEL),
    heightMiss: heightMissOf(study, LEVEL)(base),
    retuned: again?.base?.shift ?? null,
    groups: groupRows,
    inputs: inputRows,
    leaders: leaders.map(({ name }) => name),
    advice: { groups: fixAdvice(groupRows), inputs: fixAdvice(inputRows) },
    ...(asked.length > 0 ? { bySize: [], circles: [] } : besideSpread(study, base, works, [...inputRows, ...groupRows])),
    asked: askedRows(asked, tried, base, again),
    unfinished,
    cautions: cautionsOf(base),
  };
}

interface Strengths {
  readonly whole: Fix | null;
  readonly half: Fix | null;
}

function strengths(study: Study, subject: Subject): Strengths {
  return { whole: perfect(study, subject), half: halved(study, subject) };
}

function askedRows(
  asked: readonly AskedFix[],
  tried: ReadonlyMap<Fix, Tried>,
  base: FlightColumns,
  again: FlownRetuned | null,
): AskedRow[] {
  const flown = asked.flatMap(({ whole, parts }) =>
    [whole, ...parts].flatMap((fix) => {
      const found = tried.get(fix);
      return found === undefined ? [] : [{ fix, part: fix !== whole, outcome: found.outcome }];
    }),
  );
  const gains = gainsOf(
    base.outcome,
    flown.map(({ outcome }) => outcome),
  );
  const retuned = retunedGains(flown, base.outcome, again);
  return flown.map(({ fix, part }, i): AskedRow => ({ ...fix, part, gain: gains[i], retuned: retuned[i] }));
}

/** Rows in the order of their gains, with places. */
function fixRows(
  study: Study,
  subjects: readonly Subject[],
  variants: ReadonlyMap<Subject, Strengths>,
  tried: ReadonlyMap<Fix, Tried>,
  base: FlightColumns,
  works: ReadonlyMap<string, Direction>,
): FixRow[] {
  const outcomesOf = (fix: Fix | null | undefined): Uint8Array | null => (fix ? (tried.get(fix)?.outcome ?? null) : null);
  const flown = subjects.flatMap((subject) => {
    const whole = outcomesOf(variants.get(subject)?.whole);
    if (whole === null) return [];
    return [{ subject, estimate: gainEstimate(base.outcome, whole), whole, half: outcomesOf(variants.get(subject)?.half) }];
  });
  const places = placesOf(flown.map(({ estimate }) => estimate));
  const perfects = gainsOf(
    base.outcome,
    flown.map(({ whole }) => whole),
  );
  const halves = flown.flatMap(({ half }) => (half === null ? [] : [half]));
  const halfGains = gainsOf(base.outcome, halves);
  const rows = flown.map(({ subject, half }, i): FixRow => {
    const { name, kind, keys } = subject;
    return {
      name,
      kind,
      keys,
      place: places[i],
      perfect: perfects[i],
      half: half === null ? null : halfGains[halves.indexOf(half)],
      direction: kind === 'input' ? (works.get(name) ?? null) : null,
      leftFree: kind === 'noise' ? [] : withoutMiddle(study, keys),
    };
  });
  return rows.sort((a, b) => (b.perfect?.gain ?? 0) - (a.perfect?.gain ?? 0));
}

function fixAdvice(rows: readonly FixRow[]): Advice {
  return adviceOf(
    rows.flatMap(({ name, place, perfect }) => {
      if (perfect === null || perfect.gain === null || perfect.interval === null) return [];
      return [{ name, place, estimate: perfect.gain, interval: perfect.interval }];
    }),
  );
}

/** Places by size, signs kept: a fix that costs landings comes last. */
export function placesOf(estimates: readonly Estimate[]): Place[] {
  const values = estimates.map(({ estimate }) => estimate);
  return sharedPlaces(values, covarianceByInfluence(estimates), LEVEL);
}

/** The groups of several inputs that nothing is shown to beat, the most promising first. */
function leading(rows: readonly FixRow[]): FixRow[] {
  return rows
    .filter(({ kind, place, perfect: gain }) => kind === 'group' && place?.best === 1 && gain !== null && (gain.interval?.[0] ?? 0) > 0)
    .slice(0, LEADERS);
}

/** Fewest flights of either kind for the ranking of what moves flights between them to mean much. */
const LEAST_EACH = 30;

function cautionsOf(base: FlightColumns): string[] {
  const counts = countOutcomes(base.outcome);
  const counted = base.outcome.length - counts[outcomeIndex('no result')];
  const landed = counts[outcomeIndex('landed')];
  if (counted === 0) return ['no flight has a result: nothing can be ranked'];
  if (landed < LEAST_EACH) {
    return [
      `only ${landed} of ${counted} flights land: what single fixes buy may not show at all; rank by sink speed (a results folder, or --sobol)`,
    ];
  }
  if (counted - landed < LEAST_EACH) {
    return [
      `only ${counted - landed} of ${counted} flights are lost: there is little to buy, and its order is not settled; rank by sink speed (a results folder, or --sobol)`,
    ];
  }
  return [];
}
