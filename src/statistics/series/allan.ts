/**
 * Allan deviation of a series of readings at even intervals: how much averages over a time differ from those over the
 * next. Knows no sensor.
 *
 * Source: W. J. Riley, Handbook of Frequency Stability Analysis, NIST Special Publication 1065 (2008), sections 5.2.4
 * (overlapping) and 5.4.2 (degrees of freedom).
 */
import { checkLevel, type Interval } from '../samples/interval.ts';
import { sdInterval } from '../samples/normalSample.ts';

/** The noise whose degrees of freedom an interval goes by. */
export type NoiseKind = 'white' | 'flicker';

/**
 * Overlapping Allan variance of averages over m readings. Where readings are missing a series comes in pieces, and no
 * average reaches over a gap.
 * @param pieces the readings   @param m whole, >= 1
 * @returns null where no piece has 2 m readings
 */
export function allanVariance(pieces: readonly Float64Array[], m: number): { readonly variance: number; readonly terms: number } | null {
  let sum = 0;
  let terms = 0;
  for (const y of pieces) {
    const n = y.length;
    if (n < 2 * m) continue;
    // The difference of two neighbouring sums, moved on by one reading at a time.
    let difference = 0;
    for (let i = 0; i < m; i++) difference += y[m + i] - y[i];
    sum += difference * difference;
    for (let i = 0; i + 2 * m < n; i++) {
      difference += y[i + 2 * m] - 2 * y[i + m] + y[i];
      sum += difference * difference;
    }
    terms += n - 2 * m + 1;
  }
  return terms === 0 ? null : { variance: sum / (2 * m * m * terms), terms };
}

/**
 * Degrees of freedom of an overlapping Allan variance (simple formulas, SP 1065, table 5: white and flicker frequency
 * noise; as printed there, from memory).
 * @param readings in all   @param m averaged
 */
export function allanFreedom(kind: NoiseKind, readings: number, m: number): number {
  const n = readings + 1; // of phase, whose differences the readings are
  if (kind === 'white') return Math.max(1, ((3 * (n - 1)) / (2 * m) - (2 * (n - 2)) / n) * ((4 * m * m) / (4 * m * m + 5)));
  return Math.max(1, m === 1 ? (2 * (n - 2) ** 2) / (2.3 * n - 4.9) : (5 * n * n) / (4 * m * (n + 3 * m)));
}

/** One point of the curve. */
export interface AllanPoint {
  /** Readings averaged. */
  readonly m: number;
  /** s averaged over. */
  readonly tau: number;
  readonly deviation: number;
  /** As if the noise there were white. */
  readonly interval: Interval;
}

/** Points for each doubling of the time. */
const PER_OCTAVE = 2;
/** Averages at the longest time, at least. */
const FEWEST = 8;

/**
 * The curve from one reading up to an eighth of the series, two points an octave.
 * @param interval s between readings
 */
export function allanCurve(pieces: readonly Float64Array[], interval: number, level: number): readonly AllanPoint[] {
  checkLevel(level);
  const readings = pieces.reduce((sum, piece) => sum + piece.length, 0);
  const points: AllanPoint[] = [];
  let last = 0;
  for (let k = 0; ; k++) {
    const m = Math.round(2 ** (k / PER_OCTAVE));
    if (m * FEWEST > readings) return points;
    if (m === last) continue;
    last = m;
    const found = allanVariance(pieces, m);
    if (found === null) return points;
    const deviation = Math.sqrt(found.variance);
    points.push({ m, tau: m * interval, deviation, interval: sdInterval(deviation, allanFreedom('white', readings, m), level) });
  }
}
