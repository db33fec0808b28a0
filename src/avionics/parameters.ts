/** The numbers the flight computer and its sensors work with on one flight: flat, named, SI. Filled in by flight/setup.ts. */
import type { CurveTable } from '../maths/thrustCurve.ts';
import type { RuleMargin } from './rules/rule.ts';

/** Errors and limits of three like axes. */
export interface AxisTriple {
  readonly biasX: number;
  readonly biasY: number;
  readonly biasZ: number;
  readonly scaleX: number;
  readonly scaleY: number;
  readonly scaleZ: number;
  /** Standard deviation of one sample: density times the root of the sample rate. */
  readonly noiseX: number;
  readonly noiseY: number;
  readonly noiseZ: number;
  /** 0: not rounded. */
  readonly lsb: number;
  readonly range: number;
}

export interface BarometerParameters {
  readonly bias: number;
  /** m, of one sample. */
  readonly noise: number;
  readonly lag: number;
  readonly speedGain: number;
  readonly heightGain: number;
}

/** Expected thrust for torque scheduling: the nominal curve and the nominal vehicle's nozzle arm. */
export interface ExpectedThrust {
  readonly curve: CurveTable;
  readonly arm: number;
}

export interface ComputerParameters {
  /** s, as believed. */
  readonly tick: number;
  readonly gravity: number;
  readonly accelerometer: AxisTriple;
  readonly gyro: AxisTriple;
  readonly barometer: BarometerParameters | null;

  readonly railTilt: number;
  readonly railAzimuth: number;
  readonly alignmentY: number;
  readonly alignmentZ: number;

  readonly transitionGap: number;
  readonly afterStallOneTick: boolean;

  readonly liftoffThreshold: number;
  readonly liftoffConfirm: number;
  readonly replay: boolean;
  readonly burnoutThreshold: number;
  readonly burnoutConfirm: number;

  readonly releaseAtHeight: boolean;
  readonly releaseTime: number;
  readonly releaseHeight: number;

  readonly rule: RuleMargin;
  readonly lead: number;
  /** Cosine of the believed tilt beyond which ignition is withheld. */
  readonly guardCosTilt: number;
  readonly insideTick: boolean;

  readonly kp: number;
  readonly kd: number;
  readonly ki: number;
  readonly integralLimit: number;
  readonly gimbalLimit: number;
  readonly driftDamping: number;
  readonly driftTilt: number;
  /** N m; 0 turns torque scheduling off. */
  readonly referenceTorque: number;
  readonly leastFactor: number;
  readonly mostFactor: number;
  readonly expectedAscent: ExpectedThrust;
  readonly expectedLanding: ExpectedThrust;
}
