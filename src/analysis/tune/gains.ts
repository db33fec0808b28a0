/** The numbers of the attitude control that can be tuned, what each may be, and the values of a line along one. Flies nothing. */
import { UserError } from '../../errors.ts';
import { suggestion } from '../../maths/nearest.ts';
import { fitShares } from '../../statistics/sensitivity/quadraticSurface.ts';
import type { Control } from '../../study/study.ts';
import type { Bounds } from '../drops/heightCoordinates.ts';

export const GAIN_KEYS = ['kp', 'kd', 'ki', 'driftDamping', 'driftTilt'] as const;
export type GainKey = (typeof GAIN_KEYS)[number];
export type Gains = Readonly<Record<GainKey, number>>;

export interface GainRow {
  readonly unit: string;
  readonly meaning: string;
  readonly low: number;
  readonly high: number;
  /** SI; where a line begins whose gain is 0: of the size that vehicles like the examples have. */
  readonly usual: number;
}

const DEG = Math.PI / 180;

/** Bounds as the study's own (study/schema.ts). */
export const GAIN_ROWS: Readonly<Record<GainKey, GainRow>> = {
  kp: { unit: '', meaning: 'deflection per attitude error', low: 0, high: 100, usual: 0.5 },
  kd: { unit: 's', meaning: 'deflection per rate', low: 0, high: 100, usual: 0.12 },
  ki: { unit: '1/s', meaning: 'deflection per summed error', low: 0, high: 100, usual: 0.25 },
  driftDamping: { unit: 'rad s/m', meaning: 'lean against each m/s of believed drift', low: 0, high: 10, usual: 0.05 },
  driftTilt: { unit: 'rad', meaning: 'most lean the drift damping may ask for', low: 0, high: 45 * DEG, usual: 8 * DEG },
};

export interface FreeGain extends Bounds {
  readonly key: GainKey;
}

/** Gains as they would be flown: three digits are all that flights can tell. */
export const DIGITS = 3;

export function gainsOf(control: Control): Gains {
  const { kp, kd, ki, driftDamping, driftTilt } = control;
  return { kp, kd, ki, driftDamping, driftTilt };
}

/**
 * Those that are searched: all that no bounds hold.
 * @throws UserError for bounds of what is no gain, or outside what a study may have, or where none is left
 */
export function freeGains(bounds: Readonly<Record<string, Bounds>>): FreeGain[] {
  const problems = Object.entries(bounds).flatMap(([key, { low, high }]): string[] => {
    const own = GAIN_KEYS.find((gain) => gain === key);
    if (own === undefined) return [`--bounds: read "${key}"; expected one of ${GAIN_KEYS.join(', ')}.${suggestion(key, GAIN_KEYS)}`];
    const row = GAIN_ROWS[own];
    if (low <= high && low >= row.low && high <= row.high) return [];
    return [`--bounds ${key}: read ${low}..${high}; expected low..high within ${row.low} to ${row.high} ${row.unit}`.trimEnd()];
  });
  if (problems.length > 0) throw new UserError(problems);
  const free = GAIN_KEYS.map((key): FreeGain => ({ key, ...within(bounds, key) })).filter(({ low, high }) => low < high);
  if (free.length === 0) throw new UserError('--bounds: every gain is held; leave at least one free');
  return free;
}

/** What is asked for, or what a study may have. */
function within(bounds: Readonly<Record<string, Bounds>>, key: GainKey): Bounds {
  const { low, high } = Object.hasOwn(bounds, key) ? bounds[key] : GAIN_ROWS[key];
  return { low, high };
}

/** A gain that bounds hold stands where they hold it, any other within them. */
export function heldWithin(gains: Gains, bounds: Readonly<Record<string, Bounds>>): Gains {
  const held = GAIN_KEYS.map((key) => {
    const { low, high } = within(bounds, key);
    return [key, Math.min(high, Math.max(low, gains[key]))];
  });
  return Object.fromEntries(held) as Gains;
}

/** Lean is nothing where drift is not damped: such a line would tell nothing. */
export function matters(key: GainKey, gains: Gains): boolean {
  return key !== 'driftTilt' || gains.driftDamping > 0;
}

/** A line of values along one gain: equal factors apart, with the place of each in steps of the first to the last, -1 to 1. */
export interface Line {
  readonly values: readonly number[];
  readonly places: readonly number[];
}

/**
 * @param reach factor up and down from the present value   @param count odd
 * @returns values within the bounds, ascending, the present among them; of a gain that is 0 the line lies about what is usual
 */
export function lineAlong({ key, low, high }: FreeGain, present: number, reach: number, count: number): Line {
  const middle = Math.min(high, Math.max(low, present > 0 ? present : GAIN_ROWS[key].usual));
  const half = (count - 1) / 2;
  const places = Array.from({ length: count }, (_, i) => (i - half) / half);
  const all = places.map((place) => ({ place, value: place === 0 ? middle : Number((middle * reach ** place).toPrecision(DIGITS)) }));
  const kept = all.filter(({ value }) => value >= low && value <= high);
  return { values: kept.map(({ value }) => value), places: kept.map(({ place }) => place) };
}

/** Of the best share, below which a value says only where not to go: a cliff is no quadratic. */
const CLIFF = 0.5;
/** Places at which the fitted curve is looked at. */
const LOOKS = 201;

/**
 * Where along a line most flights are good, by a quadratic through the log odds of the values about the best one, as far
 * as no cliff lies between.
 * @param good and flights of each value, which share their luck
 */
export function bestAlong({ values, places }: Line, good: readonly number[], flights: number): number {
  const top = good.indexOf(Math.max(...good));
  const near = (i: number): boolean => good[i] >= CLIFF * good[top];
  let [first, last] = [top, top];
  while (first > 0 && near(first - 1)) first--;
  while (last < values.length - 1 && near(last + 1)) last++;
  if (last - first < 3 || good[top] === 0) return values[top];
  const [from, to] = [places[first], places[last]];
  const x = (place: number): number => (2 * (place - from)) / (to - from) - 1;
  const part = <T>(all: readonly T[]): T[] => all.slice(first, last + 1);
  const surface = fitShares(
    part(places).map((place) => [x(place)]),
    part(good),
    part(good).map(() => flights),
  );
  const looks = Array.from({ length: LOOKS }, (_, i) => (2 * i) / (LOOKS - 1) - 1);
  const best = looks.reduce((a, b) => (surface([b]) > surface([a]) ? b : a));
  // Between the line's ends by equal factors, as the values are.
  const value = values[first] * (values[last] / values[first]) ** ((best + 1) / 2);
  return Number(Math.min(values[last], Math.max(values[first], value)).toPrecision(DIGITS));
}
