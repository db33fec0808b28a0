/**
 * What one needs at the pad, from flights of one rule: how high, how hard, how far, and how success goes with what can
 * be measured on the day.
 */
import type { OnboardModel } from '../../avionics/rules/rule.ts';
import { flying, type SessionOptions } from '../../fleet/session.ts';
import { flightsOf } from '../../fleet/work.ts';
import { onboardModel } from '../../flight/setup.ts';
import { CATALOGUE, type InputKey, inputIndex } from '../../inputs/catalogue.ts';
import { varyingInputs } from '../../inputs/varying.ts';
import { programVersion } from '../../results/header.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import { quantile, quantileInterval, sorted } from '../../statistics/samples/quantiles.ts';
import type { OpenedStudy } from '../../study/load.ts';
import { nominalInputs } from '../../study/nominal.ts';
import { ruleByName } from '../../study/ruleByName.ts';
import type { RuleChoice, Study } from '../../study/study.ts';
import { studyHash } from '../../study/studyHash.ts';
import type { Campaign } from '../campaign/campaignStudy.ts';
import { Collector, SUMMARY_KEYS } from '../flights/collector.ts';
import { column, type FlightColumns, type FlightKey, hasResult } from '../flights/flightColumns.ts';
import { type Band, bands } from '../fly/bands.ts';
import { launchMass } from '../fly/launchMass.ts';
import { type Answers, answers, LEVEL } from '../fly/summary.ts';
import { type LegReading, readLegs } from '../nominal/legs.ts';
import type { ResultsRead } from '../read/readResults.ts';

/** Bands of each quantity: few enough to read at the pad. */
const BANDS = 5;

/** Outputs needed beside those of a summary. */
const KEYS = ['apogee', 'believedApogee'] as const;

export interface QuantileSpread {
  /** Flights that have it. */
  readonly flights: number;
  /** 5, 50 and 95 %, SI, each with its distribution-free interval; null where too few. Empty without flights. */
  readonly quantiles: readonly { readonly share: number; readonly value: number; readonly interval: Interval | null }[];
}

/** One thing measured on the day. */
export interface DayQuantity {
  readonly name: 'wind' | 'launch mass' | 'temperature';
  /** SI. */
  readonly unit: string;
  /** By band; one band when it does not vary much, none when it does not vary at all. */
  readonly bands: readonly Band[];
  /** Its value on every flight, when it does not vary. */
  readonly fixed: number | null;
  /**
   * Whether the model has it act on a landing strongly enough to judge its bands: of temperature only the air's density
   * depends unless a motor says how it goes with it.
   */
  readonly judged: boolean;
}

export interface FieldCard {
  readonly program: string;
  readonly title: string;
  readonly studyHash: string;
  readonly seed: string;
  readonly overrides: readonly string[];
  /** More than were flown where the flying was interrupted, or stopped when its interval was narrow enough. */
  readonly flightsAsked: number;
  readonly rule: RuleChoice;
  readonly onboard: OnboardModel;
  readonly limits: Study['limits'];
  /** null where touchdown is judged by rules. */
  readonly legs: LegReading | null;
  readonly answers: Answers;
  readonly apogee: QuantileSpread;
  readonly believedApogee: QuantileSpread;
  readonly sink: QuantileSpread;
  readonly distance: QuantileSpread;
  readonly day: readonly DayQuantity[];
  /** What campaigns of this rule say to change after a miss; null where none were flown by several policies. */
  readonly afterMiss: AfterMiss | null;
}

export interface AfterMiss {
  /** As --policies names it; `keep` where none was told better. */
  readonly policy: string;
  /** Constant that is moved, and its value as programmed. */
  readonly constant: { readonly key: string; readonly unit: string; readonly value: number };
  /** m above the ground, from where a miss is read. */
  readonly aim: number;
  readonly campaigns: number;
}

export interface CardFlown {
  readonly study: Study;
  readonly studyHash: string;
  readonly version: string;
  readonly overrides: readonly string[];
  readonly rule: string;
  readonly flightsAsked: number;
  readonly flights: FlightColumns;
  readonly afterMiss?: AfterMiss | null;
}

