/**
 * Candidate distributions held against measured values: each fitted, tested by drawing again from itself, and told by
 * likelihood. Knows no input.
 */
import { cdf, type Distribution, quantile as quantileOf } from '../../inputs/distributions.ts';
import { stream } from '../../maths/streams.ts';
import { andersonDarling } from '../../statistics/samples/andersonDarling.ts';
import { meanInterval, normalSample, sdInterval } from '../../statistics/samples/normalSample.ts';
import { quantile, type Sorted, sorted } from '../../statistics/samples/quantiles.ts';
import { type Estimate, type Fit, type FitKind, LEVEL } from './measurement.ts';
import { lognormalOf, studentOf, WIDEST_LOG } from './predictive.ts';

/** Values that shapes can be told from, at least. */
export const FEWEST_FOR_SHAPE = 5;
/** Chance below which a candidate is refused. */
export const REFUSED = 0.05;
/** Samples drawn from each candidate. */
export const REDRAWN = { few: 999, many: 199 } as const;
/** Values from which on fewer samples do. */
export const MANY = 300;
/** A candidate with more parameters, or one less usual, must be likelier by this (Akaike's criterion). */
const WORTH = 2;

interface Candidate {
  readonly kind: FitKind;
  readonly parameters: number;
  /** null where the values cannot come from it. */
  readonly fit: (values: Sorted) => Distribution | null;
  readonly logDensity: (d: Distribution, x: number) => number;
  /** What to draw from, wider than the fit for what few values leave open. */
  readonly predictive: (values: Sorted, fitted: Distribution) => Distribution;
  /** Names of the fitted numbers that have intervals. */
  readonly numbers: (d: Distribution) => readonly (readonly [string, number])[];
}

const bell = (x: number, mean: number, sd: number): number => -0.5 * ((x - mean) / sd) ** 2 - Math.log(sd * Math.sqrt(2 * Math.PI));

/** Ends beyond the extremes by the mean gap: without bias for a uniform. */
function ends(values: Sorted): readonly [number, number] {
  const n = values.length;
  const gap = (values[n - 1] - values[0]) / (n - 1);
  return [values[0] - gap, values[n - 1] + gap];
}

const CANDIDATES: readonly Candidate[] = [
  {
    kind: 'normal',
    parameters: 2,
    fit: (values) => {
      const { mean, sd } = normalSample(values);
      return sd ? { kind: 'normal', mean, sd } : null;
    },
    logDensity: (d, x) => (d.kind === 'normal' ? bell(x, d.mean, d.sd) : Number.NaN),
    predictive: (values, fitted) => studentOf([...values]) ?? fitted,
    numbers: (d) =>
      d.kind === 'normal'
        ? [
            ['mean', d.mean],
            ['sd', d.sd],
          ]
        : [],
  },
  {
    kind: 'lognormal',
    parameters: 2,
    fit: (values) => {
      if (!(values[0] > 0)) return null;
      const { mean, sd } = normalSample(values.map(Math.log));
      return sd && sd <= WIDEST_LOG ? { kind: 'lognormal', median: Math.exp(mean), logSd: sd } : null;
    },
    logDensity: (d, x) => (d.kind === 'lognormal' ? bell(Math.log(x), Math.log(d.median), d.logSd) - Math.log(x) : Number.NaN),
    predictive: (values, fitted) => lognormalOf([...values]) ?? fitted,
    numbers: (d) =>
      d.kind === 'lognormal'
        ? [
            ['median', d.median],
            ['logSd', d.logSd],
          ]
        : [],
  },
  {
    kind: 'uniform',
    parameters: 2,
    fit: (values) => {
      const [low, high] = ends(values);
      return high > low ? { kind: 'uniform', low, high } : null;
    },
    logDensity: (d, x) => (d.kind === 'uniform' && x >= d.low && x <= d.high ? -Math.log(d.high - d.low) : Number.NEGATIVE_INFINITY),
    predictive: (_, fitted) => fitted,
    numbers: (d) =>
      d.kind === 'uniform'
        ? [
            ['low', d.low],
            ['high', d.high],
          ]
        : [],
  },
  {
    kind: 'triangular',
    parameters: 3,
    fit: (values) => {
      const [low, high] = ends(values);
      if (!(high > low)) return null;
      const mode = 3 * normalSample(values).mean - low - high;
      return { kind: 'triangular', low, mode: Math.min(high, Math.max(low, mode)), high };
    },
    logDensity: (d, x) => {
      if (d.kind !== 'triangular' || x < d.low || x > d.high) return Number.NEGATIVE_INFINITY;
      const peak = 2 / (d.high - d.low);
      const share = x < d.mode ? (x - d.low) / (d.mode - d.low) : d.high > d.mode ? (d.high - x) / (d.high - d.mode) : 1;
      return Math.log(peak * share);
    },
    predictive: (_, fitted) => fitted,
    numbers: (d) =>
      d.kind === 'triangular'
        ? [
            ['low', d.low],
            ['mode', d.mode],
            ['high', d.high],
          ]
        : [],
  },
];

