/** The inputs as flown: what each was asked to be, beside the sample that was drawn. */

import { CATALOGUE, type InputRow } from '../../inputs/catalogue.ts';
import type { Distribution } from '../../inputs/distributions.ts';
import { moments } from '../../inputs/moments.ts';
import { varyingInputs } from '../../inputs/varying.ts';
import type { Study } from '../../study/study.ts';
import { column, type FlightColumns } from '../flights/flightColumns.ts';

export interface DrawnInput {
  readonly row: InputRow;
  readonly asked: Distribution;
  readonly values: Float64Array;
  readonly mean: number;
  readonly sd: number;
  readonly low: number;
  readonly high: number;
  /**
   * Drawn mean minus the mean asked for, in standard errors of independent draws; null without a spread, or with one
   * that is not finite. Spread-out designs come closer.
   */
  readonly departure: number | null;
}

/** @param flights at least one, with the varying inputs */
export function drawnInputs(study: Study, flights: FlightColumns): readonly DrawnInput[] {
  return varyingInputs(study).flatMap((c) => {
    const row = CATALOGUE[c];
    const asked = study.inputs[row.key];
    if (asked === undefined) return [];
    const values = column(flights, row.key);
    const n = values.length;
    const mean = values.reduce((sum, v) => sum + v, 0) / n;
    const sd = n > 1 ? Math.sqrt(values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (n - 1)) : 0;
    const wanted = moments(asked);
    const error = wanted.sd / Math.sqrt(n);
    return {
      row,
      asked,
      // Of a million flights the columns of all inputs at once would take more than all else.
      get values() {
        return column(flights, row.key);
      },
      mean,
      sd,
      low: values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY),
      high: values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY),
      departure: error > 0 && Number.isFinite(error) ? (mean - wanted.mean) / error : null,
    };
  });
}