/** From results read back. @returns null when they hold no flights */
export function cardOfResults(results: ResultsRead): FieldCard | null {
  const { flown, study, studyHash: hash, version, overrides } = results;
  return flown === null
    ? null
    : fieldCard({
        study,
        studyHash: hash,
        version,
        overrides,
        rule: flown.rule,
        flightsAsked: flown.header.flightsAsked,
        flights: flown.flights,
        afterMiss: afterMissOf(results.found.campaigns.find(({ rule }) => rule === flown.rule)),
      });
}

function afterMissOf(campaign: Campaign | undefined): AfterMiss | null {
  const policies = campaign?.policies ?? null;
  if (campaign === undefined || policies === null || policies.best === null) return null;
  const { best: policy, constant, rivals } = policies;
  return { policy, constant, aim: campaign.plan.observation.aim, campaigns: rivals[0].pairs };
}

export interface CardOptions extends SessionOptions {
  readonly rule?: string;
  /** `path=value` replacements the study was opened with: recorded. */
  readonly overrides?: readonly string[];
}

/** Flies a study for its card; keeps no results. @throws UserError for an unknown rule */
export async function flyCard(opened: OpenedStudy, options: CardOptions): Promise<FieldCard> {
  const { study } = opened;
  const rule = ruleByName(study, options.rule).name;
  const collector = new Collector([...varyingInputs(study).map((c) => CATALOGUE[c].key), ...SUMMARY_KEYS, ...KEYS]);
  const work = flightsOf(study, { rule, plan: { kind: 'study', flights: study.flights } });
  await flying(options, (session) => session.fly(work, { count: study.flights, onBatch: (batch) => collector.add(batch) }));
  return fieldCard({
    study,
    studyHash: studyHash(opened.text),
    version: programVersion(),
    overrides: options.overrides ?? [],
    rule,
    flightsAsked: study.flights,
    flights: collector.flights(),
  });
}

/** @param flown flights with the varying inputs and the columns of a summary, apogee and believedApogee */
export function fieldCard(flown: CardFlown): FieldCard {
  const { study, studyHash: hash, version, overrides, rule, flightsAsked, flights, afterMiss = null } = flown;
  const choice = study.rules.find(({ name }) => name === rule);
  if (choice === undefined) throw new Error(`no rule ${rule}`);
  const nominal = (key: InputKey): number => nominalInputs(study)[inputIndex(key)];
  return {
    program: `alight ${version}`,
    title: study.title,
    studyHash: hash,
    seed: study.seed,
    overrides,
    flightsAsked,
    rule: choice,
    onboard: onboardModel(study),
    limits: study.limits,
    legs: readLegs(study),
    answers: answers(flights, study),
    apogee: spreadOf(flights, 'apogee'),
    believedApogee: spreadOf(flights, 'believedApogee'),
    sink: spreadOf(flights, 'sink'),
    distance: spreadOf(flights, 'landingDistance'),
    day: [
      dayQuantity('wind', 'm/s', flights, flights.columns['wind.speed'] ?? nominal('wind.speed'), true),
      dayQuantity('launch mass', 'kg', flights, launchMass(study, flights), true),
      dayQuantity('temperature', 'K', flights, flights.columns['site.temperature'] ?? nominal('site.temperature'), feelsTheAir(study)),
    ],
    afterMiss,
  };
}

function spreadOf(flights: FlightColumns, key: FlightKey): QuantileSpread {
  const values = column(flights, key);
  const sample = sorted([...values.keys()].filter((i) => hasResult(flights, i) && Number.isFinite(values[i])).map((i) => values[i]));
  const quantiles =
    sample.length === 0
      ? []
      : [0.05, 0.5, 0.95].map((share) => ({ share, value: quantile(sample, share), interval: quantileInterval(sample, share, LEVEL) }));
  return { flights: sample.length, quantiles };
}

/** Whether a motor takes the temperature of the air and goes with it. */
function feelsTheAir({ ascent, landing }: Study): boolean {
  return [ascent, landing].some(
    ({ temperature: t }) => t !== null && t.stated === null && (t.impulsePerKelvin !== 0 || t.burnTimePerKelvin !== 0),
  );
}

function dayQuantity(
  name: DayQuantity['name'],
  unit: string,
  flights: FlightColumns,
  values: Float64Array | number,
  judged: boolean,
): DayQuantity {
  if (typeof values === 'number') return { name, unit, bands: [], fixed: values, judged };
  if (values.every((value) => value === values[0])) return { name, unit, bands: [], fixed: values[0] ?? null, judged };
  return { name, unit, bands: bands(values, flights.outcome, BANDS), fixed: null, judged };
}
