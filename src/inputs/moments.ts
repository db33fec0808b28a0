/** Mean and standard deviation of each kind of distribution, for reports and for what a spread is scaled about. */

import { exp, expm1 } from '../maths/elementary/exponential.ts';
import type { Distribution } from './distributions.ts';

export interface Moments {
  readonly mean: number;
  readonly sd: number;
}

/**
 * Closed forms, but for the truncated normal. `measured` data are taken as the whole population: their sd divides by n.
 */
export function moments(d: Distribution): Moments {
  switch (d.kind) {
    case 'fixed':
      return { mean: d.value, sd: 0 };
    case 'normal':
      return { mean: d.mean, sd: d.sd };
    case 'student':
      // Up to two degrees of freedom the tails are too heavy for a variance; at one the mean is the middle alone.
      return { mean: d.mean, sd: d.freedom > 2 ? d.scale * Math.sqrt(d.freedom / (d.freedom - 2)) : Number.POSITIVE_INFINITY };
    case 'truncatedNormal':
      return truncatedNormalMoments(d.mean, d.sd, d.low, d.high);
    case 'lognormal': {
      const mean = d.median * exp(0.5 * d.logSd * d.logSd);
      return { mean, sd: mean * Math.sqrt(expm1(d.logSd * d.logSd)) };
    }
    case 'uniform':
      return { mean: 0.5 * (d.low + d.high), sd: (d.high - d.low) / Math.sqrt(12) };
    case 'triangular': {
      const rise = d.mode - d.low;
      const fall = d.high - d.mode;
      return { mean: (d.low + d.mode + d.high) / 3, sd: Math.sqrt((rise * rise + rise * fall + fall * fall) / 18) };
    }
    case 'beta': {
      const sum = d.alpha + d.beta;
      const width = d.high - d.low;
      return { mean: d.low + (width * d.alpha) / sum, sd: (width / sum) * Math.sqrt((d.alpha * d.beta) / (sum + 1)) };
    }
    case 'discrete':
      return weighted(d.values, (i) => d.weights[i]);
    case 'chance':
      return { mean: d.probability, sd: Math.sqrt(d.probability * (1 - d.probability)) };
    case 'measured': {
      const data = weighted(d.values, () => 1 / d.values.length);
      return d.as === 'resample' ? data : { mean: data.mean, sd: Math.sqrt(data.sd * data.sd + d.bandwidth * d.bandwidth) };
    }
  }
}

function weighted(values: readonly number[], weight: (i: number) => number): Moments {
  let mean = 0;
  for (let i = 0; i < values.length; i++) mean += weight(i) * values[i];
  let variance = 0;
  for (let i = 0; i < values.length; i++) variance += weight(i) * (values[i] - mean) ** 2;
  return { mean, sd: Math.sqrt(variance) };
}

/** Panels of a five-point Gauss rule over the part of the density that matters; good to 1e-12 on every case checked. */
const PANELS = 60;
const GAUSS_POINTS = [0, 0.5384693101056831, 0.906179845938664] as const;
const GAUSS_WEIGHTS = [128 / 225, 0.4786286704993665, 0.2369268850561891] as const;

/**
 * By quadrature: the closed form subtracts nearly equal numbers when the bounds are close together or far out. The
 * density is taken relative to its largest value inside the bounds, so nothing underflows, and the variance about the
 * mean, so nothing cancels.
 */
function truncatedNormalMoments(mean: number, sd: number, low: number, high: number): Moments {
  if (low === high) return { mean: low, sd: 0 };
  let a = (low - mean) / sd;
  let b = (high - mean) / sd;
  const peak = Math.min(b, Math.max(a, 0));
  // Beyond these the density is under e^-45 of its peak.
  a = Math.max(a, peak - 45 / Math.max(5, Math.abs(peak)));
  b = Math.min(b, peak + 45 / Math.max(5, Math.abs(peak)));
  const integral = (f: (x: number) => number): number => {
    const half = (b - a) / (2 * PANELS);
    let sum = 0;
    for (let k = 0; k < PANELS; k++) {
      const middle = a + (2 * k + 1) * half;
      for (let i = 0; i < 3; i++) {
        const x = half * GAUSS_POINTS[i];
        const weighed = (z: number): number => exp(-0.5 * (z - peak) * (z + peak)) * f(z);
        sum += GAUSS_WEIGHTS[i] * (i === 0 ? weighed(middle) : weighed(middle - x) + weighed(middle + x));
      }
    }
    return sum * half;
  };
  const total = integral(() => 1);
  const shift = integral((x) => x - peak) / total;
  const variance = integral((x) => (x - peak - shift) ** 2) / total;
  return { mean: mean + sd * (peak + shift), sd: sd * Math.sqrt(variance) };
}
