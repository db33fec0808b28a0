/**
 * The input vector of any flight, alone, anywhere: a design gives uniforms, inputValues.ts makes values of them. What a
 * flight does with the vector is flight/; attempts in a row are campaignSampler.ts.
 */
import { CATALOGUE, type InputKey, inputIndex } from '../inputs/catalogue.ts';
import { type CorrelatedGroup, correlatedGroups } from '../inputs/correlations.ts';
import { varyingInputs } from '../inputs/varying.ts';
import type { Study } from '../study/study.ts';
import { type Design, independentDesign, latinHypercubeDesign, pickFreezeDesign, sobolDesign } from './design.ts';
import { type Changes, inputValues } from './inputValues.ts';
import { standingInputs } from './standingSample.ts';

/** What is drawn; plain data, so that it can go to a worker with the study. */
export type SamplerPlan = (
  | {
      /** The study's own design. */
      readonly kind: 'study';
      /** Size of the design; only a Latin hypercube depends on it. */
      readonly flights: number;
    }
  | {
      /** One block of a variance-based sensitivity study (design.ts). */
      readonly kind: 'pickFreeze';
      readonly size: number;
      /** Keys of the varying inputs taken from matrix B; the rest come from A. */
      readonly fromB: readonly InputKey[];
      /** The in-flight noise is B's too. */
      readonly noiseFromB: boolean;
    }
) &
  Changes;

export interface Sampler {
  /** Flights of the design: its size where it has one, else as many as it can give (Infinity when independent). */
  readonly flights: number;
  /**
   * Fills the inputs of one flight, SI, in the order of the catalogue and within its bounds; the same whatever was
   * drawn before.
   * @param flight whole, 1..flights   @param out room for CATALOGUE.length   @throws RangeError otherwise.
   */
  draw(flight: number, out: Float64Array): void;
  /** Key of the flight's in-flight noise; streams of that flight start with it. */
  noiseKey(flight: number): string;
}

/**
 * @param study as loaded: its correlations can hold, and no distribution is empty
 * @throws RangeError when the plan asks for what cannot be, or splits a correlated group between A and B.
 */
export function makeSampler(study: Study, plan: SamplerPlan): Sampler {
  // Places in the design and the copula come from the study alone, so pins and spreads leave all other luck as it was.
  const columns = varyingInputs(study);
  const tied = correlatedGroups(study.correlations);
  checkPlan(plan, columns, tied);
  const design = designOf(study, plan, columns);
  const values = inputValues(study, columns, tied, plan);
  const standing = standingInputs(study, columns);
  const u = new Float64Array(columns.length);
  const noise = plan.kind === 'study' ? `${study.seed}/noise/` : `${study.seed}/pickFreeze/noise${plan.noiseFromB ? 'B' : 'A'}/`;
  return {
    flights: design.flights,
    draw: (flight, out) => {
      if (!(Number.isInteger(flight) && flight >= 1 && flight <= design.flights)) {
        throw new RangeError(`flight ${flight} is not in a design of ${design.flights}`);
      }
      design.fill(flight, u);
      standing(u, `${flight}/particle/${study.seed}`);
      values(u, out);
    },
    noiseKey: (flight) => noise + flight,
  };
}

function designOf(study: Study, plan: SamplerPlan, columns: readonly number[]): Design {
  if (plan.kind === 'pickFreeze') {
    const fromB = columns.map((column) => plan.fromB.includes(CATALOGUE[column].key));
    return pickFreezeDesign(study.seed, columns, plan.size, fromB);
  }
  switch (study.design) {
    case 'independent':
      return independentDesign(study.seed, columns);
    case 'latinHypercube':
      return latinHypercubeDesign(study.seed, columns, plan.flights);
    case 'sobol':
      return sobolDesign(study.seed, columns);
  }
}

function checkPlan(plan: SamplerPlan, columns: readonly number[], groups: readonly CorrelatedGroup[]): void {
  const size = plan.kind === 'study' ? plan.flights : plan.size;
  if (!(Number.isInteger(size) && size >= 1)) throw new RangeError(`a design needs a whole number of flights, 1 or more, got ${size}`);
  for (const { key, low, high } of CATALOGUE) {
    const value = plan.pins?.[key];
    if (value === undefined) continue;
    if (!(value >= low && value <= high)) throw new RangeError(`${key} cannot be held at ${value}; it lies between ${low} and ${high}`);
  }
  if (plan.kind === 'study') return;
  const fromB = new Set(plan.fromB.map(inputIndex));
  for (const column of fromB) {
    if (!columns.includes(column)) throw new RangeError(`${CATALOGUE[column].key} does not vary and cannot be taken from B`);
  }
  for (const group of groups) {
    const taken = group.columns.filter((column) => fromB.has(column)).length;
    if (taken > 0 && taken < group.columns.length) {
      const keys = group.columns.map((column) => CATALOGUE[column].key);
      throw new RangeError(`${keys.join(', ')} are correlated and must all come from A or all from B`);
    }
  }
}
