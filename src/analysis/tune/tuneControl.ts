/**
 * Which gains land most flights, and how flat that is? One gain at a time along a line of values, all on the same luck,
 * a quadratic through the log odds saying where to go; three rounds over all gains, each line shorter than the one
 * before. What the search ends with flies against the study's own on flights neither was chosen on, and lines about the
 * best on those flights say how far each gain may be off. Gains are judged with the rule's constants as they are. One
 * at a time finds no ridge that two gains make together as well as a search of all would; it needs a fifth of the
 * flights and says of each gain by itself what it does. Neither luck is the study's own. Prints nothing.
 */
import { UserError } from '../../errors.ts';
import { flying, type Session } from '../../fleet/session.ts';
import { flightsOf } from '../../fleet/work.ts';
import { answerTable } from '../../results/answerTable.ts';
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import { mcnemar, pairedDifference } from '../../statistics/proportions/paired.ts';
import { holm } from '../../statistics/samples/holm.ts';
import type { OpenedStudy } from '../../study/load.ts';
import { ruleByName } from '../../study/ruleByName.ts';
import type { Study } from '../../study/study.ts';
import { pairOff, pairsIn } from '../compare/rulePair.ts';
import type { Bounds } from '../drops/heightCoordinates.ts';
import { collectFlights } from '../flights/collectFlights.ts';
import { column, countOutcomes, type FlightColumns, outcomeIndex } from '../flights/flightColumns.ts';
import { type Finished, type FlyingOptions, IN_PLACE_OF_PARTS, keeping, refuseInParts } from '../flights/keptResults.ts';
import { studyFacts } from '../flights/studyFacts.ts';
import { odds } from '../fly/odds.ts';
import { LEVEL } from '../fly/summary.ts';
import { heightMissOf, MISS_KEYS } from '../shift/heightMiss.ts';
import { controlTable } from './controlTable.ts';
import type { ControlTuning, GainAim, GainLine, GainPoint, SearchLine } from './controlTuning.ts';
import { bestAlong, DIGITS, freeGains, type GainKey, type Gains, gainsOf, heldWithin, lineAlong, matters } from './gains.ts';
import { DEFAULT_BUDGET } from './tuningBudget.ts';

export interface TuneControlOptions extends FlyingOptions {
  /** Name of one of the study's rules; its first when left out. */
  readonly rule?: string;
  /** Flights at most, of all stages together; 60,000 when left out. */
  readonly budget?: number;
  /** Narrower bounds of gains, by key, SI; equal ones hold a gain there. */
  readonly bounds?: Readonly<Record<string, Bounds>>;
}

export interface TunedControl extends Finished {
  readonly tuning: ControlTuning;
}

/** Factor that the lines of each round reach up and down, and their flights in units of the first. */
const ROUNDS = [
  { reach: 4, flights: 1 },
  { reach: 2, flights: 2 },
  { reach: 1.5, flights: 3 },
] as const;
/** Values of a line of the search, and of one that answers. */
const SEARCHED = 7;
const ANSWERED = 9;
/** Factor that the lines that answer reach up and down. */
const FLAT_REACH = 4;
/** Shares of the budget; the lines that answer get the rest. */
const SHARES = { search: 0.5, finalists: 0.05, fresh: 0.2 } as const;
/** Flights of a value in the first round, at least: fewer say nothing of a share. */
const LEAST_EACH = 20;
/** Landings of a line for landings to be what is sought. */
const LEAST_LANDINGS = 20;

const KEYS = ['tilt', 'slide', ...MISS_KEYS] as const;

/** @throws UserError when rule, bounds or budget do not fit, or the folder cannot take results */
export async function tuneControl(opened: OpenedStudy, options: TuneControlOptions = {}): Promise<TunedControl> {
  const { study } = opened;
  refuseInParts(options, '--control', true, IN_PLACE_OF_PARTS.oneMachine);
  const rule = ruleByName(study, options.rule).name;
  const bounds = options.bounds ?? {};
  const free = freeGains(bounds);
  const budget = options.budget ?? DEFAULT_BUDGET;
  const least = 1000 * Math.ceil((LEAST_EACH * searchUnits(free.length)) / SHARES.search / 1000);
  if (budget < least) {
    throw new UserError(`--flights: read ${budget}; tuning ${free.length} gain${free.length === 1 ? '' : 's'} takes at least ${least}`);
  }
  return keeping(options, { command: 'tune --control', studies: [opened] }, (keeper) =>
    flying({ ...options, ...keeper.journaled }, async (session) => {
      session.announce(budget);
      const found = await flyAll({ study, rule, session, budget, free, bounds });
      const facts = studyFacts(opened, options.overrides ?? []);
      const tuning: ControlTuning = { ...facts, rule, budget, free, ...found, flown: session.flown, lost: session.lost };
      const { title, studyHash, seed } = tuning;
      const table =
        tuning.lines.length === 0
          ? {}
          : { 'control.arrow': await answerTable('control', controlTable(tuning), { title, studyHash, seed, rule }) };
      const run = session.facts();
      return { tuning, run, folder: keeper.finish({ 'control.json': tuning, ...table }, opened.text, run, tuning.finished) };
    }),
  );
}

