/** What `alight measure` answers, of whatever was measured. All numbers SI. Measures nothing itself. */
import type { InputKey } from '../../inputs/catalogue.ts';
import type { Distribution } from '../../inputs/distributions.ts';
import { programVersion } from '../../results/header.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import type { ThrustCurve } from '../../study/study.ts';

/** All intervals of a measurement. */
export const LEVEL = 0.95;

/** A number with its interval; null where the recording leaves it open. */
export interface Estimate {
  readonly value: number;
  readonly interval: Interval | null;
}

/** How one input varies by what was measured. */
export interface MeasuredInput {
  readonly key: InputKey;
  readonly distribution: Distribution;
  /** What is to be known of it, for the line in the block; '' for nothing. */
  readonly note: string;
}

/** What every measurement says. */
interface MeasurementFacts {
  readonly program: string;
  /** The files, as given. */
  readonly files: readonly string[];
  readonly level: number;
  /** One sentence to act on. */
  readonly finding: string;
  /** How it was found, a line each. */
  readonly how: readonly string[];
  readonly warnings: readonly string[];
  /** Lines of YAML to paste into a study. */
  readonly block: readonly string[];
}

export function measurementFacts(files: readonly string[]): Pick<MeasurementFacts, 'program' | 'files' | 'level'> {
  return { program: `alight ${programVersion()}`, files, level: LEVEL };
}

/** One firing, without its readings. */
export interface FiringFound {
  readonly name: string;
  readonly peak: number;
  readonly burnTime: number;
  readonly impulse: Estimate;
  readonly average: number;
  /** From the command to the start of the mean curve, s; null where the moment of the command is not known. */
  readonly delay: number | null;
  /** N, without thrust, before and after; null where too few readings tell. */
  readonly tare: { readonly before: number | null; readonly after: number | null; readonly noise: number | null };
}

/** How far firings differ. */
export interface Spread {
  readonly what: 'impulse' | 'burnTime' | 'delay';
  readonly mean: Estimate;
  /** Standard deviation: a share of the mean for impulse and burn time, s for the delay. */
  readonly sd: Estimate;
  /** The next firing lies there nine times in ten; in the unit of sd about 1, or s. */
  readonly next: Interval;
  readonly distribution: Distribution;
}

export interface MotorMeasurement extends MeasurementFacts {
  readonly kind: 'motor';
  readonly motor: 'ascent' | 'landing';
  readonly firings: readonly FiringFound[];
  readonly impulse: Estimate;
  readonly burnTime: Estimate;
  readonly average: Estimate;
  readonly peak: Estimate;
  /** Empty of a single firing. */
  readonly spreads: readonly Spread[];
  /** Pearson's, of impulse and burn time; null of fewer than three firings. */
  readonly correlation: Estimate | null;
  readonly curve: ThrustCurve;
  /** Each firing as drawn: time from its start of burn and force without tare, thinned. */
  readonly traces: readonly ThrustCurve[];
}

export const AXES = ['X', 'Y', 'Z'] as const;
export type Sensor = 'accelerometer' | 'gyro';

/** A point of the curve of deviations over averaging times. */
export interface CurvePoint {
  readonly tau: number;
  readonly deviation: number;
}

/** One axis over all recordings. m/s^2 or rad/s. */
export interface AxisFound {
  readonly sensor: Sensor;
  readonly axis: (typeof AXES)[number];
  /** Of each recording, in order. */
  readonly means: readonly Estimate[];
  /** Standard deviation of a reading. */
  readonly sd: number;
  /** Per root hertz; null where it cannot be told. */
  readonly density: Estimate | null;
  readonly densityAtMost: number | null;
  /** null where no grid of values is seen. */
  readonly step: Estimate | null;
  /** Bias instability; `atMost` where longer averages would still be quieter. */
  readonly wander: Estimate & { readonly atMost: boolean; readonly tau: number };
  /** Of the first recording. */
  readonly curve: readonly CurvePoint[];
}

/** Bias and scale error of one axis from gravity up and down it. */
export interface GravityFound {
  readonly axis: (typeof AXES)[number];
  readonly bias: Estimate;
  readonly scale: Estimate;
}

