/**
 * Rivals on the same luck: they fly the same flights by number, in blocks, each rival in turn, so that looks fall on
 * fixed numbers of flights and an interrupted run has whole pairs; then they are compared pair by pair. A rival is a
 * rule, or a whole design. Keeps no file.
 */
import type { Batch } from '../../fleet/fleet.ts';
import type { Session } from '../../fleet/session.ts';
import { flightsOf, type Work } from '../../fleet/work.ts';
import type { InputKey } from '../../inputs/catalogue.ts';
import { pairingGain } from '../../statistics/proportions/pairingGain.ts';
import type { Study } from '../../study/study.ts';
import { Collector } from '../flights/collector.ts';
import { column, countOutcomes, type FlightColumns, hasResult } from '../flights/flightColumns.ts';
import type { StudyFacts } from '../flights/studyFacts.ts';
import { causes } from '../fly/causes.ts';
import { odds } from '../fly/odds.ts';
import { LEVEL } from '../fly/summary.ts';
import { touchdown } from '../fly/touchdown.ts';
import { type HeightMiss, heightMissOf, MISS_KEYS } from '../shift/heightMiss.ts';
import type { HeightShift } from '../shift/retune.ts';
import { across } from './across.ts';
import type { Comparison, PairAnswers, RuleAnswers } from './comparison.ts';
import { RepeatedLooks } from './repeatedLooks.ts';
import { fixedStatements, lookPlan, pairOff, realAttempts } from './rulePair.ts';

/** Flights of each rival before the next flies them, and at least between two looks. */
const BLOCK = 1000;
/** More looks would make each stricter and decide little earlier. */
const MOST_LOOKS = 20;

/** Outputs kept of every flight: of a million by several rivals each is a hundredth of a gigabyte and more. */
const KEYS = ['sink', 'slide', 'tilt', ...MISS_KEYS] as const;

export interface Rival {
  readonly name: string;
  /** Rivals of one study share one object. */
  readonly study: Study;
  readonly rule: string;
  readonly retuned: HeightShift | null;
}

export interface Contest {
  readonly rivals: readonly Rival[];
  /** Places of the rivals that are compared. */
  readonly pairs: readonly (readonly [number, number])[];
  /** Flights by each at most. */
  readonly flights: number;
  /** Varying inputs of the first rival, the same for all, along which success is shown. */
  readonly inputs: readonly InputKey[];
  readonly untilResolved: boolean;
  readonly margin: number | null;
  /** Takes the rows of rival number i. */
  readonly toFile: (batch: Batch, i: number) => void;
}

export type Contested = Omit<Comparison, keyof StudyFacts | 'designs' | 'lost'>;

/** Places of every two of so many. */
export function everyTwo(count: number): (readonly [number, number])[] {
  return Array.from({ length: count }, (_, i) => i).flatMap((i) =>
    Array.from({ length: count - i - 1 }, (_, k): readonly [number, number] => [i, i + 1 + k]),
  );
}

/** Announces nothing: whoever asks for it knows what else is to fly. */
export async function contest(session: Session, { rivals, pairs, inputs, margin, ...rest }: Contest): Promise<Contested> {
  // Inputs asked about are the same for every rival: the first keeps them for all.
  const collectors = rivals.map(
    (_, i) => new Collector(i === 0 ? [...KEYS, ...inputs] : KEYS, { numbered: false, expected: rest.flights }),
  );
  const outcomes = (): Uint8Array[] => collectors.map((collector) => collector.flights().outcome);
  const lookEvery = BLOCK * Math.ceil(rest.flights / (MOST_LOOKS * BLOCK));
  const looks = rest.untilResolved ? new RepeatedLooks(pairs, lookPlan(rest.flights, lookEvery, pairs.length), margin) : null;
  const { flights, stoppedBy } = await flyBlocks({
    session,
    works: rivals.map(({ name, study, rule }) => flightsOf(study, { rule, plan: { kind: 'study', flights: rest.flights } }, name)),
    take: (batch, i) => {
      rest.toFile(batch, i);
      collectors[i].add(batch);
    },
    flown: () => Math.min(...collectors.map((collector) => collector.rows)),
    most: rest.flights,
    decided: (flown) => looks !== null && (flown % lookEvery === 0 || flown === rest.flights) && looks.look(outcomes(), flown),
  });
  // After an interruption some rivals may have flown on: only whole pairs are compared.
  const kept = collectors.map((collector) => head(collector.flights(), flights));
  const paired = pairs.map(([i, k]) => pairOff(kept[i].outcome, kept[k].outcome, flights));
  if (stoppedBy === 'interrupted') looks?.look(outcomes(), flights);
  const counts = paired.map((p) => p.counts);
  const statements = looks?.statements() ?? fixedStatements(counts, flights);
  const named = rivals.map(({ name }, i) => ({ rule: name, outcome: kept[i].outcome }));
  const judges = new Map(rivals.map(({ study }) => [study, heightMissOf(study, LEVEL)]));
  const names = (p: number): { first: string; second: string } => {
    const [i, k] = pairs[p];
    return { first: rivals[i].name, second: rivals[k].name };
  };
  return {
    flights,
    stoppedBy,
    untilResolved: looks === null ? null : { margin, lookEvery },
    rules: rivals.map((rival, i) => ruleAnswers(rival, kept[i], judges.get(rival.study)?.(kept[i]) ?? null)),
    pairs: paired.map(({ noResult }, p): PairAnswers => {
      const statement = statements[p];
      const [attempts, luck] = [realAttempts(statement), pairingGain(counts[p], LEVEL)];
      return { ...names(p), noResult, counts: counts[p], statement, attempts, luck };
    }),
    across: flights === 0 ? [] : inputs.map((key) => across(key, column(kept[0], key), named)),
    discordant: paired.map(({ firstOnlyFlights, secondOnlyFlights }, p) => {
      return { ...names(p), firstOnly: firstOnlyFlights, secondOnly: secondOnlyFlights };
    }),
  };
}

interface Blocks {
  readonly session: Session;
  /** The same flights by each rival. */
  readonly works: readonly Work[];
  /** Takes rows of work number i. */
  readonly take: (batch: Batch, i: number) => void;
  /** Flights that every rival has flown. */
  readonly flown: () => number;
  /** Flights by each rival at most. */
  readonly most: number;
  /** Asked after each block, when every rival has flown so many flights. */
  readonly decided: (flights: number) => boolean;
}

/** Flies block after block; `flights` are those that every rival flew. */
async function flyBlocks({ session, works, take, flown, most, decided }: Blocks): Promise<Pick<Comparison, 'flights' | 'stoppedBy'>> {
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

function ruleAnswers({ name, study, retuned }: Rival, flights: FlightColumns, heightMiss: HeightMiss | null): RuleAnswers {
  const counts = countOutcomes(flights.outcome);
  const lit = column(flights, 'ignitionHeight');
  return {
    rule: name,
    odds: odds(counts, LEVEL),
    causes: causes(counts, LEVEL),
    touchdown: touchdown(flights, study, LEVEL),
    neverFired: lit.reduce((sum, height, i) => (Number.isNaN(height) && hasResult(flights, i) ? sum + 1 : sum), 0),
    retuned,
    heightMiss,
  };
}
