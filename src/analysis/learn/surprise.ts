/**
 * How surprising what was seen is under the study as written: for each observation the share of simulated flights at
 * least as far out, flown under that attempt's own settings, and one measure of all together. Judges no posterior.
 *
 * Shares are prior predictive: G. E. P. Box, J. Royal Statistical Society A 143 (1980) 383-430.
 */
import { OUTPUTS, outputIndex } from '../../flight/outputs.ts';
import { CATALOGUE, inputIndex, isInputKey } from '../../inputs/catalogue.ts';
import { cholesky } from '../../maths/cholesky.ts';
import { normalQuantile } from '../../maths/normal.ts';
import { stream } from '../../maths/streams.ts';
import { Slopes } from '../../statistics/learning/slopes.ts';
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import { holm } from '../../statistics/samples/holm.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import type { Logbook, Observation, SeenKey } from '../logbook/logbook.ts';
import { holds, residualOf, shareBelow } from './likelihood.ts';
import type { Posterior } from './posterior.ts';
import { type Scores, scoreOf } from './scores.ts';

/** Adjusted shares at or below count as a surprise. */
export const SURPRISING = 0.05;
const LEVEL = 0.95;

/** An input that would have to lie so far out, with its fellows, to make what was seen usual. */
export interface Culprit {
  readonly input: string;
  /** Standard deviations of its normal score from the middle. */
  readonly sds: number;
}

export interface SeenSurprise {
  readonly attempt: string;
  readonly key: SeenKey;
  /** SI, of the key. */
  readonly unit: string;
  readonly seen: string;
  readonly place: string;
  /** 5, 50 and 95 % of simulated flights in which it happened, SI; null for words, or where it never did. */
  readonly foretold: readonly [number, number, number] | null;
  /** Share of simulated flights in which it happened, or the word was this one. */
  readonly happened: number;
  /** Share of simulated flights as far out or farther, to either side; with its interval from their number. */
  readonly share: number;
  readonly interval: Interval;
  /** Holm's, over all observations. */
  readonly adjusted: number;
  readonly surprising: boolean;
  /** Empty unless surprising. */
  readonly culprits: readonly Culprit[];
}

export interface Surprise {
  readonly flights: number;
  readonly observations: readonly SeenSurprise[];
  /** Share of simulated logbooks farther out in all observations together. */
  readonly joint: { readonly share: number; readonly interval: Interval };
}

/** @param seed keys the errors drawn for simulated sights */
export function surpriseOf(logbook: Logbook, { scores, runs, foretold }: Posterior, seed: string): Surprise {
  const flights = foretold[0][0].length;
  const priors = runs.map(({ prior }) => prior.scores);
  const single = logbook.attempts.flatMap(({ name, observations }, a) =>
    observations.map((observation, o) => ({ name, a, observation, simulated: foretold[a][o], ...farOut(observation, foretold[a][o]) })),
  );
  const adjusted = holm(single.map(({ share }) => share));
  const observations = single.map(({ name, a, observation, simulated, share, happened, foretold: range }, i): SeenSurprise => {
    const surprising = adjusted[i] <= SURPRISING;
    return {
      attempt: name,
      key: observation.key,
      unit: unitOf(observation.key),
      seen: observation.words,
      place: observation.place,
      foretold: range,
      happened,
      share,
      interval: clopperPearson(Math.round(share * flights), flights, LEVEL),
      adjusted: adjusted[i],
      surprising,
      culprits: surprising ? culpritsOf(observation, simulated, scores, priors, a) : [],
    };
  });
  return { flights, observations, joint: jointly(single, flights, seed) };
}

function unitOf(key: SeenKey): string {
  return isInputKey(key) ? CATALOGUE[inputIndex(key)].unit : OUTPUTS[outputIndex(key)].unit;
}

interface FarOut {
  readonly share: number;
  readonly happened: number;
  readonly foretold: SeenSurprise['foretold'];
}

function farOut(observation: Observation, simulated: Float64Array): FarOut {
  const n = simulated.length;
  const there = simulated.filter((value) => !Number.isNaN(value)).sort();
  const point = (share: number): number => there[Math.min(there.length - 1, Math.floor(share * there.length))];
  const range = there.length === 0 ? null : ([point(0.05), point(0.5), point(0.95)] as const);
  if (observation.sight.kind === 'value') {
    const happened = there.length / n;
    let below = 0;
    for (const value of there) below += shareBelow(observation, value);
    const low = there.length === 0 ? 0 : below / there.length;
    // Either the number is far out, or that there was one at all.
    const sides = 2 * Math.min(low, 1 - low);
    const share = happened < 1 ? Math.min(1, 2 * Math.min(sides, happened)) : sides;
    return { share: Math.max(share, 1 / (n + 1)), happened, foretold: range };
  }
  const same = simulated.reduce((sum, value) => sum + (holds(observation, value) ? 1 : 0), 0) / n;
  const { misjudged } = observation;
  const happened = same * (1 - misjudged) + (1 - same) * misjudged;
  return {
    share: Math.max(likelier(observation, simulated, happened), 1 / (n + 1)),
    happened,
    foretold: observation.sight.kind === 'within' ? range : null,
  };
}

/** Of a sum of equal shares. */
const ROUNDING = 1e-9;

/** Share of flights whose word, count or side of a between is as rare as what was seen, or rarer. */
function likelier({ sight }: Observation, simulated: Float64Array, seen: number): number {
  if (sight.kind !== 'exactly') return seen <= 0.5 ? seen : 1;
  const counts = new Map<number, number>();
  for (const value of simulated) counts.set(value, (counts.get(value) ?? 0) + 1 / simulated.length);
  let share = seen;
  for (const [value, part] of counts) if (value !== sight.value && part <= seen + ROUNDING) share += part;
  return Math.min(1, share);
}