/** How far the level of a sensor's axes changes from one recording to the next, lying alike. */
export interface TurnOn {
  readonly sensor: Sensor;
  /** Pooled over the axes. */
  readonly sd: Estimate;
  readonly freedom: number;
}

export interface ClockFound {
  readonly interval: number;
  /** Standard deviation of the intervals; null of too few. */
  readonly jitter: Estimate | null;
  readonly longest: number;
  /** Readings missing, and in how many gaps. */
  readonly missing: number;
  readonly gaps: number;
  /** Gaps a second. */
  readonly gapRate: Estimate;
  /** Mean length of a gap beyond the usual interval, s; null without one. */
  readonly gapLength: number | null;
  /** s recorded in all. */
  readonly length: number;
}

export interface SensorMeasurement extends MeasurementFacts {
  readonly kind: 'sensor';
  /** m/s^2, what a level sensor was taken to feel. */
  readonly gravity: number;
  readonly clock: ClockFound;
  readonly axes: readonly AxisFound[];
  /** Empty of one recording, or of one in each position. */
  readonly turnOn: readonly TurnOn[];
  /** Axes along which gravity was measured both ways. */
  readonly byGravity: readonly GravityFound[];
}

export const FIT_KINDS = ['normal', 'lognormal', 'uniform', 'triangular'] as const;
export type FitKind = (typeof FIT_KINDS)[number];

/** A candidate held against measured values. */
export interface Fit {
  readonly kind: FitKind;
  /** What to draw from: wider than the fit for what few values leave open. */
  readonly distribution: Distribution;
  /** The fitted numbers, in the input's unit (logSd: none). */
  readonly numbers: readonly (Estimate & { readonly name: string })[];
  /** Of lying as far from it as these values, were it true. */
  readonly chance: number;
  readonly refused: boolean;
  /** Akaike's, smaller is likelier; from one list of values only. */
  readonly criterion: number;
}

/** A value far from the others. */
export interface Outlier {
  /** Of the file. */
  readonly line: number;
  readonly value: number;
}

export interface ValuesMeasurement extends MeasurementFacts {
  readonly kind: 'values';
  readonly input: InputKey;
  /** The input's. */
  readonly unit: string;
  /** Ascending. */
  readonly values: readonly number[];
  readonly mean: Estimate;
  /** null of one value. */
  readonly sd: Estimate | null;
  /** Empty of too few values, and of inputs that are yes or no or a direction. */
  readonly fits: readonly Fit[];
  /** The fit to draw from; `sample`: the values themselves; `student`: too few to tell shapes; `chance`: yes or no. */
  readonly chosen: FitKind | 'sample' | 'student' | 'chance';
  readonly distribution: Distribution;
  /** Where the next value lies nine times in ten; null of a chance. */
  readonly next: Interval | null;
  readonly outliers: readonly Outlier[];
}

/** One drop on the legs. */
export interface DropFound {
  /** Of the file. */
  readonly line: number;
  /** m, of the feet above the ground. */
  readonly drop: number;
  /** m, to which they came up again. */
  readonly rebound: number;
  /** Damping of one leg, N s/m; null where it did not leave the ground. */
  readonly damping: number | null;
}

export interface LegsMeasurement extends MeasurementFacts {
  readonly kind: 'legs';
  /** kg, of all that was dropped. */
  readonly mass: number;
  readonly legs: number;
  /** N/m, of one leg. */
  readonly stiffness: number;
  readonly drops: readonly DropFound[];
  /** Of one leg, N s/m. */
  readonly damping: Estimate;
  /** Of critical damping. */
  readonly ratio: Estimate;
  /** Of damping over its mean; null of fewer than three drops with a rebound. */
  readonly distribution: Distribution | null;
  /** Height of rebound over height of drop, by the damping found. */
  readonly curve: readonly { readonly drop: number; readonly rebound: number }[];
}

export type Measurement = MotorMeasurement | SensorMeasurement | ValuesMeasurement | LegsMeasurement;
