/**
 * Which ignition rule is better? All rules fly the same flights, same inputs and same noise by flight number, and are
 * compared pair by pair. Flies in blocks, each rule in turn, so that looks fall on fixed numbers of flights and an
 * interrupted run has whole pairs; flights.arrow has its rows in that order. Prints nothing.
 */
import { UserError } from '../../errors.ts';
import type { Batch } from '../../fleet/fleet.ts';
import { flying, type LostInWork, type Session } from '../../fleet/session.ts';
import { flightsOf, type Work } from '../../fleet/work.ts';
import { suggestion } from '../../maths/nearest.ts';
import { answerTable } from '../../results/answerTable.ts';
import type { PairCounts } from '../../statistics/proportions/paired.ts';
import { type PairingGain, pairingGain } from '../../statistics/proportions/pairingGain.ts';
import type { OpenedStudy } from '../../study/load.ts';
import type { Limits, Study } from '../../study/study.ts';
import { Collector } from '../flights/collector.ts';
import { column, countOutcomes, type FlightColumns, hasResult } from '../flights/flightColumns.ts';
import { type Finished, type FlyingOptions, keeping } from '../flights/keptResults.ts';
import { type StudyFacts, studyFacts } from '../flights/studyFacts.ts';
import { type Causes, causes } from '../fly/causes.ts';
import { type Odds, odds } from '../fly/odds.ts';
import { LEVEL } from '../fly/summary.ts';
import { type Touchdown, touchdown } from '../fly/touchdown.ts';
import { type Across, across, checkAcross } from './across.ts';
import { acrossTable } from './acrossTable.ts';
import { RepeatedLooks } from './repeatedLooks.ts';
import { fixedStatements, pairOff, type RealAttempts, realAttempts, type Statement } from './rulePair.ts';

/** Flights of each rule before the next rule flies them, and between two looks. */
const BLOCK = 1000;

/** Outputs kept of every flight. */
const KEYS = ['sink', 'slide', 'tilt', 'ignitionCommanded'] as const;

export interface CompareOptions extends FlyingOptions {
  /** Names of the rules to compare, two or more; all of the study's when left out. */
  readonly rules?: readonly string[];
  /** Fly until every pair is decided; the study's flights are then the most. */
  readonly untilResolved?: boolean;
  /** Difference in success share that does not matter: within it a pair counts as alike. Only with `untilResolved`. */
  readonly margin?: number;
  /** Varying inputs along which success is shown. */
  readonly across?: readonly string[];
}

export interface RuleAnswers {
  readonly rule: string;
  readonly odds: Odds;
  readonly causes: Causes;
  readonly touchdown: Touchdown;
  /** Flights with a result in which the rule never gave the ignition command. */
  readonly neverFired: number;
}

export interface PairAnswers {
  readonly first: string;
  readonly second: string;
  /** Flights without a result by either: in no count. */
  readonly noResult: number;
  /** How all flights paired off. */
  readonly counts: PairCounts;
  readonly statement: Statement;
  /** Real attempts of each rule that would show the difference; null without pairs. */
  readonly attempts: RealAttempts | null;
  /** Independent flights of each rule that one flight on the same luck is worth; null when the pairs cannot say. */
  readonly luck: PairingGain | null;
}

/** What comparison.json holds: nothing in it depends on the machine or the time. */
export interface Comparison extends StudyFacts {
  /** Flights by each rule that are compared: those every rule flew. */
  readonly flights: number;
  /** `decided`: every pair had its answer before the flights asked for were flown. */
  readonly stoppedBy: 'limit' | 'decided' | 'interrupted';
  readonly untilResolved: null | { readonly margin: number | null; readonly lookEvery: number };
  readonly rules: readonly RuleAnswers[];
  /** Every two rules, in the order of `rules`. */
  readonly pairs: readonly PairAnswers[];
  readonly across: readonly Across[];
  /** Flights whose worker failed, and by which rule. */
  readonly lost: readonly LostInWork[];
  /** By pair: numbers of the flights that only one of the two landed. */
  readonly discordant: readonly {
    readonly first: string;
    readonly second: string;
    readonly firstOnly: readonly number[];
    readonly secondOnly: readonly number[];
  }[];
}

export interface Compared extends Finished {
  readonly comparison: Comparison;
}

/** The rules to compare. @throws UserError for an unknown one, one named twice, or fewer than two. */
export function rivals(study: Study, wanted: readonly string[] | undefined): readonly string[] {
  const known = study.rules.map((rule) => rule.name);
  const problems: string[] = [];
  const chosen = wanted ?? known;
  for (const name of new Set(chosen)) {
    if (!known.includes(name)) {
      problems.push(`--rules: read "${name}"; expected names of the study's rules: ${known.join(', ')}.${suggestion(name, known)}`);
    } else if (chosen.indexOf(name) !== chosen.lastIndexOf(name)) problems.push(`--rules: "${name}" stands there twice`);
  }
  if (problems.length === 0 && chosen.length < 2) {
    const only =
      wanted === undefined ? `the study has one rule, ${chosen[0]}` : `read ${chosen.length === 0 ? 'none' : `"${chosen[0]}" alone`}`;
    problems.push(`a comparison needs two rules or more: ${only}`);
  }
  if (problems.length > 0) throw new UserError(problems);
  return chosen;
}

/**
 * Flies and compares.
 * @throws UserError when rules or inputs named do not fit the study, the folder cannot take results, or the disk fails
 */
