/**
 * Making an input vary less or more without changing what it varies about, "what if I measured this twice as well?", or
 * about another value, its spread as it is, "what if it were heavier?"
 */
import type { Distribution } from './distributions.ts';
import { moments } from './moments.ts';

/**
 * What {@link scaleSpread} keeps and a spread of 0 leaves: the mean, but the median of a lognormal (its spread is one
 * of logarithms), and "does not happen" of a chance.
 */
export function centre(d: Distribution): number {
  if (d.kind === 'lognormal') return d.median;
  if (d.kind === 'chance') return 0;
  return moments(d).mean;
}

/**
 * The distribution with its spread times `factor`: 1 gives it back unchanged, 0 its centre, fixed. Most kinds are
 * stretched as a whole about their mean, bounds included (so a truncated normal keeps its shape); a lognormal has its
 * log-sd scaled and keeps its median; a chance has its probability scaled, to at most 1. Stretched discrete values are
 * in general no longer among the values written.
 * @param factor >= 0, finite   @throws RangeError otherwise.
 */
export function scaleSpread(d: Distribution, factor: number): Distribution {
  if (!(factor >= 0 && factor < Number.POSITIVE_INFINITY)) throw new RangeError(`a spread factor is a number of 0 or more, got ${factor}`);
  if (factor === 1 || d.kind === 'fixed') return d;
  const c = centre(d);
  if (factor === 0) return { kind: 'fixed', value: c };
  const stretch = (x: number): number => c + (x - c) * factor;
  switch (d.kind) {
    case 'normal':
      return { ...d, sd: d.sd * factor };
    case 'student':
      return { ...d, scale: d.scale * factor };
    case 'truncatedNormal':
      return { kind: d.kind, mean: stretch(d.mean), sd: d.sd * factor, low: stretch(d.low), high: stretch(d.high) };
    case 'lognormal':
      return { ...d, logSd: d.logSd * factor };
    case 'uniform':
      return { kind: d.kind, low: stretch(d.low), high: stretch(d.high) };
    case 'triangular':
      return { kind: d.kind, low: stretch(d.low), mode: stretch(d.mode), high: stretch(d.high) };
    case 'beta':
      return { ...d, low: stretch(d.low), high: stretch(d.high) };
    case 'discrete':
      return { ...d, values: d.values.map(stretch) };
    case 'chance':
      return { kind: d.kind, probability: Math.min(1, d.probability * factor) };
    case 'measured':
      return { ...d, values: d.values.map(stretch), bandwidth: d.bandwidth * factor };
  }
}

/**
 * The distribution about another value, as wide as it was: moved as a whole so that its {@link centre} lies there, bounds
 * included; a lognormal keeps the spread of its logarithm; of a chance the value is the probability.
 * @param value of a lognormal above 0, of a chance in 0..1   @throws RangeError otherwise
 */
export function movedTo(d: Distribution, value: number): Distribution {
  const by = value - centre(d);
  const move = (x: number): number => x + by;
  switch (d.kind) {
    case 'fixed':
      return { kind: d.kind, value };
    case 'normal':
    case 'student':
      return { ...d, mean: value };
    case 'truncatedNormal':
      return { ...d, mean: move(d.mean), low: move(d.low), high: move(d.high) };
    case 'lognormal':
      if (!(value > 0)) throw new RangeError(`a lognormal lies above 0, not about ${value}`);
      return { ...d, median: value };
    case 'uniform':
      return { kind: d.kind, low: move(d.low), high: move(d.high) };
    case 'triangular':
      return { kind: d.kind, low: move(d.low), mode: move(d.mode), high: move(d.high) };
    case 'beta':
      return { ...d, low: move(d.low), high: move(d.high) };
    case 'discrete':
      return { ...d, values: d.values.map(move) };
    case 'chance':
      if (!(value >= 0 && value <= 1)) throw new RangeError(`a chance lies from 0 to 1, not at ${value}`);
      return { kind: d.kind, probability: value };
    case 'measured':
      return { ...d, values: d.values.map(move) };
  }
}
