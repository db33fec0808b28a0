/**
 * A flight computer's parameters for tests that feed it samples by hand: error-free sensors, no gap, a rule that never
 * fires.
 */
import { FlightComputer } from '../../src/avionics/computer.ts';
import type { AxisTriple, ComputerParameters } from '../../src/avionics/parameters.ts';
import { ChosenRule, setRule } from '../../src/avionics/rules/kinds.ts';
import type { OnboardModel } from '../../src/avionics/rules/rule.ts';
import { curveTable } from '../../src/maths/thrustCurve.ts';
import { STANDARD_GRAVITY } from '../../src/plant/gravity.ts';

/** For rules that need none. */
export const NO_MODEL: OnboardModel = {
  mass: 1,
  casingMass: 0,
  ejectDelay: 0,
  propellantMass: 0,
  ignitionDelay: 0,
  time: [0, 1],
  thrust: [1, 1],
  dragConstant: 0,
  gravity: 9.8,
};

export function axesForTests(changes: Partial<AxisTriple> = {}): AxisTriple {
  return {
    biasX: 0,
    biasY: 0,
    biasZ: 0,
    scaleX: 0,
    scaleY: 0,
    scaleZ: 0,
    noiseX: 0,
    noiseY: 0,
    noiseZ: 0,
    lsb: 0,
    range: 1e6,
    ...changes,
  };
}

/** A rule that fires at or below a believed height, m. */
export function firingBelow(height: number): ChosenRule {
  const rule = new ChosenRule();
  setRule(rule, 'fixedHeight', { height }, NO_MODEL, 0);
  return rule;
}

/** 100 Hz, on an upright rail. */
export function computerForTests(changes: Partial<ComputerParameters> = {}): ComputerParameters {
  return {
    tick: 0.01,
    gravity: STANDARD_GRAVITY,
    accelerometer: axesForTests(),
    gyro: axesForTests(),
    barometerFitted: false,
    barometer: { bias: 0, noise: 0, lag: 0, speedGain: 0, heightGain: 0 },
    railTilt: 0,
    railAzimuth: 0,
    alignmentY: 0,
    alignmentZ: 0,
    transitionGap: 0,
    afterStallOneTick: false,
    liftoffThreshold: 13,
    liftoffConfirm: 0.05,
    replay: false,
    burnoutThreshold: 3,
    burnoutConfirm: 0.05,
    releaseAtHeight: false,
    releaseTime: 1,
    releaseHeight: 0,
    rule: firingBelow(-1e9),
    lead: 0,
    guardCosTilt: -1,
    insideTick: false,
    kp: 0,
    kd: 0,
    ki: 0,
    integralLimit: 0.1,
    gimbalLimit: 0.1,
    driftDamping: 0,
    driftTilt: 0.1,
    referenceTorque: 0,
    leastFactor: 1,
    mostFactor: 1,
    expectedAscent: { curve: curveTable([0, 3], [10, 10]), arm: 0.2 },
    expectedLanding: { curve: curveTable([0, 3], [20, 20]), arm: 0.1 },
    ...changes,
  };
}

/** What a sample says at tick k: specific force along body x, y, z, then the body rate. Rates may be left out. */
export type Feel = (k: number) => readonly number[];

/**
 * Feeds ticks `from`..`to` to a computer; `seen` looks after each. Ticks for which `stalled` holds are not run at all,
 * as the flight loop does it.
 */
export function feed(
  computer: FlightComputer,
  p: ComputerParameters,
  from: number,
  to: number,
  feel: Feel,
  seen: (k: number) => void = () => undefined,
  stalled: (k: number) => boolean = () => false,
): void {
  for (let k = from; k <= to; k++) {
    if (stalled(k)) continue;
    const force = feel(k);
    computer.sample.fill(0);
    computer.sample.set(force);
    computer.tick(p, k);
    seen(k);
  }
}

/** A computer started with these parameters. */
export function startedComputer(p: ComputerParameters): FlightComputer {
  const computer = new FlightComputer();
  computer.reset(p);
  return computer;
}
