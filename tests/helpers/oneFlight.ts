/** Single flights of the demo study with chosen inputs, and their outputs by name. */
import { chosenRule, type FlightKit, flightParameters, makeKit, ROW_LENGTH } from '../../src/flight/flightMaker.ts';
import { builtKernel } from '../../src/flight/kernel/file.ts';
import type { Kernel } from '../../src/flight/kernel/kernel.ts';
import { FlightLoop, type FlightRecorder } from '../../src/flight/loop.ts';
import { OUTCOMES, OUTPUTS, type Outcome, type OutputKey, outputIndex } from '../../src/flight/outputs.ts';
import type { FlightParameters } from '../../src/flight/parameters.ts';
import { FlightRecord, writeRecord } from '../../src/flight/record.ts';
import { putRecord } from '../../src/flight/recordRow.ts';
import { CATALOGUE, type InputKey } from '../../src/inputs/catalogue.ts';
import { nominalInputs } from '../../src/study/nominal.ts';
import type { Study } from '../../src/study/study.ts';
import { demoStudy } from './studyForTests.ts';

export interface Flown {
  readonly loop: FlightLoop;
  readonly setup: FlightParameters;
  readonly row: Float64Array;
  /** An output by key; yes/no as 0 or 1. */
  readonly out: (key: OutputKey) => number;
  readonly outcome: Outcome;
}

/** The demo without rounding: with no noise its flights are smooth in their inputs. */
export function smoothStudy(changes: Partial<Study> = {}): Study {
  const study = demoStudy();
  return demoStudy({ sensors: { ...study.sensors, rounding: false }, ...changes });
}

let built: Kernel | null = null;

/** A kit that flies the study with one of its rules, by default the first, and by default with the compiled kernel. */
export function kitOf(study: Study, rule = study.rules[0].name, kernel?: Kernel): FlightKit {
  built ??= builtKernel();
  return makeKit(study, { rule, plan: { kind: 'study', flights: study.flights } }, kernel ?? built);
}

/** Inputs that differ from nominal, by key, SI. */
type Changes = Readonly<Partial<Record<InputKey, number>>>;

/** The study's nominal inputs with some replaced. */
export function inputsOf(study: Study, changes: Changes = {}): Float64Array {
  const inputs = nominalInputs(study);
  CATALOGUE.forEach(({ key }, column) => {
    inputs[column] = changes[key] ?? inputs[column];
  });
  return inputs;
}

/** One flight in tsc's build, without noise unless a key is given. */
export function flyOne(
  study: Study,
  changes: Changes = {},
  options: { readonly rule?: string; readonly noise?: string; readonly recorder?: FlightRecorder } = {},
): Flown {
  const inputs = inputsOf(study, changes);
  const loop = new FlightLoop();
  const choice = chosenRule(study, { rule: options.rule ?? study.rules[0].name });
  const setup = flightParameters(study, choice, inputs, options.noise ?? null);
  loop.fly(setup, options.recorder ?? null);
  const record = new FlightRecord();
  writeRecord(record, loop, setup);
  const row = new Float64Array(ROW_LENGTH);
  row.set(inputs);
  putRecord(record, row, CATALOGUE.length);
  const out = (key: OutputKey): number => row[CATALOGUE.length + outputIndex(key)];
  return { loop, setup, row, out, outcome: OUTCOMES[out('outcome')] };
}

/** The outputs of a row, by key. */
export function outputsOf(row: Float64Array): Record<string, number> {
  return Object.fromEntries(OUTPUTS.map(({ key }, i) => [key, row[CATALOGUE.length + i]]));
}
