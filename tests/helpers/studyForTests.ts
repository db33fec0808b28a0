/**
 * A complete, valid study for tests that need one without a file: the invented demo vehicle, thistledown. Loads
 * nothing.
 */
import type { Distribution } from '../../src/inputs/distributions.ts';
import type { InertialSensor, Motor, RuleChoice, Study, Vehicle } from '../../src/study/study.ts';

const DEG = Math.PI / 180;
const TURN = 2 * Math.PI;
/** m; the demo’s motors share one diameter. */
const MOTOR_RADIUS = 0.0145;

const normal = (mean: number, sd: number): Distribution => ({ kind: 'normal', mean, sd });
const uniform = (low: number, high: number): Distribution => ({ kind: 'uniform', low, high });
const chance = (probability: number): Distribution => ({ kind: 'chance', probability });

/** 50.1 N s. */
const ASCENT: Motor = {
  curve: {
    time: [0, 0.04, 0.15, 0.35, 0.6, 1.92, 2.98, 3.2],
    thrust: [0, 18.6, 26.3, 20.1, 16.2, 15.5, 13.9, 0],
  },
  casingMass: 0.03,
  propellantMass: 0.027,
  station: 0.812,
  length: 0.095,
  radius: MOTOR_RADIUS,
  nozzleStation: 0.865,
  ignitionDelay: 0,
  temperature: null,
};

/** 59.2 N s: a short strong peak, then a long sustain just under the weight. */
const LANDING: Motor = {
  curve: {
    time: [0, 0.05, 0.15, 0.64, 0.79, 0.99, 4.2, 4.55],
    thrust: [0, 30, 44, 37.7, 10.6, 9.6, 7.7, 0],
  },
  casingMass: 0.027,
  propellantMass: 0.03,
  station: 0.715,
  length: 0.09,
  radius: MOTOR_RADIUS,
  nozzleStation: 0.765,
  ignitionDelay: 0.11,
  temperature: null,
};

const VEHICLE: Vehicle = {
  body: { length: 0.86, diameter: 0.094 },
  airframe: { mass: 0.93, station: 0.56, inertiaAxial: 0.0017, inertiaTransverse: 0.043 },
  aerodynamics: {
    axialNose: 0.55,
    axialTail: 0.95,
    normalNose: { slope: 6, station: 0.63 },
    normalTail: { slope: 4, station: 0.42 },
    crossflowDrag: 1.2,
    planformArea: 0.084,
    planformStation: 0.45,
    rollAsymmetry: 0,
    rollDamping: -0.6,
    legsAxial: 0.7,
    legsNormal: { slope: 1.2, station: 0.8 },
  },
  gimbal: { limit: 6 * DEG, lag: 0.025, rateLimit: 5.2 },
  legs: {
    count: 4,
    azimuth: 45 * DEG,
    radius: 0.27,
    footStation: 0.9,
    release: { kind: 'afterApogee', time: 1 },
    deploymentTime: 0.3,
    stiffness: null,
    damping: null,
    strength: null,
  },
};

const ACCELEROMETER: InertialSensor = { noise: 0.0015, lsb: 0.0048, range: 157 };
const GYRO: InertialSensor = { noise: 8.7e-5, lsb: 0.00053, range: 17.45 };

const rule = (name: string, kind: string, constants: Readonly<Record<string, number>>): RuleChoice => ({
  name,
  kind,
  constants,
  lead: 0.11,
  tiltGuard: 35 * DEG,
  insideTick: false,
});

const RULES: readonly RuleChoice[] = [
  rule('fixed height', 'fixedHeight', { height: 7 }),
  rule('apogee line', 'apogeeLine', { c0: -3.4, c1: 0.24 }),
  rule('speed curve', 'speedCurve', { c0: 11.04, c1: -1.6, c2: 0.0623 }),
];

const motorInputs = (name: 'ascent' | 'landing', impulseSd: number): Record<string, Distribution> => ({
  [`${name}.impulseFactor`]: normal(1, impulseSd),
  [`${name}.burnTimeFactor`]: normal(1, 0.03),
  [`${name}.misalignmentY`]: normal(0, 0.3 * DEG),
  [`${name}.misalignmentZ`]: normal(0, 0.3 * DEG),
  [`${name}.offsetY`]: normal(0, 0.0003),
  [`${name}.offsetZ`]: normal(0, 0.0003),
});

const onEachAxis = (key: string, d: Distribution): Record<string, Distribution> => ({ [`${key}X`]: d, [`${key}Y`]: d, [`${key}Z`]: d });

