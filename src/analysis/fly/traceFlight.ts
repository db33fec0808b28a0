/** One flight again, in full: the numbered one bit for bit, or the nominal one. Writes no file. */
import { UserError } from '../../errors.ts';
import { chosenRule, flightParameters, type Variation } from '../../flight/flightMaker.ts';
import { FlightLoop } from '../../flight/loop.ts';
import { NO_RESULT_REASONS, OUTCOMES, OUTPUTS } from '../../flight/outputs.ts';
import { FlightRecord, writeRecord } from '../../flight/record.ts';
import { type FlightTrace, TraceRecorder } from '../../flight/trace.ts';
import { CATALOGUE } from '../../inputs/catalogue.ts';
import { makeSampler } from '../../sampling/sampler.ts';
import { nominalInputs } from '../../study/nominal.ts';
import { ruleByName } from '../../study/ruleByName.ts';
import type { Study } from '../../study/study.ts';

export interface TracedFlight {
  readonly rule: string;
  /** Its number, or null for the nominal flight. */
  readonly flight: number | null;
  /**
   * Every input and output by key, SI; null for what did not happen, true and false for yes/no, words for the outcome.
   */
  readonly inputs: Readonly<Record<string, number | boolean>>;
  readonly outputs: Readonly<Record<string, number | string | boolean | null>>;
  readonly trace: FlightTrace;
}

/**
 * @param which a flight number of the study, or 'nominal': every input at its nominal value, noise, gusts and stalls
 * off
 * @throws UserError for a number outside the study's flights, or an unknown rule
 */
export function traceFlight(study: Study, which: number | 'nominal', rule?: string): TracedFlight {
  const { name } = ruleByName(study, rule);
  if (which !== 'nominal' && which > study.flights) {
    throw new UserError(`flight ${which}: the study has flights 1 to ${study.flights}; --set flights=${which} makes it larger`);
  }
  const variation: Variation = { rule: name, plan: { kind: 'study', flights: study.flights } };
  const sampler = makeSampler(study, variation.plan);
  const inputs = nominalInputs(study);
  if (which !== 'nominal') sampler.draw(which, inputs);
  const parameters = flightParameters(study, chosenRule(study, variation), inputs, which === 'nominal' ? null : sampler.noiseKey(which));
  const recorder = new TraceRecorder();
  const loop = new FlightLoop();
  loop.fly(parameters, recorder);
  const record = new FlightRecord();
  writeRecord(record, loop, parameters);
  return {
    rule: name,
    flight: which === 'nominal' ? null : which,
    inputs: Object.fromEntries(CATALOGUE.map((r, i) => [r.key, r.type === 'yesNo' ? inputs[i] === 1 : inputs[i]])),
    outputs: Object.fromEntries(OUTPUTS.map((r) => [r.key, outputValue(r.type, record[r.key])])),
    trace: recorder.finish(loop, parameters),
  };
}

function outputValue(type: (typeof OUTPUTS)[number]['type'], value: number): number | string | boolean | null {
  if (type === 'outcome') return OUTCOMES[value];
  if (type === 'reason') return NO_RESULT_REASONS[value];
  if (type === 'yesNo') return value === 1;
  return Number.isNaN(value) ? null : value;
}
