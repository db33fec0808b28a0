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
import { column, type FlightColumns, hasResult, outcomeIndex } from '../flights/flightColumns.ts';
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
  const rows = Uint32Array.from(flights.outcome.keys()).filter((i) => hasResult(flights, i));
  const landed = outcomeIndex('landed');
  const success = Float64Array.from(rows, (i) => (flights.outcome[i] === landed ? 1 : 0));
  const weightsOf = new Map<string, Float64Array | string>();
  const correlated = new Set<InputKey>(study.correlations.flatMap(({ a, b }) => [a, b]));
  const learnt = new Set<InputKey>(study.sample?.parts.map(({ input }) => input));
  const weights = (key: InputKey): Float64Array | string => {
    const known = weightsOf.get(key);
    if (known !== undefined) return known;
    const made = correlated.has(key)
      ? `${key} is correlated with another input`
      : learnt.has(key)
        ? `${key} is drawn from what was learnt of this vehicle`
        : inputWeights(study, flights, rows, key);
    weightsOf.set(key, made);
    return made;
  };
  return subjects.map(({ name, kind, keys }): Reweighed => {
    const product = new Float64Array(rows.length).fill(1);
    const half = halved(study, { name, kind, keys });
    if (half === null) return { name, kind, refused: `${keys.join(', ')} may be any direction: it has no middle`, effectiveFlights: null };
    for (const key of keys.filter((one) => half.spread[one] !== undefined)) {
      const own = weights(key);
      if (typeof own === 'string') return { name, kind, refused: own, effectiveFlights: null };
      for (let i = 0; i < product.length; i++) product[i] *= own[i];
    }
    return weighed(name, kind, product, success);
  });
}

/** The narrower density over the density as flown, flight by flight; or why there is none. */
function inputWeights(study: Study, flights: FlightColumns, rows: Uint32Array, key: InputKey): Float64Array | string {
  const d = study.inputs[key];
  const { low, high, type } = CATALOGUE[inputIndex(key)];
  const ratio = d === undefined ? null : densityRatio(d, HALF);
  if (ratio === null) return `${key} takes values from a list`;
  const values = column(flights, key);
  const weights = new Float64Array(rows.length);
  for (let r = 0; r < rows.length; r++) {
    const value = values[rows[r]];
    if (type === 'number' && (value <= low || value >= high)) return `draws of ${key} were held at its bounds`;
    weights[r] = ratio(value);
  }
  return weights;
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
