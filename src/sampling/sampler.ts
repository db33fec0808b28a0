/**
 * The input vector of any flight, alone, anywhere: the end of sampling/. A design gives uniforms, the copula ties them
 * together, each distribution turns its own into a value, and the catalogue's bounds hold it. What a flight does with
 * the vector is flight/.
 */
import { CATALOGUE, type InputKey, inputIndex } from '../inputs/catalogue.ts';
import { scaleCircularSpread } from '../inputs/circularSpread.ts';
import { type CorrelatedGroup, correlatedGroups } from '../inputs/correlations.ts';
import { type Distribution, quantile } from '../inputs/distributions.ts';
import { scaleSpread } from '../inputs/spread.ts';
import { varies, varyingInputs } from '../inputs/varying.ts';
import { nominalValue } from '../study/nominal.ts';
import type { Study } from '../study/study.ts';
import { correlate } from './copula.ts';
import { type Design, independentDesign, latinHypercubeDesign, pickFreezeDesign, sobolDesign } from './design.ts';

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
) & {
  /** Inputs held at a value, by key. Every other input of every flight stays what it was. */
  readonly pins?: Readonly<Partial<Record<InputKey, number>>>;
  /**
   * Factor on the spread of inputs, by key (spread.ts): 1 as it is, 0 held at its centre. On the same luck as without.
   */
  readonly spread?: Readonly<Partial<Record<InputKey, number>>>;
};

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
  const groups = tied.map(({ columns: members, factor }) => ({
    places: Int32Array.from(members, (column) => columns.indexOf(column)),
    factor,
    z: new Float64Array(members.length),
  }));

  const base = new Float64Array(CATALOGUE.length);
  const drawn: { column: number; place: number; value: (u: number) => number; low: number; high: number }[] = [];
  CATALOGUE.forEach((row, column) => {
    const { key, low, high } = row;
    const d = effectiveDistribution(
      study.inputs[key] ?? { kind: 'fixed', value: nominalValue(row, study) },
      key,
      row.circle === true,
      plan,
    );
    if (varies(d)) drawn.push({ column, place: columns.indexOf(column), value: quantile(d), low, high });
    else base[column] = held(quantile(d)(0.5), low, high);
  });

  const u = new Float64Array(columns.length);
  const noise = plan.kind === 'study' ? `${study.seed}/noise/` : `${study.seed}/pickFreeze/noise${plan.noiseFromB ? 'B' : 'A'}/`;
  return {
    flights: design.flights,
    draw: (flight, out) => {
      if (!(Number.isInteger(flight) && flight >= 1 && flight <= design.flights)) {
        throw new RangeError(`flight ${flight} is not in a design of ${design.flights}`);
      }
      if (out.length !== base.length) throw new RangeError(`an input vector has ${base.length} numbers, got room for ${out.length}`);
      design.fill(flight, u);
      for (let g = 0; g < groups.length; g++) correlate(u, groups[g].places, groups[g].factor, groups[g].z);
      out.set(base);
      for (let k = 0; k < drawn.length; k++) {
        const { column, place, value, low, high } = drawn[k];
        out[column] = held(value(u[place]), low, high);
      }
    },
    noiseKey: (flight) => noise + flight,
  };
}

const held = (x: number, low: number, high: number): number => Math.min(Math.max(x, low), high);

function effectiveDistribution(d: Distribution, key: InputKey, circle: boolean, plan: SamplerPlan): Distribution {
  const pin = plan.pins?.[key];
  if (pin !== undefined) return { kind: 'fixed', value: pin };
  const factor = plan.spread?.[key] ?? 1;
  const scaled = circle ? scaleCircularSpread(d, factor) : scaleSpread(d, factor);
  if (scaled === null) throw new RangeError(`${key} has no middle direction that its spread could be scaled about`);
  return scaled;
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
