/**
 * How much likelier a value is under the same distribution with less spread (spread.ts): what turns flights already
 * flown into flights of a narrower study. Only for what has a density and keeps its range inside the old one; draws
 * nothing.
 */
import { exp } from '../maths/elementary/exponential.ts';
import { log } from '../maths/elementary/logarithm.ts';
import { power } from '../maths/power.ts';
import type { Distribution } from './distributions.ts';
import { centre, scaleSpread } from './spread.ts';

/** Density with the narrower spread over density as it is, at a value drawn from the latter. */
export type DensityRatio = (x: number) => number;

/**
 * @param factor of the spread, in (0, 1]
 * @returns null for what has no density to compare: values read from a list, unless smoothed, and what does not vary
 * @throws RangeError for a factor outside (0, 1]
 */
export function densityRatio(d: Distribution, factor: number): DensityRatio | null {
  if (!(factor > 0 && factor <= 1)) throw new RangeError(`flights can stand for a narrower spread only: a factor in (0, 1], not ${factor}`);
  switch (d.kind) {
    case 'fixed':
    case 'discrete':
      return null;
    case 'chance': {
      const { probability: p } = d;
      const narrowed = scaleSpread(d, factor);
      if (narrowed.kind !== 'chance' || !(p > 0 && p < 1)) return null;
      const q = narrowed.probability;
      return (x) => (x === 1 ? q / p : (1 - q) / (1 - p));
    }
    case 'lognormal': {
      // The same stretch as a normal's, of the logarithm about that of the median.
      const stretch = (1 / factor ** 2 - 1) / (2 * d.logSd ** 2);
      return (x) => exp(-stretch * log(x / d.median) ** 2) / factor;
    }
    default: {
      const shape = densityShape(d);
      if (shape === null) return null;
      const c = centre(d);
      return (x) => shape(c + (x - c) / factor) / (factor * shape(x));
    }
  }
}

/** The density but for its constant factor. */
function densityShape(d: Exclude<Distribution, { kind: 'fixed' | 'discrete' | 'chance' | 'lognormal' }>): ((x: number) => number) | null {
  const bell = (z: number): number => exp(-0.5 * z * z);
  switch (d.kind) {
    case 'normal':
      return (x) => bell((x - d.mean) / d.sd);
    case 'student':
      return (x) => power(1 + ((x - d.mean) / d.scale) ** 2 / d.freedom, -0.5 * (d.freedom + 1));
    case 'truncatedNormal':
      return (x) => (x < d.low || x > d.high ? 0 : bell((x - d.mean) / d.sd));
    case 'uniform':
      return (x) => (x < d.low || x > d.high ? 0 : 1);
    case 'triangular':
      return (x) => {
        if (x < d.low || x > d.high) return 0;
        return x < d.mode ? (x - d.low) / (d.mode - d.low) : d.high > d.mode ? (d.high - x) / (d.high - d.mode) : 1;
      };
    case 'beta':
      return (x) => {
        const t = (x - d.low) / (d.high - d.low);
        return t <= 0 || t >= 1 ? 0 : t ** (d.alpha - 1) * (1 - t) ** (d.beta - 1);
      };
    case 'measured':
      // Raw data are a list of values, and stretched values are not on it.
      return d.as === 'smooth' && d.bandwidth > 0 ? (x) => d.values.reduce((sum, v) => sum + bell((x - v) / d.bandwidth), 0) : null;
  }
}
