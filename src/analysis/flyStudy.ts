/** Fly a study: the fleet's rows into the results folder and into the answers. The main job, end to end; prints nothing. */

import { UserError } from '../errors.ts';
import { Fleet, type FleetReport, type Progress } from '../fleet/fleet.ts';
import { CATALOGUE } from '../inputs/catalogue.ts';
import { makeSampler, type SamplerPlan } from '../inputs/sampler.ts';
import { ResultsFolder } from '../results/folder.ts';
import { type FlightsHeader, programVersion, studyHash } from '../results/header.ts';
import { FlightsWriter } from '../results/writer.ts';
import { clopperPearson } from '../statistics/binomial.ts';
import type { OpenedStudy } from '../study/load.ts';
import type { Study } from '../study/study.ts';
import { Collector, SUMMARY_KEYS } from './collector.ts';
import { outcomeIndex } from './flightColumns.ts';
import { type Answers, answers, LEVEL } from './summary.ts';

/** Flights between two looks at the interval's width. */
const LOOK_EVERY = 1000;

export interface FlyOptions {
  /** Name of one of the study's rules; its first when left out. */
  readonly rule?: string;
  readonly threads?: number;
  /** Flights a worker takes at a time. */
  readonly chunk?: number;
  /** Fly until the success interval is within plus or minus this share; the study's flights are then the most. */
  readonly halfWidth?: number;
  /** Folder for the results; none written when left out. */
  readonly out?: string;
  readonly force?: boolean;
  /** `path=value` replacements the study was opened with: recorded. */
  readonly overrides?: readonly string[];
  readonly stopSignal?: AbortSignal;
  readonly onProgress?: (progress: Progress) => void;
}

/** What summary.json holds: nothing in it depends on the machine or the time. */
export interface Summary extends Answers {
  readonly program: string;
  readonly title: string;
  readonly studyHash: string;
  readonly seed: string;
  readonly design: Study['design'];
  readonly rule: string;
  readonly overrides: readonly string[];
  readonly flightsAsked: number;
  readonly stoppedBy: FleetReport['stoppedBy'];
  /** Wanted half-width of the success interval; null: a number of flights was asked for. */
  readonly halfWidth: number | null;
  readonly lost: FleetReport['lost'];
  readonly warnings: readonly string[];
}

/** How the run went on this machine; kept apart so that results can be compared byte for byte. */
export interface RunFacts {
  readonly seconds: number;
  readonly threads: number;
  readonly flightsPerSecond: number;
  readonly node: string;
}

export interface Flown {
  readonly summary: Summary;
  readonly run: RunFacts;
}

/** The named rule, or the study's first. @throws UserError for a name the study does not have. */
export function ruleName(study: Study, wanted: string | undefined): string {
  if (wanted === undefined) return study.rules[0].name;
  if (study.rules.some((r) => r.name === wanted)) return wanted;
  const names = study.rules.map((r) => r.name).join(', ');
  throw new UserError(`--rule: read "${wanted}"; expected one of the study's rules: ${names}`);
}

/** Writes a lost flight's inputs from the main thread. */
export function inputsOf(study: Study, plan: SamplerPlan): (flight: number, row: Float64Array) => void {
  const sampler = makeSampler(study, plan);
  const inputs = new Float64Array(CATALOGUE.length);
  return (flight, row) => {
    sampler.draw(flight, inputs);
    row.set(inputs);
  };
}

/** @throws UserError when the folder cannot take results, the rule is unknown, or the disk fails. */
export async function flyStudy(opened: OpenedStudy, options: FlyOptions = {}): Promise<Flown> {
  const { study } = opened;
  const rule = ruleName(study, options.rule);
  const plan: SamplerPlan = { kind: 'study', flights: study.flights };
  const blankRow = inputsOf(study, plan);
  const folder = options.out === undefined ? null : ResultsFolder.prepare(options.out, options.force ?? false);
  const header: FlightsHeader = {
    title: study.title,
    study: opened.text,
    seed: study.seed,
    design: study.design,
    flightsAsked: study.flights,
    firstFlight: 1,
    rules: [rule],
    overrides: options.overrides ?? [],
  };
  const writer = folder === null ? null : FlightsWriter.create(folder.place('flights.arrow'), header);
  const collector = new Collector(SUMMARY_KEYS);
  const fleet = new Fleet({
    study,
    ...(options.threads === undefined ? {} : { threads: options.threads }),
    ...(options.chunk === undefined ? {} : { chunk: options.chunk }),
  });
  try {
    const report = await fleet.fly({
      variation: { rule, plan },
      stop: {
        limit: study.flights,
        checkEvery: options.halfWidth === undefined ? null : LOOK_EVERY,
        enough: () => options.halfWidth !== undefined && successHalfWidth(collector.counts) <= options.halfWidth,
      },
      onBatch: (batch) => {
        writer?.append(batch);
        collector.add(batch);
      },
      ...(options.onProgress === undefined ? {} : { onProgress: options.onProgress }),
      blankRow,
      stopSignal: options.stopSignal ?? new AbortController().signal,
    });
    writer?.finish();
    const summary: Summary = {
      program: `alight ${programVersion()}`,
      title: study.title,
      studyHash: studyHash(opened.text),
      seed: study.seed,
      design: study.design,
      rule,
      overrides: header.overrides,
      flightsAsked: study.flights,
      stoppedBy: report.stoppedBy,
      halfWidth: options.halfWidth ?? null,
      lost: report.lost,
      warnings: opened.warnings,
      ...answers(collector.flights(), study.limits),
    };
    const run: RunFacts = {
      seconds: report.seconds,
      threads: report.threads,
      flightsPerSecond: report.flown / report.seconds,
      node: process.version,
    };
    if (folder !== null) {
      folder.write('study.yaml', opened.text);
      folder.writeJson('summary.json', summary);
      folder.writeJson('run.json', run);
      folder.removeStale();
    }
    return { summary, run };
  } catch (error) {
    writer?.abort();
    throw error;
  } finally {
    await fleet.close();
  }
}

/** Half the width of the headline interval; 1 before any flight has a result. */
function successHalfWidth(counts: readonly number[]): number {
  const counted = counts.reduce((a, b) => a + b, 0) - counts[outcomeIndex('no result')];
  if (counted === 0) return 1;
  const [low, high] = clopperPearson(counts[outcomeIndex('landed')], counted, LEVEL);
  return (high - low) / 2;
}
