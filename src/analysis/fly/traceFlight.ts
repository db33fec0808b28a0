/** One flight again, in full: the numbered one bit for bit, or the nominal one. Writes no file. */
import { UserError } from '../../errors.ts';
import { makeKit, ROW_LENGTH } from '../../flight/flightMaker.ts';
import { FlightLoop } from '../../flight/loop.ts';
import { NO_RESULT_REASONS, OUTCOMES, OUTPUTS } from '../../flight/outputs.ts';
import { type FlightTrace, TraceRecorder } from '../../flight/trace.ts';
import { CATALOGUE } from '../../inputs/catalogue.ts';
import { nominalInputs } from '../../study/nominal.ts';
import type { Study } from '../../study/study.ts';
import { ruleName } from './flyStudy.ts';

export interface TracedFlight {
  readonly rule: string;
  /** Its number, or null for the nominal flight. */
  readonly flight: number | null;
  /** Every input and output by key, SI; null for what did not happen, true and false for yes/no, words for the outcome. */
  readonly inputs: Readonly<Record<string, number | boolean>>;
  readonly outputs: Readonly<Record<string, number | string | boolean | null>>;
  readonly trace: FlightTrace;
}

/**
 * @param which a flight number of the study, or 'nominal': every input at its nominal value, noise, gusts and stalls off
 * @throws UserError for a number outside the study's flights, or an unknown rule
 */
export function traceFlight(study: Study, which: number | 'nominal', rule?: string): TracedFlight {
  const name = ruleName(study, rule);
  if (which !== 'nominal' && which > study.flights) {
    throw new UserError(`flight ${which}: the study has flights 1 to ${study.flights}; --set flights=${which} makes it larger`);
  }
  const kit = makeKit(study, { rule: name, plan: { kind: 'study', flights: study.flights } });
  const inputs = nominalInputs(study);
  if (which !== 'nominal') kit.sampler.draw(which, inputs);
  const row = new Float64Array(ROW_LENGTH);
  const recorder = new TraceRecorder();
  const loop = new FlightLoop();
  const setup = kit.flyInputs(inputs, which === 'nominal' ? null : kit.sampler.noiseKey(which), row, recorder, loop);
  return {
    rule: name,
    flight: which === 'nominal' ? null : which,
    inputs: Object.fromEntries(CATALOGUE.map((r, i) => [r.key, r.type === 'yesNo' ? row[i] === 1 : row[i]])),
    outputs: Object.fromEntries(OUTPUTS.map((r, i) => [r.key, outputValue(r.type, row[CATALOGUE.length + i])])),
    trace: recorder.finish(loop, setup),
  };
}

function outputValue(type: (typeof OUTPUTS)[number]['type'], value: number): number | string | boolean | null {
  if (type === 'outcome') return OUTCOMES[value];
  if (type === 'reason') return NO_RESULT_REASONS[value];
  if (type === 'yesNo') return value === 1;
  return Number.isNaN(value) ? null : value;
}
