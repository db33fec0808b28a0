/**
 * What every command that flies and keeps its flights shares: the results folder, the flights file and the fleet, opened together
 * and closed together, whatever happens in between. Asks no question of the flights.
 */
import { Fleet, type FleetReport, type FleetRequest } from '../../fleet/fleet.ts';
import type { Variation } from '../../flight/flightMaker.ts';
import { CATALOGUE } from '../../inputs/catalogue.ts';
import { varyingInputs } from '../../inputs/varying.ts';
import { type ResultFile, ResultsFolder } from '../../results/folder.ts';
import { programVersion } from '../../results/header.ts';
import { FlightsWriter } from '../../results/writer.ts';
import { makeSampler, type SamplerPlan } from '../../sampling/sampler.ts';
import type { OpenedStudy } from '../../study/load.ts';
import type { Study } from '../../study/study.ts';
import { studyHash } from '../../study/studyHash.ts';

export interface RunOptions {
  readonly threads?: number;
  /** Flights a worker takes at a time. */
  readonly chunk?: number;
  /** Folder for the results; none written when left out. */
  readonly out?: string;
  readonly force?: boolean;
  /** `path=value` replacements the study was opened with: recorded. */
  readonly overrides?: readonly string[];
  readonly stopSignal?: AbortSignal;
}

/** What every set of answers says of its making: nothing in it depends on the machine or the time. */
export interface StudyFacts {
  readonly program: string;
  readonly title: string;
  readonly studyHash: string;
  readonly seed: string;
  readonly design: Study['design'];
  readonly overrides: readonly string[];
  readonly flightsAsked: number;
  readonly warnings: readonly string[];
}

/** How the run went on this machine; kept apart so that results can be compared byte for byte. */
export interface RunFacts {
  readonly seconds: number;
  readonly threads: number;
  readonly flightsPerSecond: number;
  readonly node: string;
}

/** A stretch of flights under one rule. */
export type Leg = Pick<FleetRequest, 'first' | 'stop' | 'onBatch' | 'onProgress'> & { readonly rule: string };

/** What a run left behind. */
export interface Finished {
  readonly run: RunFacts;
  /** The folder that holds the results: one within the folder asked for where older results stay; null when none was asked for. */
  readonly folder: string | null;
}

export interface FlightRun {
  readonly facts: StudyFacts;
  /** Flies a stretch; its rows go to the flights file, then to `onBatch`. */
  fly(leg: Leg): Promise<FleetReport>;
  /**
   * Finishes the flights file and puts the answers beside it. Whole results replace older ones; after an interruption those stay.
   * @param answers content by name: text and bytes as they are, anything else as JSON
   * @param whole false after an interruption
   * @returns how the run went, as written to run.json, and where it is
   */
  finish(answers: Readonly<Partial<Record<ResultFile, unknown>>>, whole: boolean): Finished;
}

/**
 * Opens the folder and the threads, lets `work` fly, and closes all. When it throws, what was flown stays as an unfinished file.
 * @param rules names of the rules that will fly
 * @throws UserError when the folder cannot take results or the disk fails, and whatever `work` throws
 */
export async function flightRun<T>(
  opened: OpenedStudy,
  rules: readonly string[],
  options: RunOptions,
  work: (run: FlightRun) => Promise<T>,
): Promise<T> {
  const { study, text } = opened;
  const plan: SamplerPlan = { kind: 'study', flights: study.flights };
  const blankRow = inputsOf(study, plan);
  // One object a rule: workers prepare each but once, however many stretches are flown.
  const variations = new Map(rules.map((rule): [string, Variation] => [rule, { rule, plan }]));
  const overrides = options.overrides ?? [];
  const { title, seed, design, flights: flightsAsked } = study;
  const header = {
    title,
    study: text,
    seed,
    design,
    flightsAsked,
    firstFlight: 1,
    rules,
    overrides,
    constants: constantInputs(study, plan),
  };
  // Locked from here on: nothing but what closes it again may throw.
  const folder = options.out === undefined ? null : ResultsFolder.prepare(options.out, options.force ? 'older' : 'none');
  const stopSignal = options.stopSignal ?? new AbortController().signal;
  let writer: FlightsWriter | null = null;
  let fleet: Fleet | null = null;
  try {
    const rows = folder === null ? null : FlightsWriter.create(folder.place('flights.arrow'), header);
    writer = rows;
    const flying = new Fleet({
      study,
      ...(options.threads === undefined ? {} : { threads: options.threads }),
      ...(options.chunk === undefined ? {} : { chunk: options.chunk }),
    });
    fleet = flying;
    let seconds = 0;
    let flown = 0;
    return await work({
      facts: {
        program: `alight ${programVersion()}`,
        title,
        studyHash: studyHash(text),
        seed,
        design,
        overrides,
        flightsAsked,
        warnings: opened.warnings,
      },
      fly: async ({ rule, onBatch, ...leg }) => {
        const variation = variations.get(rule);
        if (variation === undefined) throw new RangeError(`rule ${rule} was not announced`);
        const report = await flying.fly({
          ...leg,
          variation,
          onBatch: (batch) => {
            rows?.append(batch, rule);
            onBatch(batch);
          },
          blankRow,
          stopSignal,
        });
        seconds += report.seconds;
        flown += report.flown;
        return report;
      },
      finish: (answers, whole) => {
        rows?.finish();
        const run: RunFacts = { seconds, threads: flying.threads, flightsPerSecond: flown / seconds, node: process.version };
        if (folder === null) return { run, folder: null };
        folder.write('study.yaml', text);
        for (const [name, content] of Object.entries(answers) as [ResultFile, unknown][]) {
          if (typeof content === 'string' || content instanceof Uint8Array) folder.write(name, content);
          else folder.writeJson(name, content);
        }
        folder.writeJson('run.json', run);
        return { run, folder: folder.finish(whole) };
      },
    });
  } catch (error) {
    writer?.abort();
    throw error;
  } finally {
    await fleet?.close();
    folder?.close();
  }
}

/** The inputs that are the same on every flight, by key. */
function constantInputs(study: Study, plan: SamplerPlan): Record<string, number> {
  const inputs = new Float64Array(CATALOGUE.length);
  makeSampler(study, plan).draw(1, inputs);
  const varying = new Set(varyingInputs(study));
  return Object.fromEntries(CATALOGUE.flatMap((row, i) => (varying.has(i) ? [] : [[row.key, inputs[i]]])));
}

/** Writes a lost flight's inputs from the main thread. */
function inputsOf(study: Study, plan: SamplerPlan): (flight: number, row: Float64Array) => void {
  const sampler = makeSampler(study, plan);
  const inputs = new Float64Array(CATALOGUE.length);
  return (flight, row) => {
    sampler.draw(flight, inputs);
    row.set(inputs);
  };
}
