/**
 * What halving a spread would buy, from flights already flown: each flight counts as often as it would be likelier with
 * the narrower spread. No new flight; refused where too few flights would count. Importance weights, normalised by
 * their sum.
 * Source: A. B. Owen, Monte Carlo theory, methods and examples (2013), chapter 9 (ratio estimate, its variance,
 * effective sample size).
 */
import { CATALOGUE, type InputKey, inputIndex } from '../../inputs/catalogue.ts';
import { densityRatio } from '../../inputs/densityRatio.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import { normalInterval, withInfluence } from '../../statistics/sensitivity/influence.ts';
import type { Study } from '../../study/study.ts';
import { column, type FlightColumns, hasResult, outcomeIndex, rowsWhere } from '../flights/flightColumns.ts';
import { LEVEL } from '../fly/summary.ts';
import { halved } from './fixes.ts';
import type { Subject } from './rankSubjects.ts';

/** Effective flights under which nothing is said. */
const LEAST_EFFECTIVE = 200;
const HALF = 0.5;

export type Reweighed =
  | {
      readonly name: string;
      readonly kind: Subject['kind'];
      readonly refused: null;
      /** Share landed with the spread halved, minus the share as flown. */
      readonly gain: number;
      readonly interval: Interval;
      /** Independent flights of the narrower study that the weighted ones are worth. */
      readonly effectiveFlights: number;
    }
  | {
      readonly name: string;
      readonly kind: Subject['kind'];
      /** Why there is no answer without new flights. */
      readonly refused: string;
      readonly effectiveFlights: number | null;
    };

/** @param flights with the subjects' inputs */
export function reweigh(study: Study, flights: FlightColumns, subjects: readonly Subject[]): Reweighed[] {
  const rows = rowsWhere(flights.outcome.length, (i) => hasResult(flights, i));
  const landed = outcomeIndex('landed');
  const success = new Float64Array(rows.length);
  for (let r = 0; r < rows.length; r++) success[r] = flights.outcome[rows[r]] === landed ? 1 : 0;
  const correlated = new Set<InputKey>(study.correlations.flatMap(({ a, b }) => [a, b]));
  const learnt = new Set<InputKey>(study.sample?.parts.map(({ input }) => input));
  // Made anew for the group and for the input alone: of a million flights all inputs' weights at once would be hundreds
  // of megabytes.
  const weighBy = (key: InputKey, product: Float64Array): string | null =>
    correlated.has(key)
      ? `${key} is correlated with another input`
      : learnt.has(key)
        ? `${key} is drawn from what was learnt of this vehicle`
        : weighByInput(study, flights, rows, key, product);
  const product = new Float64Array(rows.length);
  return subjects.map(({ name, kind, keys }): Reweighed => {
    product.fill(1);
    const half = halved(study, { name, kind, keys });
    if (half === null) return { name, kind, refused: `${keys.join(', ')} may be any direction: it has no middle`, effectiveFlights: null };
    for (const key of keys.filter((one) => half.spread[one] !== undefined)) {
      const refused = weighBy(key, product);
      if (refused !== null) return { name, kind, refused, effectiveFlights: null };
    }
    return weighed(name, kind, product, success);
  });
}

/**
 * Multiplies each flight's weight by the narrower density over the density as flown. @returns why there is none; null
 * where there is
 */
function weighByInput(study: Study, flights: FlightColumns, rows: Uint32Array, key: InputKey, product: Float64Array): string | null {
  const d = study.inputs[key];
  const { low, high, type } = CATALOGUE[inputIndex(key)];
  const ratio = d === undefined ? null : densityRatio(d, HALF);
  if (ratio === null) return `${key} takes values from a list`;
  const values = column(flights, key);
  for (let r = 0; r < rows.length; r++) {
    const value = values[rows[r]];
    if (type === 'number' && (value <= low || value >= high)) return `draws of ${key} were held at its bounds`;
    product[r] *= ratio(value);
  }
  return null;
}

function weighed(name: string, kind: Subject['kind'], weights: Float64Array, success: Float64Array): Reweighed {
  const n = weights.length;
  let sum = 0;
  let squares = 0;
  let good = 0;
  let plain = 0;
  for (let i = 0; i < n; i++) {
    sum += weights[i];
    squares += weights[i] * weights[i];
    good += weights[i] * success[i];
    plain += success[i];
  }
  const effectiveFlights = squares > 0 ? sum ** 2 / squares : 0;
  if (effectiveFlights < LEAST_EFFECTIVE) {
    return { name, kind, refused: `worth ${Math.floor(effectiveFlights)} flights only, under ${LEAST_EFFECTIVE}`, effectiveFlights };
  }
  const share = good / sum;
  const before = plain / n;
  // What one flight adds to the weighted share, less what it adds to the plain one.
  const influence = new Float32Array(n);
  for (let i = 0; i < n; i++) influence[i] = (weights[i] * n * (success[i] - share)) / sum - (success[i] - before);
  const e = withInfluence(share - before, influence);
  return { name, kind, refused: null, gain: e.estimate, interval: normalInterval(e, LEVEL), effectiveFlights };
}
