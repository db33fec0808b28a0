/** Outputs of a closed form over a pick-freeze design. */
import type { PickFreeze } from '../../src/statistics/sensitivity/sobolIndices.ts';
import type { ClosedForm } from './closedForms.ts';

/** @param rowsA, rowsB rows of uniforms, one a coordinate   @param both whether B is a base too */
export function evaluated(form: ClosedForm, rowsA: readonly number[][], rowsB: readonly number[][], both: boolean): PickFreeze {
  const outputs = (rows: readonly number[][]): Float64Array => Float64Array.from(rows, (row) => form.f(row));
  const exchanged = (base: readonly number[][], other: readonly number[][]): Float64Array[] =>
    Array.from({ length: form.inputs }, (_, i) => outputs(base.map((row, j) => row.map((u, k) => (k === i ? other[j][k] : u)))));
  return { a: outputs(rowsA), b: outputs(rowsB), ab: exchanged(rowsA, rowsB), ba: both ? exchanged(rowsB, rowsA) : null };
}

/** The same on rows drawn at random. */
export function drawn(form: ClosedForm, rows: number, uniform: () => number, both: boolean): PickFreeze {
  const matrix = (): number[][] => Array.from({ length: rows }, () => Array.from({ length: form.inputs }, uniform));
  return evaluated(form, matrix(), matrix(), both);
}
