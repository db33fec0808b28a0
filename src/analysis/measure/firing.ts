/**
 * One static firing read: what the empty stand showed, when thrust began and ended, and what lay between. Knows one
 * firing; several are measureMotor.ts.
 *
 * Burn time is from the first rise above 5 % of the peak to the last fall below it, as in NFPA 1125 (as quoted by
 * others; the code itself was not opened). Total impulse is from the first thrust to the last that can be told from
 * noise.
 */
import { normalQuantile } from '../../maths/normal.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import { normalSample } from '../../statistics/samples/normalSample.ts';
import { quantile, sorted } from '../../statistics/samples/quantiles.ts';

/** Share of the peak at which the burn begins and ends. */
export const BURN_SHARE = 0.05;
/** Readings without thrust that make a level, at least. */
const FEWEST_LEVEL = 5;
/** Standard deviations by which thrust stands out from noise. */
const STANDS_OUT = 3;
/** Noise beyond this share of the peak would cross the threshold by itself: ends are then looked for in averages. */
const NOISY = 0.009;
/** Rounds of telling the tare by the burn and the burn by the tare; the second changes next to nothing. */
const ROUNDS = 3;

/** What the stand showed without thrust, N. */
export interface Tare {
  /** Before the burn; null when too few readings lie there. */
  readonly before: number | null;
  readonly after: number | null;
  /** Standard deviation of a reading; null when no level was seen. */
  readonly noise: number | null;
  /** Readings that the levels were told from. */
  readonly readings: number;
}

export interface Firing {
  /** File, and run where it holds several. */
  readonly name: string;
  readonly tare: Tare;
  /** N, highest reading above the tare. */
  readonly peak: number;
  /** Of the burn, in the recording's own time, s. */
  readonly start: number;
  readonly end: number;
  readonly burnTime: number;
  /** N s, all of it. */
  readonly impulse: number;
  /** 95 %, from noise and tare; a wrong calibration is not in it. */
  readonly impulseInterval: Interval | null;
  /** N, impulse within the burn time over the burn time. */
  readonly average: number;
  /** Time and force without tare, from first to last thrust and one reading beyond each. */
  readonly time: Float64Array;
  readonly force: Float64Array;
  /** Readings averaged to find the ends; 1: none. */
  readonly averaged: number;
  /** Whether the recording begins or ends under thrust. */
  readonly cut: { readonly start: boolean; readonly end: boolean };
  /** Time of a reading that stands alone above its neighbours and sets the peak; null when none does. */
  readonly spike: number | null;
}

/** Why a recording is no firing. */
export type NoFiring = 'no thrust' | 'turned';

/**
 * @param time s, rising   @param reading N, as recorded   @returns why it is none, where no thrust can be seen
 */
export function readFiring(name: string, time: Float64Array, reading: Float64Array): Firing | NoFiring {
  const n = time.length;
  const ends = Math.max(1, Math.min(20, Math.floor(n / 20)));
  const first = median(reading.subarray(0, ends));
  const last = median(reading.subarray(n - ends));
  const least = reading.reduce((a, b) => Math.min(a, b));
  const most = reading.reduce((a, b) => Math.max(a, b));
  const level = Math.min(first, last);
  if (level - least > 2 * (most - level)) return 'turned';
  if (most - level < 2 * STANDS_OUT * roughness(reading)) return 'no thrust';
  let force: Float64Array = reading.map((x) => x - level);
  let burn = findBurn(time, force, null);
  if (burn === null) return 'no thrust';
  let tare: Tare = { before: null, after: null, noise: null, readings: 0 };
  for (let round = 0; round < ROUNDS; round++) {
    tare = tareOf(time, reading, burn);
    force = withoutTare(time, reading, tare, burn, force);
    burn = findBurn(time, force, tare.noise);
    if (burn === null) return 'no thrust';
  }
  const { start, end, peak, averaged } = burn;
  const from = thrustEnd(force, burn.first, -1, tare.noise);
  const to = thrustEnd(force, burn.last, 1, tare.noise);
  const burnTime = end - start;
  const impulse = integral(time, force, time[from], time[to]);
  return {
    name,
    tare,
    peak,
    start,
    end,
    burnTime,
    impulse,
    impulseInterval: impulseInterval(impulse, tare, time[to] - time[from], to - from),
    average: integral(time, force, start, end) / burnTime,
    time: time.slice(from, to + 1),
    force: force.slice(from, to + 1),
    averaged,
    cut: { start: burn.first === 0, end: burn.last === n - 1 },
    spike: spikeTime(time, force, burn.first, burn.last),
  };
}

interface Burn {
  readonly start: number;
  readonly end: number;
  readonly peak: number;
  /** Rows of the first and last reading above the threshold. */
  readonly first: number;
  readonly last: number;
  readonly averaged: number;
}

/** Standard deviation of a reading by its differences from the next: thrust changes little from one to the other. */
function roughness(reading: Float64Array): number {
  const steps = Float64Array.from({ length: reading.length - 1 }, (_, i) => Math.abs(reading[i + 1] - reading[i]));
  return median(steps) / (normalQuantile(0.75) * Math.SQRT2);
}

