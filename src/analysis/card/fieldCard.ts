/** What one needs at the pad, from flights of one rule: how high, how hard, how far, and how success goes with what can be measured on the day. */
import type { OnboardModel } from '../../avionics/rules/rule.ts';
import type { Progress } from '../../fleet/fleet.ts';
import { onboardModel } from '../../flight/setup.ts';
import { CATALOGUE, type InputKey, inputIndex } from '../../inputs/catalogue.ts';
import { varyingInputs } from '../../inputs/varying.ts';
import { programVersion } from '../../results/header.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import { quantile, quantileInterval, sorted } from '../../statistics/samples/quantiles.ts';
import type { OpenedStudy } from '../../study/load.ts';
import { nominalInputs } from '../../study/nominal.ts';
import type { RuleChoice, Study } from '../../study/study.ts';
import { studyHash } from '../../study/studyHash.ts';
import { Collector, SUMMARY_KEYS } from '../flights/collector.ts';
import { column, type FlightColumns, type FlightKey, hasResult } from '../flights/flightColumns.ts';
import { flightRun, type RunOptions } from '../flights/flightRun.ts';
import { type Band, bands } from '../fly/bands.ts';
import { ruleName } from '../fly/flyStudy.ts';
import { type Answers, answers, LEVEL } from '../fly/summary.ts';
import { launchMass, type ResultsRead } from '../read/readResults.ts';

/** Bands of each quantity: few enough to read at the pad. */
const BANDS = 5;

/** Outputs needed beside those of a summary. */
const KEYS = ['apogee', 'believedApogee'] as const;

export interface Spread {
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
}

export interface FieldCard {
  readonly program: string;
  readonly title: string;
  readonly studyHash: string;
  readonly seed: string;
  readonly overrides: readonly string[];
  readonly rule: RuleChoice;
  readonly onboard: OnboardModel;
  readonly limits: Study['limits'];
  readonly answers: Answers;
  readonly apogee: Spread;
  readonly believedApogee: Spread;
  readonly sink: Spread;
  readonly distance: Spread;
  readonly day: readonly DayQuantity[];
}

export interface CardFlown {
  readonly study: Study;
  readonly studyHash: string;
  readonly version: string;
  readonly overrides: readonly string[];
  readonly rule: string;
  readonly flights: FlightColumns;
}

/** From results read back. @returns null when they hold no flights */
export function cardOfResults(results: ResultsRead): FieldCard | null {
  const { flown, study, studyHash: hash, version, overrides } = results;
  return flown === null ? null : fieldCard({ study, studyHash: hash, version, overrides, rule: flown.rule, flights: flown.flights });
}

/** Flies a study for its card; keeps no results. @throws UserError for an unknown rule */
export async function flyCard(
  opened: OpenedStudy,
  options: Omit<RunOptions, 'out'> & { readonly rule?: string; readonly onProgress?: (progress: Progress) => void },
): Promise<FieldCard> {
  const { study } = opened;
  const rule = ruleName(study, options.rule);
  const collector = new Collector([...varyingInputs(study).map((c) => CATALOGUE[c].key), ...SUMMARY_KEYS, ...KEYS]);
  await flightRun(opened, [rule], options, ({ fly }) =>
    fly({
      rule,
      stop: { limit: study.flights, checkEvery: null, enough: () => false },
      onBatch: (batch) => collector.add(batch),
      ...(options.onProgress === undefined ? {} : { onProgress: options.onProgress }),
    }),
  );
  return fieldCard({
    study,
    studyHash: studyHash(opened.text),
    version: programVersion(),
    overrides: options.overrides ?? [],
    rule,
    flights: collector.flights(),
  });
}

/** @param flown flights with the varying inputs and the columns of a summary, apogee and believedApogee */
export function fieldCard({ study, studyHash: hash, version, overrides, rule, flights }: CardFlown): FieldCard {
  const choice = study.rules.find(({ name }) => name === rule);
  if (choice === undefined) throw new Error(`no rule ${rule}`);
  const nominal = (key: InputKey): number => nominalInputs(study)[inputIndex(key)];
  return {
    program: `alight ${version}`,
    title: study.title,
    studyHash: hash,
    seed: study.seed,
    overrides,
    rule: choice,
    onboard: onboardModel(study),
    limits: study.limits,
    answers: answers(flights, study.limits),
    apogee: spreadOf(flights, 'apogee'),
    believedApogee: spreadOf(flights, 'believedApogee'),
    sink: spreadOf(flights, 'sink'),
    distance: spreadOf(flights, 'landingDistance'),
    day: [
      dayQuantity('wind', 'm/s', flights, flights.columns['wind.speed'] ?? nominal('wind.speed')),
      dayQuantity('launch mass', 'kg', flights, launchMass(study, flights)),
      dayQuantity('temperature', 'K', flights, flights.columns['site.temperature'] ?? nominal('site.temperature')),
    ],
  };
}

function spreadOf(flights: FlightColumns, key: FlightKey): Spread {
  const values = column(flights, key);
  const sample = sorted([...values.keys()].filter((i) => hasResult(flights, i) && Number.isFinite(values[i])).map((i) => values[i]));
  const quantiles =
    sample.length === 0
      ? []
      : [0.05, 0.5, 0.95].map((share) => ({ share, value: quantile(sample, share), interval: quantileInterval(sample, share, LEVEL) }));
  return { flights: sample.length, quantiles };
}

function dayQuantity(name: DayQuantity['name'], unit: string, flights: FlightColumns, values: Float64Array | number): DayQuantity {
  if (typeof values === 'number') return { name, unit, bands: [], fixed: values };
  if (values.every((value) => value === values[0])) return { name, unit, bands: [], fixed: values[0] ?? null };
  return { name, unit, bands: bands(values, flights.outcome, BANDS), fixed: null };
}