interface Single {
  readonly observation: Observation;
  readonly simulated: Float64Array;
}

/** Against normal scores that are no knowledge, such as those of a constant. */
const RIDGE = 1e-6;

/**
 * Mahalanobis distance of what was seen among simulated sights, error and all, in normal scores by rank; missing ones
 * in the middle.
 */
function jointly(single: readonly Single[], flights: number, seed: string): Surprise['joint'] {
  const size = single.length;
  const error = stream(`${seed}/learn/sights`);
  const rows = new Float64Array(flights * size);
  const seen = new Float64Array(size);
  for (const [c, { observation, simulated }] of single.entries()) {
    const value = ranked(observation, simulated, () => normalQuantile(error()));
    seen[c] = value.seen;
    for (let i = 0; i < flights; i++) rows[i * size + c] = value.scores[i];
  }
  const covariance = new Float64Array(size * size);
  for (let i = 0; i < flights; i++) {
    for (let k = 0; k < size; k++)
      for (let l = 0; l <= k; l++) covariance[k * size + l] += (rows[i * size + k] * rows[i * size + l]) / flights;
  }
  for (let k = 0; k < size; k++) covariance[k * size + k] += RIDGE;
  const { factor } = cholesky(covariance, size, 0);
  if (factor === null) throw new Error('the covariance of simulated sights is not positive');
  const distance = (row: Float64Array): number => {
    const solved = new Float64Array(size);
    let sum = 0;
    for (let i = 0; i < size; i++) {
      let left = row[i];
      for (let k = 0; k < i; k++) left -= factor[i * size + k] * solved[k];
      solved[i] = left / factor[i * size + i];
      sum += solved[i] * solved[i];
    }
    return sum;
  };
  const own = distance(seen);
  let beyond = 0;
  for (let i = 0; i < flights; i++) if (distance(rows.subarray(i * size, (i + 1) * size)) >= own) beyond++;
  return { share: (beyond + 1) / (flights + 1), interval: clopperPearson(beyond, flights, LEVEL) };
}

/** Scores of one observation: of each simulated sight, and of the one seen. */
function ranked(
  observation: Observation,
  simulated: Float64Array,
  error: () => number,
): { readonly scores: Float64Array; readonly seen: number } {
  const n = simulated.length;
  const scores = new Float64Array(n);
  if (observation.sight.kind !== 'value') {
    const same = simulated.reduce((sum, value) => sum + (holds(observation, value) ? 1 : 0), 0);
    // Never all and never none: one flight more may do the other.
    const share = (same + 0.5) / (n + 1);
    const sd = Math.sqrt(share * (1 - share));
    for (let i = 0; i < n; i++) scores[i] = ((holds(observation, simulated[i]) ? 1 : 0) - share) / sd;
    return { scores, seen: (1 - share) / sd };
  }
  // Seen less simulated, plus an error of the measurement: what was seen stands at 0.
  const misses = simulated.map((value) => residualOf(observation, value) + error());
  const order = Array.from(misses.keys())
    .filter((i) => !Number.isNaN(misses[i]))
    .sort((a, b) => misses[a] - misses[b]);
  for (const [rank, i] of order.entries()) scores[i] = normalQuantile((rank + 0.5) / order.length);
  const below = order.filter((i) => misses[i] < 0).length;
  return { scores, seen: order.length === 0 ? 0 : normalQuantile((below + 0.5) / (order.length + 1)) };
}

/** Inputs named at most, and how far out at least. */
const MOST_CULPRITS = 4;
const LEAST_SDS = 0.5;

/**
 * By the linear fit of the observation on the inputs' scores, the likeliest combination that brings simulated flights,
 * on the average, to what was seen.
 */
function culpritsOf(
  observation: Observation,
  simulated: Float64Array,
  { columns, dimensions, parts }: Scores,
  priors: readonly Float64Array[],
  attempt: number,
): Culprit[] {
  if (observation.sight.kind !== 'value') return [];
  // Directions lie neither high nor low.
  const straight = columns.flatMap((column, k) => (CATALOGUE[column].circle ? [] : [{ key: CATALOGUE[column].key, k }]));
  const width = straight.length;
  const z = new Float64Array(simulated.length * width);
  let row = 0;
  for (const prior of priors) {
    for (let start = 0; start < prior.length; start += dimensions) {
      for (let c = 0; c < width; c++) z[row * width + c] = scoreOf(parts[attempt][straight[c].k], prior, start);
      row++;
    }
  }
  const misses = simulated.map((value) => residualOf(observation, value));
  const running = new Slopes(width, simulated.length);
  running.add(z, misses, 0, 1);
  const fit = running.fit();
  if (fit === null) return [];
  const { slopes } = fit;
  const there = misses.filter((miss) => !Number.isNaN(miss));
  const gap = -there.reduce((sum, miss) => sum + miss, 0) / there.length;
  const power = slopes.reduce((sum, slope) => sum + slope * slope, 0);
  if (power === 0) return [];
  return Array.from(slopes, (slope, c) => ({ input: straight[c].key, sds: (slope * gap) / power }))
    .filter(({ sds }) => Math.abs(sds) >= LEAST_SDS)
    .sort((a, b) => Math.abs(b.sds) - Math.abs(a.sds))
    .slice(0, MOST_CULPRITS);
}