/** Flights of the search in units of a value's in the first round, at most: a line of a gain that is off has one value more. */
function searchUnits(gains: number): number {
  return gains * (SEARCHED + 1) * ROUNDS.reduce((sum, { flights }) => sum + flights, 0);
}

interface Plan {
  readonly study: Study;
  readonly rule: string;
  readonly session: Session;
  readonly budget: number;
  readonly free: ReturnType<typeof freeGains>;
  readonly bounds: Readonly<Record<string, Bounds>>;
}

/** Flights first .. first + count - 1 of a stream of luck with these gains; null when interrupted. */
type Fly = (gains: Gains, first: number, count: number) => Promise<FlightColumns | null>;
type Answers = Omit<ControlTuning, keyof ReturnType<typeof studyFacts> | 'rule' | 'budget' | 'free' | 'flown' | 'lost'>;

async function flyAll(plan: Plan): Promise<Answers> {
  const { study, budget, free, bounds } = plan;
  const present = gainsOf(study.control);
  const start = heldWithin(present, bounds);
  const luck = flierOf(plan, `${study.seed}/control/search`);
  const { search, ends, used } = await searchAll(plan, start, luck);
  const so = { present, search, best: ends.at(-1) ?? start, bestIs: 'searched' as const };
  if (ends.length < ROUNDS.length) return { ...so, finished: false, fresh: null, lineFlights: 0, lines: [] };
  // What each round ended with and the study's own, on flights of the search's luck that no line used.
  const rivals = [...ends].reverse().concat(start);
  const each = Math.floor((SHARES.finalists * budget) / rivals.length);
  const landed: number[] = [];
  for (const gains of rivals) {
    const flown = await luck(gains, used + 1, each);
    if (flown === null) return { ...so, finished: false, fresh: null, lineFlights: 0, lines: [] };
    landed.push(countOutcomes(flown.outcome)[outcomeIndex('landed')]);
  }
  const best = rivals[landed.indexOf(Math.max(...landed))];
  const bestIs = same(best, present) ? ('present' as const) : ('searched' as const);
  const freshLuck = flierOf(plan, `${study.seed}/control/fresh`);
  const flights = Math.floor((SHARES.fresh * budget) / 2);
  const flownBest = await freshLuck(best, 1, flights);
  const flownPresent = flownBest === null || bestIs === 'present' ? flownBest : await freshLuck(present, 1, flights);
  if (flownBest === null || flownPresent === null) return { ...so, best, bestIs, finished: false, fresh: null, lineFlights: 0, lines: [] };
  const { counts } = pairOff(flownBest.outcome, flownPresent.outcome, flights);
  const answer = (gains: Gains, flown: FlightColumns) => ({ gains, odds: odds(countOutcomes(flown.outcome), LEVEL) });
  const fresh: ControlTuning['fresh'] = {
    flights,
    best: answer(best, flownBest),
    present: answer(present, flownPresent),
    counts,
    difference: pairsIn(counts) === 0 ? null : pairedDifference(counts, LEVEL),
    p: mcnemar(counts).exact,
    heightMiss: heightMissOf(withGains(study, best), LEVEL)(flownBest),
  };
  const share = 1 - SHARES.search - SHARES.finalists - SHARES.fresh;
  const lineFlights = Math.min(flights, Math.floor((share * budget) / (free.length * ANSWERED)));
  const lines = await linesAbout(plan, best, flownBest, lineFlights, freshLuck);
  return { present, search, best, bestIs, finished: lines !== null, fresh, lineFlights, lines: lines ?? [] };
}

/** @returns what each whole round ended with, and how many flight numbers were used */
async function searchAll(
  { study, budget, free }: Plan,
  start: Gains,
  fly: Fly,
): Promise<{ readonly search: SearchLine[]; readonly ends: Gains[]; readonly used: number }> {
  const base = Math.floor((SHARES.search * budget) / searchUnits(free.length));
  const search: SearchLine[] = [];
  const ends: Gains[] = [];
  let now = start;
  let used = 0;
  for (const [cycle, { reach, flights: units }] of ROUNDS.entries()) {
    const count = base * units;
    for (const gain of free) {
      if (!matters(gain.key, now)) continue;
      const line = lineAlong(gain, now[gain.key], reach, SEARCHED);
      // A gain that is off stays a candidate, beside the line.
      const off = now[gain.key] === 0 && gain.low === 0;
      const values = off ? [0, ...line.values] : line.values;
      const flown: FlightColumns[] = [];
      for (const value of values) {
        const found = await fly({ ...now, [gain.key]: value }, used + 1, count);
        if (found === null) return { search, ends, used };
        flown.push(found);
      }
      used += count;
      const { good, aim } = goodOf(study, flown);
      const along = bestAlong(line, off ? good.slice(1) : good, count);
      const taken = off && good[0] >= Math.max(...good.slice(1)) ? 0 : along;
      search.push({ cycle, key: gain.key, values, good, aim, flights: count, taken });
      now = { ...now, [gain.key]: taken };
    }
    ends.push(now);
  }
  return { search, ends, used };
}