const INPUTS: Readonly<Record<string, Distribution>> = {
  ...motorInputs('ascent', 0.03),
  ...motorInputs('landing', 0.02),
  'landing.ignitionDelay': { kind: 'lognormal', median: 0.11, logSd: 0.25 },
  'gimbal.trimY': normal(0, 0.2 * DEG),
  'gimbal.trimZ': normal(0, 0.2 * DEG),
  'airframe.mass': normal(0.93, 0.0093),
  'airframe.station': normal(0.56, 0.003),
  'air.axialFactor': normal(1, 0.08),
  'air.lateralFactor': normal(1, 0.1),
  'air.rollAsymmetry': normal(0, 0.02),
  'rail.tilt': normal(0, 0.5 * DEG),
  'rail.azimuth': uniform(0, TURN),
  'wind.speed': uniform(0, 4),
  'wind.direction': uniform(0, TURN),
  'site.temperature': uniform(278, 300),
  ...onEachAxis('accelerometer.bias', normal(0, 0.035)),
  ...onEachAxis('accelerometer.scale', normal(0, 0.002)),
  ...onEachAxis('gyro.bias', normal(0, 0.05 * DEG)),
  ...onEachAxis('gyro.scale', normal(0, 0.003)),
  'alignment.y': normal(0, 0.3 * DEG),
  'alignment.z': normal(0, 0.3 * DEG),
  'timing.transitionGap': uniform(0, 0.04),
  'legs.failure1': chance(0.015),
  'legs.failure2': chance(0.015),
  'legs.failure3': chance(0.015),
  'legs.failure4': chance(0.015),
  'landing.igniterFails': chance(0.015),
  'ascent.casingStuck': chance(0.005),
};

const DEMO: Study = {
  title: 'thistledown',
  seed: '1',
  flights: 2000,
  design: 'independent',
  vehicle: VEHICLE,
  ascent: ASCENT,
  landing: LANDING,
  ejectDelay: 0.02,
  rail: { length: 1.2, tilt: 0, azimuth: 0 },
  computer: { rate: 100, gravity: 9.80665, transitionGap: 0.02, stallRate: 0.15, stallDuration: 0.03, afterStall: 'measuredTime' },
  substeps: 1,
  sensors: {
    rounding: true,
    imu: { station: 0.36, offsetY: 0.006, offsetZ: -0.004 },
    accelerometer: ACCELEROMETER,
    gyro: GYRO,
    barometer: null,
  },
  phases: { liftoffThreshold: 13, liftoffConfirm: 0.05, replay: false, burnoutThreshold: 3, burnoutConfirm: 0.05 },
  control: {
    kp: 0.5,
    kd: 0.12,
    ki: 0.25,
    integralLimit: 0.1,
    torqueScheduling: { thrust: 18, arm: 0.19, least: 0.4, most: 2.5 },
    driftDamping: 0.06,
    driftTilt: 8 * DEG,
  },
  rules: RULES,
  limits: { sink: 3, slide: 1.5, tilt: 15 * DEG, lostControlTilt: 45 * DEG, radius: null, time: 120 },
  touchdown: { model: 'rules', step: 0.0005 },
  ground: { friction: 0.5, stiffness: null },
  site: {
    latitude: null,
    elevation: 0,
    temperature: 288.15,
    pressure: 101325,
    windSpeed: 2,
    windDirection: 250 * DEG,
    windExponent: 1 / 7,
    gustScale: 1,
    groundSlope: 0,
    groundAzimuth: 0,
  },
  inputs: INPUTS,
  sample: null,
  stays: {},
  campaign: {
    attempts: 20,
    flightsADay: 3,
    motorsInBatch: 6,
    rebuild: { sink: 8, tippedOver: true },
    observation: { error: 0.3, aim: 0 },
    costs: null,
  },
  correlations: [],
};

function freeze<T>(value: T): T {
  if (typeof value === 'object' && value !== null && !Object.isFrozen(value)) {
    Object.freeze(value);
    for (const part of Object.values(value)) freeze(part);
  }
  return value;
}

/** The demo study, frozen; `changes` replace whole top-level fields, e.g. `demoStudy({ flights: 16, inputs: {} })`. */
export function demoStudy(changes: Partial<Study> = {}): Study {
  return freeze({ ...DEMO, ...changes });
}

/** The demo study with some inputs' distributions replaced or added. */
export function demoStudyWith(inputs: Readonly<Record<string, Distribution>>): Study {
  return demoStudy({ inputs: { ...INPUTS, ...inputs } });
}

/** The demo study with its touchdown simulated: legs of 600 N/m, 17 N s/m and 60 N, and no limits. */
export function springsStudy(changes: Partial<Study> = {}): Study {
  const { vehicle, limits } = DEMO;
  return demoStudy({
    touchdown: { model: 'springs', step: 0.0005 },
    vehicle: { ...vehicle, legs: { ...vehicle.legs, stiffness: 600, damping: 17, strength: 60 } },
    limits: { ...limits, sink: null, slide: null, tilt: null },
    inputs: {
      ...INPUTS,
      'ground.friction': normal(0.5, 0.1),
      'legs.stiffnessFactor': normal(1, 0.1),
      'legs.dampingFactor': normal(1, 0.15),
      'legs.strengthFactor': normal(1, 0.1),
    },
    ...changes,
  });
}

/**
 * The same with fewer ticks a second, and so less time for a flight, where nothing hangs on how fine they are.
 * @param rate Hz
 */
export function coarseStudy(changes: Partial<Study> = {}, rate = 50): Study {
  const study = demoStudy(changes);
  return { ...study, computer: { ...study.computer, rate } };
}