/** @param noise sd of a reading, null while unknown */
function findBurn(time: Float64Array, force: Float64Array, noise: number | null): Burn | null {
  const peak = force.reduce((a, b) => Math.max(a, b));
  if (!(peak > 0) || (noise !== null && peak < 2 * STANDS_OUT * noise)) return null;
  const averaged = noise === null || noise <= NOISY * peak ? 1 : 2 * Math.ceil(0.5 * (noise / (NOISY * peak)) ** 2) + 1;
  const smooth = averaged === 1 ? force : movingMean(force, averaged);
  const threshold = BURN_SHARE * peak;
  const first = smooth.findIndex((f) => f >= threshold);
  const last = smooth.findLastIndex((f) => f >= threshold);
  if (first < 0 || last <= first) return null;
  const crossing = (below: number, above: number): number =>
    time[below] + ((time[above] - time[below]) * (threshold - smooth[below])) / (smooth[above] - smooth[below]);
  return {
    start: first === 0 ? time[0] : crossing(first - 1, first),
    end: last === time.length - 1 ? time[last] : crossing(last + 1, last),
    peak,
    first,
    last,
    averaged,
  };
}

function movingMean(values: Float64Array, width: number): Float64Array {
  const half = (width - 1) / 2;
  const sums = new Float64Array(values.length + 1);
  for (let i = 0; i < values.length; i++) sums[i + 1] = sums[i] + values[i];
  return values.map((_, i) => {
    const from = Math.max(0, i - half);
    const to = Math.min(values.length, i + half + 1);
    return (sums[to] - sums[from]) / (to - from);
  });
}

/** Levels from readings clear of the burn, whose foot and tail may lie below the threshold. */
function tareOf(time: Float64Array, reading: Float64Array, burn: Burn): Tare {
  const { start, end } = burn;
  const before = reading.filter((_, i) => time[i] < start - 0.05 * (end - start));
  const after = reading.filter((_, i) => time[i] > end + 0.15 * (end - start));
  const levels = [before, after].map((part) => (part.length < FEWEST_LEVEL ? null : trimmedMean(part)));
  const away = [before, after].flatMap((part, k) => {
    const level = levels[k];
    return level === null ? [] : Array.from(part, (x) => x - level);
  });
  return {
    before: levels[0],
    after: levels[1],
    noise: away.length === 0 ? null : normalSample(away).sd,
    readings: away.length,
  };
}

/**
 * Force above the stand's level. Where the level is another after the burn than before, it moves along with the impulse
 * given: so does the weight of the propellant on a stand that feels it.
 * @param force as told so far
 */
function withoutTare(
  time: Float64Array,
  reading: Float64Array,
  { before, after }: Tare,
  { first, last }: Burn,
  force: Float64Array,
): Float64Array {
  const foot = before ?? after ?? 0;
  const step = (after ?? foot) - foot;
  if (step === 0) return reading.map((x) => x - foot);
  const given = new Float64Array(reading.length);
  for (let i = 1; i < reading.length; i++) {
    const inside = i >= first && i <= last + 1;
    given[i] = given[i - 1] + (inside ? Math.max(0, 0.5 * (time[i] - time[i - 1]) * (force[i] + force[i - 1])) : 0);
  }
  const all = given[given.length - 1];
  return reading.map((x, i) => x - foot - step * (given[i] / all));
}

/** From a row of the burn outward: the first row that cannot be told from noise, or the recording's end. */
function thrustEnd(force: Float64Array, from: number, way: 1 | -1, noise: number | null): number {
  const low = STANDS_OUT * (noise ?? 0);
  let i = from;
  while (i + way >= 0 && i + way < force.length) {
    i += way;
    if (force[i] <= low) break;
  }
  return i;
}

/** Trapezoids between two times, which need not be readings. */
function integral(time: Float64Array, force: Float64Array, from: number, to: number): number {
  let sum = 0;
  for (let i = 1; i < time.length; i++) {
    const a = Math.max(from, time[i - 1]);
    const b = Math.min(to, time[i]);
    if (!(b > a)) continue;
    const slope = (force[i] - force[i - 1]) / (time[i] - time[i - 1]);
    const middle = force[i - 1] + slope * (0.5 * (a + b) - time[i - 1]);
    sum += (b - a) * middle;
  }
  return sum;
}

/** Noise of the readings between, and of the level taken from each of them. */
function impulseInterval(impulse: number, { noise, readings }: Tare, length: number, steps: number): Interval | null {
  if (noise === null) return null;
  // The trimmed mean of n readings errs by 1.03 sd/sqrt(n).
  const sd = noise * length * Math.sqrt(1 / Math.max(1, steps) + 1.06 / readings);
  const half = normalQuantile(0.975) * sd;
  return [impulse - half, impulse + half];
}

/** A highest reading that stands above both neighbours by more than half of itself, where readings lie close. */
function spikeTime(time: Float64Array, force: Float64Array, first: number, last: number): number | null {
  if (last - first < 50) return null;
  let top = first;
  for (let i = first; i <= last; i++) if (force[i] > force[top]) top = i;
  const beside = Math.max(force[top - 1] ?? 0, force[top + 1] ?? 0);
  return beside < 0.5 * force[top] ? time[top] : null;
}

/** Without the least and the greatest tenth; a median would stand on the grid of what the stand can show. */
function trimmedMean(values: Float64Array): number {
  const ordered = sorted(values);
  const cut = Math.floor(0.1 * ordered.length);
  const kept = ordered.subarray(cut, ordered.length - cut);
  return kept.reduce((a, b) => a + b, 0) / kept.length;
}

function median(values: Float64Array): number {
  return quantile(sorted(values), 0.5);
}
