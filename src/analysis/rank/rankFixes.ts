/**
 * What would a fix buy? The study's flights flown again, same luck flight by flight, with one thing perfect or its spread halved, group by
 * group, then input by input where it matters most. The rule and its constants stay as they are. Prints nothing.
 */
import type { Progress } from '../../fleet/fleet.ts';
import { ranked } from '../../statistics/samples/ranks.ts';
import { covarianceByInfluence, type Estimate } from '../../statistics/sensitivity/influence.ts';
import { type Place, sharedPlaces } from '../../statistics/sensitivity/sharedPlaces.ts';
import type { OpenedStudy } from '../../study/load.ts';
import type { Study } from '../../study/study.ts';
import { column, countOutcomes, type FlightColumns, hasResult, outcomeIndex } from '../flights/flightColumns.ts';
import type { Finished, RunFacts, RunOptions, StudyFacts } from '../flights/flightRun.ts';
import { studyFacts } from '../flights/studyFacts.ts';
import { VariedFlights } from '../flights/variedFlights.ts';
import { ruleName } from '../fly/flyStudy.ts';
import { odds } from '../fly/odds.ts';
import { LEVEL } from '../fly/summary.ts';
import { type Direction, direction } from './direction.ts';
import { type AskedFix, type Fix, fixedPlan, halved, perfect, readFix } from './fixes.ts';
import { gainEstimate, gainOf } from './fixGain.ts';
import type { AskedRow, FixRanking, FixRow } from './ranking.ts';
import { groupSubjects, inputSubjects, noiseSubjects, type Subject } from './rankSubjects.ts';
import { keepRanking, prepareRanking } from './writeRanking.ts';

/** Flights of each variation when nobody says: about a minute or two on two threads, and a standard error near one point. */
const FLIGHTS = 1500;
/** Groups whose inputs are looked at when nobody asks for all. */
const LEADERS = 3;

export interface RankFixesOptions extends RunOptions {
  readonly rule?: string;
  /** Flights with and without each fix; fewer of 1,500 and the study's own when left out. */
  readonly flights?: number;
  /** `input`: every varying input, not only those of the leading groups. */
  readonly by?: 'group' | 'input';
  /** The user's own groups (rankSubjects.ts). */
  readonly groups?: readonly string[];
  /** Fixes to try (fixes.ts); nothing is ranked then but these. */
  readonly fixes?: readonly string[];
  readonly onProgress?: (progress: Progress) => void;
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
  const rule = ruleName(study, options.rule);
  const flights = options.flights ?? Math.min(FLIGHTS, study.flights);
  const groups = [...groupSubjects(study, options.groups ?? []), ...noiseSubjects(study)];
  const asked = (options.fixes ?? []).map((text) => readFix(study, text, groups));
  const folder = prepareRanking(options);
  const varied = new VariedFlights(study, rule, options);
  try {
    const found = await flyAll({ study, varied, flights, groups, asked, byInput: options.by === 'input' });
    const ranking: FixRanking = {
      ...studyFacts(opened, options.overrides ?? []),
      kind: 'fixes',
      rule,
      flights,
      ...found,
      lost: varied.lost,
    };
    const { threads, seconds, flown } = varied;
    const run: RunFacts = { seconds, threads, flightsPerSecond: seconds > 0 ? flown / seconds : 0, node: process.version };
    const whole = ranking.stoppedBy !== 'interrupted';
    return { ranking, run, folder: folder === null ? null : await keepRanking(folder, ranking, opened.text, run, whole) };
  } finally {
    await varied.close();
    folder?.folder.close();
  }
}

interface Plan {
  readonly study: Study;
  readonly varied: VariedFlights;
  readonly flights: number;
  readonly groups: readonly Subject[];
  readonly asked: readonly AskedFix[];
  readonly byInput: boolean;
}

type Found = Omit<FixRanking, keyof StudyFacts | 'kind' | 'rule' | 'flights' | 'lost'>;

