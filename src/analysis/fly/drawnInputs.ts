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

/** The inputs that the study gives a distribution of their own, in catalogue order. */
export function drawnRows(study: Study): readonly { readonly row: InputRow; readonly asked: Distribution }[] {
  return varyingInputs(study).flatMap((c) => {
    const row = CATALOGUE[c];
    const asked = study.inputs[row.key];
    return asked === undefined ? [] : [{ row, asked }];
  });
}

/** @param flights at least one, with the varying inputs */
export function drawnInputs(study: Study, flights: FlightColumns): readonly DrawnInput[] {
  return drawnRows(study).map(({ row, asked }) => {
    const values = column(flights, row.key);
    const n = values.length;
    let [sum, low, high] = [0, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
    for (let i = 0; i < n; i++) {
      sum += values[i];
      if (values[i] < low) low = values[i];
      if (values[i] > high) high = values[i];
    }
    const mean = sum / n;
    let squares = 0;
    for (let i = 0; i < n; i++) squares += (values[i] - mean) ** 2;
    const sd = n > 1 ? Math.sqrt(squares / (n - 1)) : 0;
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
      low,
      high,
      departure: error > 0 && Number.isFinite(error) ? (mean - wanted.mean) / error : null,
    };
  });
}
