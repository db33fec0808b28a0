/**
 * What each kind of distribution is: the point below which a share of it lies, and its distribution function. Knows no
 * inputs, no designs and no bounds of the model; moments are moments.ts.
 */

import { betaCdf, betaQuantile } from '../maths/beta.ts';
import { exp } from '../maths/elementary/exponential.ts';
import { log } from '../maths/elementary/logarithm.ts';
import { normalCdf, normalQuantile } from '../maths/normal.ts';
import { studentCdf, studentQuantile } from '../maths/student.ts';

/** How one input varies from flight to flight. All numbers SI. `fixed` does not vary. */
export type Distribution =
  | { readonly kind: 'fixed'; readonly value: number }
  | { readonly kind: 'normal'; readonly mean: number; readonly sd: number }
  /** What is known of a normal from `freedom` + 1 values: heavier in the tails. `freedom` >= 1. */
  | { readonly kind: 'student'; readonly mean: number; readonly scale: number; readonly freedom: number }
  | {
      readonly kind: 'truncatedNormal';
      readonly mean: number;
      readonly sd: number;
      readonly low: number;
      readonly high: number;
    }
  | {
      readonly kind: 'lognormal';
      readonly median: number;
      readonly logSd: number;
    }
  | { readonly kind: 'uniform'; readonly low: number; readonly high: number }
  | {
      readonly kind: 'triangular';
      readonly low: number;
      readonly mode: number;
      readonly high: number;
    }
  | {
      readonly kind: 'beta';
      readonly alpha: number;
      readonly beta: number;
      readonly low: number;
      readonly high: number;
    }
  /** `weights` are positive and sum to 1. */
  | {
      readonly kind: 'discrete';
      readonly values: readonly number[];
      readonly weights: readonly number[];
    }
  /** 1 with this probability, else 0. */
  | { readonly kind: 'chance'; readonly probability: number }
  /**
   * The user's own bench data, sorted ascending: drawn as they are, or smoothed by a Gaussian kernel of this bandwidth.
   */
  | {
      readonly kind: 'measured';
      readonly values: readonly number[];
      readonly as: 'resample' | 'smooth';
      readonly bandwidth: number;
    };

/** From a uniform in (0, 1) to a value. */
export type Quantile = (u: number) => number;

/** Half a step of a 53-bit uniform: what stands in for a remainder of exactly 0. */
const SMALLEST_SHARE = 2 ** -54;

/**
 * The inverse distribution function, prepared once; calls allocate nothing.
 *
 * Each value comes from one uniform and never falls as the uniform grows, with one exception: `measured` data drawn
 * `smooth`. There the whole part of u n picks the datum and what is left of it places the draw in that datum's kernel
 * (smoothed bootstrap: B. W. Silverman, Density Estimation for Statistics and Data Analysis, 1986, section 6.4.1), so
 * the order holds only as far as kernels do not overlap.
 * @throws RangeError when a truncated normal has no probability between its bounds (both more than 37 sd to one side).
 */
export function quantile(d: Distribution): Quantile {
  switch (d.kind) {
    case 'fixed':
      return () => d.value;
    case 'normal':
      return (u) => d.mean + d.sd * normalQuantile(u);
    case 'student': {
      const t = studentQuantile(d.freedom);
      return (u) => d.mean + d.scale * t(u);
    }
    case 'truncatedNormal':
      return truncatedNormalQuantile(d.mean, d.sd, d.low, d.high);
    case 'lognormal':
      return (u) => d.median * exp(d.logSd * normalQuantile(u));
    case 'uniform':
      return (u) => d.low + (d.high - d.low) * u;
    case 'triangular':
      return triangularQuantile(d.low, d.mode, d.high);
    case 'beta': {
      const unit = betaQuantile(d.alpha, d.beta);
      return (u) => d.low + (d.high - d.low) * unit(u);
    }
    case 'discrete':
      return discreteQuantile(d.values, d.weights);
    case 'chance':
      // The upper end, so that a larger uniform never turns a failure back into a success.
      return (u) => (u > 1 - d.probability ? 1 : 0);
    case 'measured':
      return d.as === 'resample' ? resampleQuantile(d.values) : smoothedDraw(d.values, d.bandwidth);
  }
}