export async function compareRules(opened: OpenedStudy, options: CompareOptions = {}): Promise<Compared> {
  const { study } = opened;
  const { overrides = [] } = options;
  if (options.margin !== undefined && !options.untilResolved) {
    throw new UserError('--margin: only --until-resolved stops by it; give both or neither');
  }
  const rules = rivals(study, options.rules);
  const inputs = checkAcross(study, options.across ?? []);
  // Inputs are the same for every rule: the first keeps them for all.
  const collectors = rules.map((_, i) => new Collector(i === 0 ? [...KEYS, ...inputs] : KEYS));
  const outcomes = (): Uint8Array[] => collectors.map((collector) => collector.flights().outcome);
  const pairs = rules.flatMap((_, i) => rules.slice(i + 1).map((_, k): readonly [number, number] => [i, i + 1 + k]));
  const margin = options.margin ?? null;
  const looks = options.untilResolved ? new RepeatedLooks(pairs, margin) : null;

  return keeping(options, (keeper) =>
    flying(options, async (session) => {
      const toFile = keeper.flightsFile(opened, rules, overrides);
      const { flights, stoppedBy } = await flyBlocks({
        session,
        works: rules.map((rule) => flightsOf(study, { rule, plan: { kind: 'study', flights: study.flights } })),
        take: (batch, i) => {
          toFile(batch, rules[i]);
          collectors[i].add(batch);
        },
        flown: () => Math.min(...collectors.map((collector) => collector.rows)),
        most: study.flights,
        decided: (flown) => looks?.look(outcomes(), flown) ?? false,
      });
      // After an interruption some rules may have flown on: only whole pairs are compared.
      const kept = collectors.map((collector) => head(collector.flights(), flights));
      const paired = pairs.map(([i, k]) => pairOff(kept[i].outcome, kept[k].outcome, flights));
      if (stoppedBy === 'interrupted') looks?.look(outcomes(), flights);
      const counts = paired.map((p) => p.counts);
      const statements = looks?.statements() ?? fixedStatements(counts, flights);
      const named = rules.map((rule, i) => ({ rule, outcome: kept[i].outcome }));
      const shown = flights === 0 ? [] : inputs.map((key) => across(key, column(kept[0], key), named));
      const facts = studyFacts(opened, overrides);
      const comparison: Comparison = {
        ...facts,
        flights,
        stoppedBy,
        untilResolved: looks === null ? null : { margin, lookEvery: BLOCK },
        rules: rules.map((rule, i) => ruleAnswers(rule, kept[i], study.limits)),
        pairs: pairs.map(([i, k], p): PairAnswers => {
          const { noResult } = paired[p];
          const statement = statements[p];
          const [attempts, luck] = [realAttempts(statement), pairingGain(counts[p], LEVEL)];
          return { first: rules[i], second: rules[k], noResult, counts: counts[p], statement, attempts, luck };
        }),
        across: shown,
        lost: session.lost,
        discordant: pairs.map(([i, k], p) => {
          const { firstOnlyFlights, secondOnlyFlights } = paired[p];
          return { first: rules[i], second: rules[k], firstOnly: firstOnlyFlights, secondOnly: secondOnlyFlights };
        }),
      };
      const { title, studyHash, seed, design } = facts;
      const table =
        shown.length === 0 ? {} : { 'across.arrow': await answerTable('across', acrossTable(shown), { title, studyHash, seed, design }) };
      const run = session.facts();
      const folder = keeper.finish({ 'comparison.json': comparison, ...table }, opened.text, run, stoppedBy !== 'interrupted');
      return { comparison, run, folder };
    }),
  );
}

interface Blocks {
  readonly session: Session;
  /** The same flights by each rule. */
  readonly works: readonly Work[];
  /** Takes rows of work number i. */
  readonly take: (batch: Batch, i: number) => void;
  /** Flights that every rule has flown. */
  readonly flown: () => number;
  /** Flights by each rule at most. */
  readonly most: number;
  /** Asked after each block, when every rule has flown so many flights. */
  readonly decided: (flights: number) => boolean;
}

/** Flies block after block; `flights` are those that every rule flew. */
async function flyBlocks({ session, works, take, flown, most, decided }: Blocks): Promise<Pick<Comparison, 'flights' | 'stoppedBy'>> {
  session.announce(most * works.length);
  let flights = 0;
  while (flights < most) {
    const count = Math.min(BLOCK, most - flights);
    for (const [i, work] of works.entries()) {
      const { stoppedBy } = await session.fly(work, { first: flights + 1, count, onBatch: (batch) => take(batch, i) });
      if (stoppedBy === 'interrupted') return { flights: flown(), stoppedBy };
    }
    flights += count;
    if (decided(flights)) return { flights, stoppedBy: 'decided' };
  }
  return { flights, stoppedBy: 'limit' };
}

/** The first `rows` flights. */
function head(flights: FlightColumns, rows: number): FlightColumns {
  return {
    outcome: flights.outcome.subarray(0, rows),
    number: flights.number.subarray(0, rows),
    columns: Object.fromEntries(Object.entries(flights.columns).map(([key, values]) => [key, values.subarray(0, rows)])),
  };
}

function ruleAnswers(rule: string, flights: FlightColumns, limits: Limits): RuleAnswers {
  const counts = countOutcomes(flights.outcome);
  const commanded = column(flights, 'ignitionCommanded');
  return {
    rule,
    odds: odds(counts, LEVEL),
    causes: causes(counts, LEVEL),
    touchdown: touchdown(flights, limits, LEVEL),
    neverFired: commanded.reduce((sum, fired, i) => (fired === 0 && hasResult(flights, i) ? sum + 1 : sum), 0),
  };
}
