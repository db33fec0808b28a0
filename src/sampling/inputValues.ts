/**
 * From the uniforms of the inputs that vary to the input vector: the copula ties them together, each distribution turns
 * its own into a value, and the catalogue's bounds hold it. Where the uniforms come from is design.ts, or
 * campaignSampler.ts.
 */
import { CATALOGUE, type InputKey } from '../inputs/catalogue.ts';
import { scaleCircularSpread } from '../inputs/circularSpread.ts';
import type { CorrelatedGroup } from '../inputs/correlations.ts';
import { type Distribution, quantile } from '../inputs/distributions.ts';
import { scaleSpread } from '../inputs/spread.ts';
import { varies } from '../inputs/varying.ts';
import { nominalValue } from '../study/nominal.ts';
import type { Study } from '../study/study.ts';
import { correlate } from './copula.ts';

/** What is changed of the study's inputs, on the same luck. */
export interface Changes {
  /** Inputs held at a value, by key. Every other input of every flight stays what it was. */
  readonly pins?: Readonly<Partial<Record<InputKey, number>>>;
  /**
   * Factor on the spread of inputs, by key (spread.ts): 1 as it is, 0 held at its centre. On the same luck as without.
   */
  readonly spread?: Readonly<Partial<Record<InputKey, number>>>;
}

/**
 * @param columns of the inputs that vary, ascending   @param tied the study's correlated groups
 * @returns fills `out`, SI, in catalogue order, from one uniform a column, in (0, 1); `u` is made dependent in place
 */
export function inputValues(
  study: Study,
  columns: readonly number[],
  tied: readonly CorrelatedGroup[],
  changes: Changes,
): (u: Float64Array, out: Float64Array) => void {
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
      changes,
    );
    if (varies(d)) drawn.push({ column, place: columns.indexOf(column), value: quantile(d), low, high });
    else base[column] = held(quantile(d)(0.5), low, high);
  });
  return (u, out) => {
    if (out.length !== base.length) throw new RangeError(`an input vector has ${base.length} numbers, got room for ${out.length}`);
    for (let g = 0; g < groups.length; g++) correlate(u, groups[g].places, groups[g].factor, groups[g].z);
    out.set(base);
    for (let k = 0; k < drawn.length; k++) {
      const { column, place, value, low, high } = drawn[k];
      out[column] = held(value(u[place]), low, high);
    }
  };
}

const held = (x: number, low: number, high: number): number => Math.min(Math.max(x, low), high);

function effectiveDistribution(d: Distribution, key: InputKey, circle: boolean, { pins, spread }: Changes): Distribution {
  const pin = pins?.[key];
  if (pin !== undefined) return { kind: 'fixed', value: pin };
  const factor = spread?.[key] ?? 1;
  const scaled = circle ? scaleCircularSpread(d, factor) : scaleSpread(d, factor);
  if (scaled === null) throw new RangeError(`${key} has no middle direction that its spread could be scaled about`);
  return scaled;
}
