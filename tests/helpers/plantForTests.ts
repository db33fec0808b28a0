/**
 * A bare vehicle for tests that drive the motion directly: no air forces, no motors, one kilogram, until a test says
 * otherwise.
 */
import { Motion } from '../../src/flight/motion.ts';
import { curveTable } from '../../src/maths/thrustCurve.ts';
import { RulesContact } from '../../src/plant/contact/rulesContact.ts';
import { STANDARD_GRAVITY } from '../../src/plant/gravity.ts';
import type { PlantParameters, TrueMotor } from '../../src/plant/parameters.ts';
import { FREE } from '../../src/plant/rates.ts';
import type { TrueState } from '../../src/plant/state.ts';

/** A motor without mass, whose thrust line is the axis; its curve is a token 1 N for a millisecond. */
export function motorForTests(changes: Partial<TrueMotor> = {}): TrueMotor {
  return {
    curve: curveTable([0, 1e-3], [1, 1]),
    thrustScale: 1,
    burnTimeFactor: 1,
    casingMass: 0,
    propellantMass: 0,
    station: 0.5,
    gyrationAxial: 0,
    gyrationTransverse: 0,
    nozzleStation: 1,
    angleY: 0,
    angleZ: 0,
    offsetY: 0,
    offsetZ: 0,
    ignitionDelay: 0,
    ...changes,
  };
}

/**
 * Constant `thrust` N for `duration` s; the motor sits at the centre of mass of the bare vehicle, its nozzle at the
 * tail.
 */
export function constantMotor(thrust: number, duration: number, changes: Partial<TrueMotor> = {}): TrueMotor {
  return motorForTests({ curve: curveTable([0, duration], [thrust, thrust]), ...changes });
}

export function plantForTests(changes: Partial<PlantParameters> = {}): PlantParameters {
  const turns = [0, 1, 2, 3].map((i) => (i * Math.PI) / 2);
  return {
    gravity: STANDARD_GRAVITY,
    ascent: motorForTests({ ignitionDelay: 1e6 }),
    landing: motorForTests(),
    landingLights: true,
    ejectDelay: 1e6,
    airframeMass: 1,
    airframeStation: 0.5,
    airframeInertiaAxial: 0.001,
    airframeInertiaTransverse: 0.05,
    area: 0.005,
    diameter: 0.08,
    bodyLength: 1,
    axialNose: 0,
    axialTail: 0,
    axialLegs: 0,
    normalNose: 0,
    normalNoseStation: 0.5,
    normalTail: 0,
    normalTailStation: 0.5,
    normalLegs: 0,
    normalLegsStation: 0.5,
    crossflow: 0,
    crossflowStation: 0.5,
    rollAsymmetry: 0,
    rollDamping: 0,
    servoLag: 0.025,
    servoRate: 5,
    jamsY: false,
    jamsZ: false,
    jamTime: 0,
    jamAngle: 0,
    railLength: 1,
    railTilt: 0,
    railAzimuth: 0,
    siteTemperature: 288.15,
    sitePressure: 101325,
    windSpeed: 0,
    windExponent: 1 / 7,
    windEast: 1,
    windNorth: 0,
    gustScale: 0,
    groundX: 0,
    groundY: 0,
    groundZ: 1,
    legCount: 4,
    legRadius: 0.2,
    footStation: 1,
    deploymentTime: 0.3,
    legCos: Float64Array.from(turns, Math.cos),
    legSin: Float64Array.from(turns, Math.sin),
    legFails: new Float64Array(4),
    springs: false,
    footStiffness: 0,
    footDamping: 0,
    footStrength: Number.POSITIVE_INFINITY,
    friction: 0.5,
    contactSteps: 1,
    ...changes,
  };
}

/** A motion on the pad at time 0, over ground judged by rules. */
export function motionOnPad(p: PlantParameters): Motion {
  const motion = new Motion(new RulesContact());
  motion.reset(p);
  return motion;
}

/** A motion already in free flight at time 0 with `state`; the air's density is held, without slope or wind. */
export function freeMotion(p: PlantParameters, state: Partial<TrueState> = {}, density = 0): Motion {
  const motion = motionOnPad(p);
  motion.hold = FREE;
  motion.held.density = density;
  Object.assign(motion.s, state);
  return motion;
}

/** Flies on to `end` in whole ticks of about `tick` s. @returns whether it touched the ground and stopped there. */
export function flyTo(motion: Motion, p: PlantParameters, end: number, tick = 0.01): boolean {
  const from = motion.time;
  const ticks = Math.max(1, Math.round((end - from) / tick));
  for (let k = 1; k <= ticks; k++) {
    if (motion.advance(p, k === ticks ? end : from + ((end - from) * k) / ticks, 1)) return true;
    motion.normalise();
  }
  return false;
}

/** Angular momentum in space, about the centre of mass. */
export function spaceMomentum(s: TrueState, axial: number, transverse: number): [number, number, number] {
  return inSpace(s, axial * s.wx, transverse * s.wy, transverse * s.wz);
}

/** A body vector in the local frame. */
export function inSpace(s: TrueState, x: number, y: number, z: number): [number, number, number] {
  const { qw: w, qx: i, qy: j, qz: k } = s;
  return [
    (1 - 2 * (j * j + k * k)) * x + 2 * (i * j - w * k) * y + 2 * (i * k + w * j) * z,
    2 * (i * j + w * k) * x + (1 - 2 * (i * i + k * k)) * y + 2 * (j * k - w * i) * z,
    2 * (i * k - w * j) * x + 2 * (j * k + w * i) * y + (1 - 2 * (i * i + j * j)) * z,
  ];
}