/** rad; upright enough where no limit says so, as where touchdown is simulated. Common practice, no source. */
const UPRIGHT = (15 * Math.PI) / 180;

/** Landings of each; where hardly any lands, touchdowns with tilt and slide within their limits, which is what gains decide. */
function goodOf({ limits }: Study, flown: readonly FlightColumns[]): { readonly good: number[]; readonly aim: GainAim } {
  const landed = flown.map(({ outcome }) => countOutcomes(outcome)[outcomeIndex('landed')]);
  if (landed.reduce((sum, n) => sum + n, 0) >= LEAST_LANDINGS) return { good: landed, aim: 'landings' };
  const most = { tilt: limits.tilt ?? UPRIGHT, slide: limits.slide ?? Number.POSITIVE_INFINITY };
  const good = flown.map((flights) => {
    const [tilt, slide] = [column(flights, 'tilt'), column(flights, 'slide')];
    return tilt.reduce((sum, value, i) => sum + (value <= most.tilt && slide[i] <= most.slide ? 1 : 0), 0);
  });
  return { good, aim: 'upright touchdowns' };
}

function withGains(study: Study, gains: Gains): Study {
  return { ...study, control: { ...study.control, ...gains } };
}

function flierOf({ study, rule, session }: Plan, seed: string): Fly {
  const own: Study = { ...study, seed, design: 'independent' };
  return async (gains, first, count) => {
    const plan = { kind: 'study', flights: Number.MAX_SAFE_INTEGER } as const;
    const flown = await collectFlights(session, flightsOf(withGains(own, gains), { rule, plan }, 'tuning the control'), first, count, KEYS);
    return flown?.flights ?? null;
  };
}

/** Along each gain about the best, on the first of the fresh flights. null when interrupted */
async function linesAbout({ free }: Plan, best: Gains, flownBest: FlightColumns, flights: number, fly: Fly): Promise<GainLine[] | null> {
  const centre = flownBest.outcome.subarray(0, flights);
  const flown: { readonly key: GainKey; readonly value: number; readonly outcome: Uint8Array }[] = [];
  const shown = free.filter(({ key }) => matters(key, best));
  for (const gain of shown) {
    const { values } = lineAlong(gain, best[gain.key], FLAT_REACH, ANSWERED);
    const wanted = best[gain.key] === 0 ? values : values.filter((value) => value !== best[gain.key]);
    for (const value of wanted) {
      const found = await fly({ ...best, [gain.key]: value }, 1, flights);
      if (found === null) return null;
      flown.push({ key: gain.key, value, outcome: found.outcome });
    }
  }
  const pairs = flown.map(({ outcome }) => pairOff(outcome, centre, flights).counts);
  const adjusted = holm(pairs.map((counts) => mcnemar(counts).exact));
  const others = flown.map(({ key, value, outcome }, i) => {
    const { firstOnly, secondOnly } = pairs[i];
    const verdict = adjusted[i] > 1 - LEVEL ? 'alike' : firstOnly < secondOnly ? 'worse' : 'better';
    return { key, point: pointOf(value, outcome, adjusted[i], verdict) };
  });
  return shown.map(({ key }): GainLine => {
    const own = others.filter((one) => one.key === key).map(({ point }) => point);
    const points = [...own, pointOf(best[key], centre, null, 'best')].sort((a, b) => a.value - b.value);
    return { key, points, flat: flatAbout(points) };
  });
}

function pointOf(value: number, outcome: Uint8Array, adjustedP: number | null, verdict: GainPoint['verdict']): GainPoint {
  const { landed, counted, share } = odds(countOutcomes(outcome), LEVEL);
  const interval = counted === 0 ? null : clopperPearson(landed, counted, LEVEL);
  return { value, landed, counted, share, interval, adjustedP, verdict };
}

/** From the best to either side, up to the first point that is shown to be worse. */
export function flatAbout(points: readonly GainPoint[]): GainLine['flat'] {
  const best = points.findIndex(({ verdict }) => verdict === 'best');
  let [first, last] = [best, best];
  while (first > 0 && points[first - 1].verdict !== 'worse') first--;
  while (last < points.length - 1 && points[last + 1].verdict !== 'worse') last++;
  return { low: points[first].value, high: points[last].value, opensLow: first === 0, opensHigh: last === points.length - 1 };
}

const same = (a: Gains, b: Gains): boolean =>
  (Object.keys(a) as GainKey[]).every((key) => a[key].toPrecision(DIGITS) === b[key].toPrecision(DIGITS));
