/**
 * Everything a worker needs to fly a study's flights by number: sampler, rule, tables, workspaces. Made once per variation;
 * flies one flight at a time and knows no pool and no file.
 */
import { ruleKind } from '../avionics/rules/kinds.ts';
import { CATALOGUE } from '../inputs/catalogue.ts';
import { makeSampler, type Sampler, type SamplerPlan } from '../sampling/sampler.ts';
import type { RuleChoice, Study } from '../study/study.ts';
import { FlightLoop, type FlightRecorder } from './loop.ts';
import { OUTPUTS } from './outputs.ts';
import { recordOutputs } from './record.ts';
import { type FlightSetup, flightSetup, onboardModel, studyTables } from './setup.ts';

/** How a set of flights differs from the study as written. Plain data; sent to workers. */
export interface Variation {
  /** Name of one of the study's rules. */
  readonly rule: string;
  /** Rule constants (and `lead`, `tiltGuard`) that replace the study's, SI. */
  readonly constants?: Readonly<Record<string, number>>;
  readonly plan: SamplerPlan;
}

/** Numbers in a row: the inputs in catalogue order, then the outputs in table order. */
export const ROW_LENGTH = CATALOGUE.length + OUTPUTS.length;

export interface FlightKit {
  readonly sampler: Sampler;
  /** Flies flight number `flight` (1, 2, ...) into row[0 .. ROW_LENGTH). */
  fly(flight: number, row: Float64Array): void;
  /** Flies one given input vector; `noiseKey` null: no noise, gusts or stalls. `loop` keeps its end for whoever asks. */
  flyInputs(inputs: Float64Array, noiseKey: string | null, row: Float64Array, recorder?: FlightRecorder, loop?: FlightLoop): FlightSetup;
}

/** The rule a variation flies, with its replaced constants. @throws RangeError for an unknown rule or constant (checked before). */
export function chosenRule(study: Study, variation: Pick<Variation, 'rule' | 'constants'>): RuleChoice {
  const named = study.rules.find((r) => r.name === variation.rule);
  if (!named) throw new RangeError(`the study has no rule ${variation.rule}`);
  if (variation.constants === undefined) return named;
  const constants: Record<string, number> = { ...named.constants };
  let { lead, tiltGuard } = named;
  for (const [key, value] of Object.entries(variation.constants)) {
    if (key === 'lead') lead = value;
    else if (key === 'tiltGuard') tiltGuard = value;
    else if (key in constants) constants[key] = value;
    else throw new RangeError(`rule ${named.name} has no constant ${key}`);
  }
  return { ...named, constants, lead, tiltGuard };
}

export function makeKit(study: Study, variation: Variation): FlightKit {
  const choice = chosenRule(study, variation);
  const margin = ruleKind(choice.kind).prepare(choice.constants, onboardModel(study), choice.lead);
  const tables = studyTables(study);
  const sampler = makeSampler(study, variation.plan);
  const inputs = new Float64Array(CATALOGUE.length);
  const ownLoop = new FlightLoop();
  const flyInputs: FlightKit['flyInputs'] = (values, noiseKey, row, recorder, loop = ownLoop) => {
    const setup = flightSetup(study, tables, choice, margin, values);
    loop.fly(setup, noiseKey, recorder ?? null);
    row.set(values);
    recordOutputs(loop, setup, row, CATALOGUE.length);
    return setup;
  };
  return {
    sampler,
    flyInputs,
    fly: (flight, row) => {
      sampler.draw(flight, inputs);
      flyInputs(inputs, sampler.noiseKey(flight), row);
    },
  };
}
