/**
 * Everything a worker needs to fly a study's flights by number: sampler, rule, tables. Made once per variation; flies
 * one flight after another with a kernel, makes no object a flight, and knows no pool and no file.
 */
import { CATALOGUE } from '../inputs/catalogue.ts';
import { makeSampler, type Sampler, type SamplerPlan } from '../sampling/sampler.ts';
import type { RuleChoice, Study } from '../study/study.ts';
import { setInputs, setNoise } from './inputSetup.ts';
import type { Kernel } from './kernel/kernel.ts';
import { OUTPUTS } from './outputs.ts';
import { FlightParameters } from './parameters.ts';
import { putRecord } from './recordRow.ts';
import { setShared, studyTables } from './setup.ts';

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
  /**
   * Flies flight number `flight` (1, 2, ...) into row[0 .. ROW_LENGTH).
   * @throws Error that names the flight and the seed when the kernel cannot go on (our fault)
   */
  fly(flight: number, row: Float64Array): void;
  /** The same with one given input vector; `noiseKey` null: no noise, gusts or stalls. */
  flyInputs(inputs: Float64Array, noiseKey: string | null, row: Float64Array): void;
  /** From the next flight on: these constants in place of the study's, none of the variation's. */
  program(constants: Readonly<Record<string, number>>): void;
}

/**
 * The rule a variation flies, with its replaced constants. @throws RangeError for an unknown rule or constant (checked
 * before).
 */
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

/** @param kernel flown with; kits may share one, and their flights come one after another */
export function makeKit(study: Study, variation: Variation, kernel: Kernel): FlightKit {
  let choice = chosenRule(study, variation);
  const tables = studyTables(study);
  const sampler = makeSampler(study, variation.plan);
  const inputs = new Float64Array(CATALOGUE.length);
  const p = kernel.parameters;
  const flyInputs: FlightKit['flyInputs'] = (values, noiseKey, row) => {
    if (kernel.user !== kit) {
      setShared(p, study, tables, choice);
      kernel.user = kit;
    }
    setInputs(p, study, values);
    setNoise(p, noiseKey);
    kernel.fly();
    row.set(values);
    putRecord(kernel.record, row, CATALOGUE.length);
  };
  const kit: FlightKit = {
    sampler,
    flyInputs,
    program: (constants) => {
      choice = chosenRule(study, { rule: variation.rule, constants });
      if (kernel.user === kit) kernel.user = null;
    },
    fly: (flight, row) => {
      sampler.draw(flight, inputs);
      try {
        flyInputs(inputs, sampler.noiseKey(flight), row);
      } catch (cause) {
        const why = cause instanceof Error ? cause.message : String(cause);
        throw new Error(`the kernel stopped in flight ${flight} of seed ${study.seed}: ${why}`, { cause });
      }
    },
  };
  return kit;
}

/** Parameters of their own for one flight, for whoever flies it with a loop of tsc's build. `noiseKey` as above. */
export function flightParameters(study: Study, choice: RuleChoice, inputs: Float64Array, noiseKey: string | null): FlightParameters {
  const p = new FlightParameters();
  setShared(p, study, studyTables(study), choice);
  setInputs(p, study, inputs);
  setNoise(p, noiseKey);
  return p;
}