/**
 * Every candidate that the values can come from. The chance is that of a distance (Anderson and Darling's) at least as
 * great, were the candidate true and fitted anew each time: found by drawing samples from it.
 * @param values five at least, not all equal   @param samples drawn from each candidate
 */
export function fitsOf(values: Sorted, samples: number): readonly Fit[] {
  return CANDIDATES.flatMap((candidate): Fit[] => {
    const fitted = candidate.fit(values);
    if (fitted === null) return [];
    const logLikelihood = values.reduce((sum, x) => sum + candidate.logDensity(fitted, x), 0);
    const { chance, refits } = redrawn(candidate, fitted, values, samples);
    return [
      {
        kind: candidate.kind,
        distribution: candidate.predictive(values, fitted),
        numbers: candidate
          .numbers(fitted)
          .map(([name, value], i) => ({ name, ...numberInterval(candidate, fitted, values, value, i, refits) })),
        chance,
        refused: chance < REFUSED,
        criterion: 2 * candidate.parameters - 2 * logLikelihood,
      },
    ];
  });
}

function redrawn(
  candidate: Candidate,
  fitted: Distribution,
  values: Sorted,
  samples: number,
): { readonly chance: number; readonly refits: readonly (readonly number[])[] } {
  const n = values.length;
  const draw = quantileOf(fitted);
  const uniform = stream(`measure/values/${candidate.kind}`);
  const distance = andersonDarling(values, cdf(fitted));
  const refits: number[][] = [];
  let beyond = 0;
  for (let k = 0; k < samples; k++) {
    const sample = sorted(Float64Array.from({ length: n }, () => draw(uniform())));
    const refitted = candidate.fit(sample);
    // A sample that the candidate cannot be fitted to (all equal, by rounding) is as far as can be.
    if (refitted === null || andersonDarling(sample, cdf(refitted)) >= distance) beyond++;
    if (refitted !== null) refits.push(candidate.numbers(refitted).map(([, value]) => value));
  }
  return { chance: (beyond + 1) / (samples + 1), refits };
}

/** Exact for bell curves; for the others reflected from what fitting samples of the fit gives. */
function numberInterval(
  candidate: Candidate,
  fitted: Distribution,
  values: Sorted,
  value: number,
  i: number,
  refits: readonly (readonly number[])[],
): Estimate {
  if (fitted.kind === 'normal' || fitted.kind === 'lognormal') {
    const sample = normalSample(candidate.kind === 'lognormal' ? values.map(Math.log) : values);
    const isSd = i === 1;
    const interval = isSd ? sdInterval(sample.sd ?? 0, sample.count - 1, LEVEL) : meanInterval(sample, LEVEL);
    if (candidate.kind === 'lognormal' && !isSd && interval !== null)
      return { value, interval: [Math.exp(interval[0]), Math.exp(interval[1])] };
    return { value, interval };
  }
  const drawn = sorted(refits.map((numbers) => numbers[i]));
  const tail = 0.5 * (1 - LEVEL);
  const [low, high] = [2 * value - quantile(drawn, 1 - tail), 2 * value - quantile(drawn, tail)];
  // A mode lies between the ends.
  return {
    value,
    interval: fitted.kind === 'triangular' && i === 1 ? [Math.max(low, fitted.low), Math.min(high, fitted.high)] : [low, high],
  };
}

/** The likeliest that is not refused; an earlier one where a later is not worth it. null: none is honest. */
export function chosenFit(fits: readonly Fit[]): Fit | null {
  let best: Fit | null = null;
  for (const fit of fits) if (!fit.refused && (best === null || fit.criterion < best.criterion - WORTH)) best = fit;
  return best;
}
