/**
 * The numbers the flight computer and its sensors work with on one flight: flat, named, SI. Filled in by
 * flight/setup.ts.
 */
import { CurveTable } from '../maths/thrustCurve.ts';
import { ChosenRule } from './rules/kinds.ts';

/** Errors and limits of three like axes. */
export class AxisTriple {
  biasX: number = 0;
  biasY: number = 0;
  biasZ: number = 0;
  scaleX: number = 0;
  scaleY: number = 0;
  scaleZ: number = 0;
  /** Standard deviation of one sample: density times the root of the sample rate. */
  noiseX: number = 0;
  noiseY: number = 0;
  noiseZ: number = 0;
  /** 0: not rounded. */
  lsb: number = 0;
  range: number = 0;
}

export class BarometerParameters {
  bias: number = 0;
  /** m, of one sample. */
  noise: number = 0;
  lag: number = 0;
  speedGain: number = 0;
  heightGain: number = 0;
}

/** Expected thrust for torque scheduling: the nominal curve and the nominal vehicle's nozzle arm. */
export class ExpectedThrust {
  readonly curve: CurveTable = new CurveTable();
  arm: number = 0;
}

export class ComputerParameters {
  /** s, as believed. */
  tick: number = 0;
  gravity: number = 0;
  readonly accelerometer: AxisTriple = new AxisTriple();
  readonly gyro: AxisTriple = new AxisTriple();
  /** Whether a barometer is fitted; its numbers are read only then. */
  barometerFitted: boolean = false;
  readonly barometer: BarometerParameters = new BarometerParameters();

  railTilt: number = 0;
  railAzimuth: number = 0;
  alignmentY: number = 0;
  alignmentZ: number = 0;

  transitionGap: number = 0;
  afterStallOneTick: boolean = false;

  liftoffThreshold: number = 0;
  liftoffConfirm: number = 0;
  replay: boolean = false;
  burnoutThreshold: number = 0;
  burnoutConfirm: number = 0;

  releaseAtHeight: boolean = false;
  releaseTime: number = 0;
  releaseHeight: number = 0;

  readonly rule: ChosenRule = new ChosenRule();
  lead: number = 0;
  /** Cosine of the believed tilt beyond which ignition is withheld. */
  guardCosTilt: number = 0;
  insideTick: boolean = false;

  kp: number = 0;
  kd: number = 0;
  ki: number = 0;
  integralLimit: number = 0;
  gimbalLimit: number = 0;
  driftDamping: number = 0;
  driftTilt: number = 0;
  /** N m; 0 turns torque scheduling off. */
  referenceTorque: number = 0;
  leastFactor: number = 0;
  mostFactor: number = 0;
  readonly expectedAscent: ExpectedThrust = new ExpectedThrust();
  readonly expectedLanding: ExpectedThrust = new ExpectedThrust();
}