async function flyAll({ study, varied, flights, groups, asked, byInput }: Plan): Promise<Found> {
  const unfinished: string[] = [];
  const tried = new Map<Fix, Tried>();
  const fly = async (fix: Fix, strength: string): Promise<void> => {
    const flown = unfinished.length > 0 ? null : await varied.fly(fix.name, fixedPlan(fix, study.flights), 1, flights, []);
    if (flown === null) unfinished.push(`${fix.name}${strength}`);
    else tried.set(fix, { fix, outcome: flown.outcome });
  };
  const askedFixes = asked.flatMap(({ whole, parts }) => [whole, ...parts]);
  const single = inputSubjects(study);
  const first = asked.length > 0 ? [] : byInput ? [...groups, ...single] : groups;
  const variants = new Map(first.map((subject) => [subject, strengths(study, subject)]));
  const count = [...variants.values()].reduce((sum, { half }) => sum + (half === null ? 1 : 2), 0);
  varied.announce(flights * (1 + askedFixes.length + count));

  const keys = single.flatMap((subject) => subject.keys);
  const base = await varied.fly('the study as it is', fixedPlan(null, study.flights), 1, flights, keys);
  if (base === null) {
    const names = [...askedFixes, ...first].map(({ name }) => name);
    const none = { odds: null, groups: [], inputs: [], leaders: [], asked: [], cautions: [] };
    return { ...none, stoppedBy: 'interrupted', unfinished: names };
  }
  for (const fix of askedFixes) await fly(fix, '');
  const flyBoth = async (subjects: readonly Subject[]): Promise<void> => {
    for (const subject of subjects) {
      const { whole, half } = variants.get(subject) ?? strengths(study, subject);
      await fly(whole, ' perfect');
      if (half !== null) await fly(half, ' halved');
    }
  };
  await flyBoth(first);
  const rowsOf = (subjects: readonly Subject[]): FixRow[] => fixRows(subjects, variants, tried, base);
  const groupRows = asked.length > 0 ? [] : rowsOf(groups);
  const leaders = byInput || asked.length > 0 ? [] : leading(groupRows);
  const inner = single.filter(({ name }) => leaders.some((leader) => leader.keys.includes(name)));
  if (inner.length > 0) {
    for (const subject of inner) variants.set(subject, strengths(study, subject));
    varied.announce(2 * flights * inner.length);
    await flyBoth(inner);
  }
  return {
    stoppedBy: unfinished.length > 0 ? 'interrupted' : 'limit',
    odds: odds(countOutcomes(base.outcome), LEVEL),
    groups: groupRows,
    inputs: asked.length > 0 ? [] : rowsOf(byInput ? single : inner),
    leaders: leaders.map(({ name }) => name),
    asked: asked.flatMap(({ whole, parts }) => [whole, ...parts].flatMap((fix): AskedRow[] => askedRow(fix, fix !== whole, tried, base))),
    unfinished,
    cautions: cautionsOf(base),
  };
}

interface Strengths {
  readonly whole: Fix;
  readonly half: Fix | null;
}

function strengths(study: Study, subject: Subject): Strengths {
  return { whole: perfect(subject), half: halved(study, subject) };
}

function askedRow(fix: Fix, part: boolean, tried: ReadonlyMap<Fix, Tried>, base: FlightColumns): AskedRow[] {
  const found = tried.get(fix);
  return found === undefined ? [] : [{ ...fix, part, gain: gainOf(base.outcome, found.outcome) }];
}

/** Rows in the order of their gains, with places. */
function fixRows(
  subjects: readonly Subject[],
  variants: ReadonlyMap<Subject, Strengths>,
  tried: ReadonlyMap<Fix, Tried>,
  base: FlightColumns,
): FixRow[] {
  const outcomesOf = (fix: Fix | null | undefined): Uint8Array | null => (fix ? (tried.get(fix)?.outcome ?? null) : null);
  const directions = directionsOf(base, subjects);
  const flown = subjects.flatMap((subject) => {
    const whole = outcomesOf(variants.get(subject)?.whole);
    if (whole === null) return [];
    const half = outcomesOf(variants.get(subject)?.half);
    return [{ subject, estimate: gainEstimate(base.outcome, whole), perfect: gainOf(base.outcome, whole), half }];
  });
  const places = placesOf(flown.map(({ estimate }) => estimate));
  const rows = flown.map(({ subject, perfect: gain, half }, i): FixRow => {
    const { name, kind, keys } = subject;
    const row = { name, kind, keys, place: places[i], perfect: gain, half: half === null ? null : gainOf(base.outcome, half) };
    return { ...row, direction: directions.get(name) ?? null };
  });
  return rows.sort((a, b) => (b.perfect?.gain ?? 0) - (a.perfect?.gain ?? 0));
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

/** How single inputs work, from the study's own flights. */
function directionsOf(base: FlightColumns, subjects: readonly Subject[]): Map<string, Direction> {
  const found = new Map<string, Direction>();
  const rows = Array.from(base.outcome.keys()).filter((i) => hasResult(base, i));
  const landed = outcomeIndex('landed');
  const success = Float64Array.from(rows, (i) => (base.outcome[i] === landed ? 1 : 0));
  if (success.every((value) => value === success[0])) return found;
  const to = ranked(success);
  const singles = subjects.filter(({ kind }) => kind === 'input');
  for (const { name, keys } of singles) {
    const all = column(base, keys[0]);
    const values = Float64Array.from(rows, (i) => all[i]);
    if (values.some((value) => value !== values[0])) found.set(name, direction(ranked(values), to, singles.length));
  }
  return found;
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