/** Probability of a value at or below x. */
export function cdf(d: Distribution): (x: number) => number {
  switch (d.kind) {
    case 'fixed':
      return (x) => (x >= d.value ? 1 : 0);
    case 'normal':
      return d.sd > 0 ? (x) => normalCdf((x - d.mean) / d.sd) : (x) => (x >= d.mean ? 1 : 0);
    case 'student': {
      const below = studentCdf(d.freedom);
      return d.scale > 0 ? (x) => below((x - d.mean) / d.scale) : (x) => (x >= d.mean ? 1 : 0);
    }
    case 'truncatedNormal':
      return truncatedNormalCdf(d.mean, d.sd, d.low, d.high);
    case 'lognormal':
      if (!(d.logSd > 0)) return (x) => (x >= d.median ? 1 : 0);
      return (x) => (x > 0 ? normalCdf(log(x / d.median) / d.logSd) : 0);
    case 'uniform':
      return (x) => (x >= d.high ? 1 : Math.max(0, (x - d.low) / (d.high - d.low)));
    case 'triangular':
      return triangularCdf(d.low, d.mode, d.high);
    case 'beta': {
      const unit = betaCdf(d.alpha, d.beta);
      return (x) => (x >= d.high ? 1 : unit(Math.max(0, (x - d.low) / (d.high - d.low))));
    }
    case 'discrete':
      return (x) => d.weights.reduce((sum, w, i) => (d.values[i] <= x ? sum + w : sum), 0);
    case 'chance':
      return (x) => (x >= 1 ? 1 : x >= 0 ? 1 - d.probability : 0);
    case 'measured':
      return d.as === 'resample' || d.bandwidth === 0
        ? (x) => d.values.reduce((count, v) => (v <= x ? count + 1 : count), 0) / d.values.length
        : (x) => d.values.reduce((sum, v) => sum + normalCdf((x - v) / d.bandwidth), 0) / d.values.length;
  }
}

/** Below and between the bounds, always measured from the side where probabilities are small and therefore exact. */
function truncatedNormalQuantile(mean: number, sd: number, low: number, high: number): Quantile {
  if (low === high) return () => low;
  const a = (low - mean) / sd;
  const b = (high - mean) / sd;
  const below = normalCdf(a);
  const above = normalCdf(-b);
  // Mirrored when both bounds are above the mean: 1 - Phi is then Phi of the other sign, without the subtraction.
  const inside = a > 0 ? normalCdf(-a) - above : normalCdf(b) - below;
  if (!(inside > 0)) throw new RangeError(`a normal of mean ${mean} and sd ${sd} has no probability between ${low} and ${high}`);
  const hold = (x: number): number => Math.min(high, Math.max(low, x));
  return (u) => {
    const p = below + u * inside;
    if (a <= 0 && p < 0.5) return hold(mean + sd * normalQuantile(p));
    return hold(mean - sd * normalQuantile(above + (1 - u) * inside));
  };
}

function truncatedNormalCdf(mean: number, sd: number, low: number, high: number): (x: number) => number {
  const mirrored = low > mean;
  const share = (from: number, to: number): number =>
    mirrored ? normalCdf((mean - from) / sd) - normalCdf((mean - to) / sd) : normalCdf((to - mean) / sd) - normalCdf((from - mean) / sd);
  return (x) => (x >= high ? 1 : x <= low ? 0 : share(low, x) / share(low, high));
}

function triangularQuantile(low: number, mode: number, high: number): Quantile {
  if (low === high) return () => low;
  const rise = mode - low;
  const fall = high - mode;
  const width = high - low;
  return (u) => (u * width < rise ? low + Math.sqrt(u * width * rise) : high - Math.sqrt((1 - u) * width * fall));
}

function triangularCdf(low: number, mode: number, high: number): (x: number) => number {
  const width = high - low;
  return (x) => {
    if (x >= high) return 1;
    if (x <= low) return 0;
    return x < mode ? (x - low) ** 2 / (width * (mode - low)) : 1 - (high - x) ** 2 / (width * (high - mode));
  };
}

/** In ascending order of the values, whatever order they were written in. */
function discreteQuantile(values: readonly number[], weights: readonly number[]): Quantile {
  const order = values.map((_, i) => i).sort((i, j) => values[i] - values[j]);
  const sorted = Float64Array.from(order, (i) => values[i]);
  const upTo = new Float64Array(order.length);
  let sum = 0;
  for (let k = 0; k < order.length; k++) {
    sum += weights[order[k]];
    upTo[k] = sum;
  }
  const last = order.length - 1;
  return (u) => {
    let k = 0;
    // The last value takes what rounding leaves of the sum of the weights.
    while (k < last && u >= upTo[k]) k++;
    return sorted[k];
  };
}

function resampleQuantile(values: readonly number[]): Quantile {
  const n = values.length;
  return (u) => values[Math.floor(u * n)];
}

function smoothedDraw(values: readonly number[], bandwidth: number): Quantile {
  const n = values.length;
  return (u) => {
    const place = u * n;
    const pick = Math.floor(place);
    return values[pick] + bandwidth * normalQuantile(Math.max(place - pick, SMALLEST_SHARE));
  };
}
