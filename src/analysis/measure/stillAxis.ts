/**
 * One axis of a sensor that lay still: its level, its noise, the step of its readings and how far the level wanders.
 * Knows neither gravity nor other axes.
 */
import { meanInterval, normalSample, sdInterval } from '../../statistics/samples/normalSample.ts';
import { type AllanPoint, allanCurve, allanFreedom } from '../../statistics/series/allan.ts';
import { quantisationStep, type Step } from '../../statistics/series/quantisation.ts';
import { type Estimate, LEVEL } from './measurement.ts';

/** Blocks whose means tell how well the level is known. */
const BLOCKS = 20;
/** Flicker noise of instability B has an Allan deviation of this times B. Source: IEEE Std 952-1997, annex C. */
const FLICKER = Math.sqrt((2 * Math.LN2) / Math.PI);
/** Below so many steps of noise a reading, rounding hides it: what is left of it cannot be told. */
const HIDDEN = 0.5;
/** Degrees of freedom that a density is told with, at least. */
const FEWEST_FREEDOM = 20;

/** How far the level wanders; see {@link StillAxis}. */
export interface Wander {
  /** Bias instability, or what it is at most where the curve still falls at its end. */
  readonly value: number;
  readonly interval: Estimate['interval'];
  readonly atMost: boolean;
  /** s averaged over, where the deviation is least. */
  readonly tau: number;
}

export interface StillAxis {
  /** Mean of the readings. */
  readonly mean: Estimate;
  /** Standard deviation of a reading. */
  readonly sd: number;
  /** Per root hertz, without what rounding adds; null where rounding hides it or no stretch of the curve is white. */
  readonly density: Estimate | null;
  readonly freedom: number;
  /** What the density is at most where rounding hides it. */
  readonly densityAtMost: number | null;
  readonly step: Step | null;
  readonly wander: Wander;
  readonly curve: readonly AllanPoint[];
}

/**
 * @param pieces readings, a piece between two gaps; together at least 50   @param interval s between readings
 */
export function readStillAxis(pieces: readonly Float64Array[], interval: number): StillAxis {
  const all = joined(pieces);
  const sample = normalSample(all);
  const sd = sample.sd ?? 0;
  const step = quantisationStep(all.slice().sort());
  const curve = allanCurve(pieces, interval, LEVEL);
  const rounding = step === null ? 0 : (step.value * step.value * interval) / 12;
  const white = whitePoint(curve, all.length);
  const hidden = step !== null && sd < Math.sqrt(HIDDEN * HIDDEN + 1 / 12) * step.value;
  const freedom = white === null ? 0 : allanFreedom('white', all.length, white.m);
  return {
    mean: { value: sample.mean, interval: meanInterval(normalSample(blockMeans(all)), LEVEL) },
    sd,
    density: white === null || hidden ? null : densityOf(white, freedom, rounding),
    freedom,
    densityAtMost: hidden && step !== null ? HIDDEN * step.value * Math.sqrt(interval) : null,
    step,
    wander: wanderOf(curve, all.length),
    curve,
  };
}

function joined(pieces: readonly Float64Array[]): Float64Array {
  const all = new Float64Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let place = 0;
  for (const piece of pieces) {
    all.set(piece, place);
    place += piece.length;
  }
  return all;
}

function blockMeans(all: Float64Array): Float64Array {
  return Float64Array.from({ length: BLOCKS }, (_, k) => {
    const block = all.subarray(Math.floor((k * all.length) / BLOCKS), Math.floor(((k + 1) * all.length) / BLOCKS));
    return block.reduce((a, b) => a + b, 0) / block.length;
  });
}

/**
 * The shortest averaging time from which on, over two octaves, the deviation falls as white noise does: a filter in the
 * sensor makes neighbouring readings alike, and shorter times then show less noise than there is.
 */
function whitePoint(curve: readonly AllanPoint[], readings: number): AllanPoint | null {
  for (const [k, point] of curve.entries()) {
    if (allanFreedom('white', readings, point.m) < FEWEST_FREEDOM) return null;
    const next = curve.slice(k + 1).filter(({ m }) => m <= 4 * point.m);
    if (next.length < 2) return null;
    const [low, high] = scaled(point);
    if (next.every((other) => scaled(other)[0] <= high && scaled(other)[1] >= low)) return point;
  }
  return null;
}

function scaled({ interval, tau }: AllanPoint): readonly [number, number] {
  return [interval[0] * Math.sqrt(tau), interval[1] * Math.sqrt(tau)];
}

/** @param rounding density squared that rounding to a step adds (step^2/12 a reading) */
function densityOf({ deviation, tau }: AllanPoint, freedom: number, rounding: number): Estimate {
  const density = deviation * Math.sqrt(tau);
  const less = (x: number): number => Math.sqrt(Math.max(0, x * x - rounding));
  const [low, high] = sdInterval(density, freedom, LEVEL);
  return { value: less(density), interval: [less(low), less(high)] };
}

function wanderOf(curve: readonly AllanPoint[], readings: number): Wander {
  let least = 0;
  for (let k = 1; k < curve.length; k++) if (curve[k].deviation < curve[least].deviation) least = k;
  const { deviation, tau, m } = curve[least];
  const [low, high] = sdInterval(deviation, allanFreedom('flicker', readings, m), LEVEL);
  return {
    value: deviation / FLICKER,
    interval: [low / FLICKER, high / FLICKER],
    // two points an octave: within the last octave no floor can be told from luck
    atMost: least >= curve.length - 2,
    tau,
  };
}
