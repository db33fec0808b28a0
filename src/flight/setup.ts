/**
 * From a study and one input vector to the numbers one flight is flown with: the only place where inputs meet the model.
 * Draws nothing, flies nothing.
 */
import type { ComputerParameters, ExpectedThrust } from '../avionics/parameters.ts';
import type { OnboardModel, RuleMargin } from '../avionics/rules/rule.ts';
import { CATALOGUE, type InputKey, inputIndex } from '../inputs/catalogue.ts';
import { type CurveTable, curveTable } from '../maths/thrustCurve.ts';
import { density } from '../plant/air.ts';
import { normalGravity, STANDARD_GRAVITY } from '../plant/gravity.ts';
import type { PlantParameters, TrueMotor } from '../plant/parameters.ts';
import type { TouchdownLimits } from '../plant/touchdown.ts';
import type { Motor, RuleChoice, Study } from '../study/study.ts';

/** All one flight needs, beside its noise. */
export interface FlightSetup {
  readonly plant: PlantParameters;
  readonly computer: ComputerParameters;
  readonly limits: TouchdownLimits;
  /** m, or Infinity. */
  readonly allowedRadius: number;
  /** Cosine of the true tilt beyond which control is lost. */
  readonly lostControlCos: number;
  /** s, true. */
  readonly timeLimit: number;
  /** s, true length of a tick. */
  readonly tick: number;
  readonly substeps: number;
  readonly stallRate: number;
  readonly stallDuration: number;
  readonly imuStation: number;
  readonly imuY: number;
  readonly imuZ: number;
}

/** What all flights of a study share: made once per worker. */
export interface StudyTables {
  readonly ascentCurve: CurveTable;
  readonly landingCurve: CurveTable;
  readonly expectedAscent: ExpectedThrust;
  readonly expectedLanding: ExpectedThrust;
  readonly gravity: number;
}

export function studyTables(study: Study): StudyTables {
  const ascentCurve = curveTable(study.ascent.curve.time, study.ascent.curve.thrust);
  const landingCurve = curveTable(study.landing.curve.time, study.landing.curve.thrust);
  const { airframe } = study.vehicle;
  const centre = (ascentMass: number): number => {
    const landingMass = study.landing.casingMass + study.landing.propellantMass;
    const mass = airframe.mass + ascentMass + landingMass;
    return (airframe.mass * airframe.station + ascentMass * study.ascent.station + landingMass * study.landing.station) / mass;
  };
  const { latitude, elevation } = study.site;
  return {
    ascentCurve,
    landingCurve,
    expectedAscent: {
      curve: ascentCurve,
      arm: study.ascent.nozzleStation - centre(study.ascent.casingMass + study.ascent.propellantMass),
    },
    expectedLanding: { curve: landingCurve, arm: study.landing.nozzleStation - centre(0) },
    gravity: latitude === null ? STANDARD_GRAVITY : normalGravity(latitude, elevation),
  };
}

/** What the flight computer may know of the vehicle before the flight: the study's nominal numbers. */
export function onboardModel(study: Study): OnboardModel {
  const { vehicle, ascent, landing, site, computer } = study;
  const area = (Math.PI / 4) * vehicle.body.diameter ** 2;
  const rho = density(site.temperature, site.pressure, 0);
  return {
    mass: vehicle.airframe.mass + ascent.casingMass + landing.casingMass + landing.propellantMass,
    casingMass: ascent.casingMass,
    ejectDelay: study.ejectDelay,
    propellantMass: landing.propellantMass,
    ignitionDelay: landing.ignitionDelay,
    time: landing.curve.time,
    thrust: landing.curve.thrust,
    dragConstant: 0.5 * rho * area * (vehicle.aerodynamics.axialTail + vehicle.aerodynamics.legsAxial),
    gravity: computer.gravity,
  };
}

/** @param inputs one value per catalogue row, SI   @param rule the prepared rule, `choice` its lead, guard and timing */
export function flightSetup(study: Study, tables: StudyTables, choice: RuleChoice, rule: RuleMargin, inputs: Float64Array): FlightSetup {
  const tick = (1 / study.computer.rate) * (1 + input(inputs, 'timing.clockError'));
  const servoLag = input(inputs, 'gimbal.lag');
  const { limits } = study;
  return {
    plant: plantParameters(study, tables, inputs),
    computer: computerParameters(study, tables, choice, rule, inputs),
    limits: { sink: limits.sink, slide: limits.slide, tilt: limits.tilt },
    allowedRadius: limits.radius ?? Number.POSITIVE_INFINITY,
    lostControlCos: Math.cos(limits.lostControlTilt),
    timeLimit: limits.time,
    tick,
    // RK4 leaves its stability region near 2.8 servo time constants a step.
    substeps: Math.max(study.substeps, Math.ceil(tick / (2 * servoLag))),
    stallRate: input(inputs, 'timing.stallRate'),
    stallDuration: input(inputs, 'timing.stallDuration'),
    imuStation: input(inputs, 'imu.station'),
    imuY: input(inputs, 'imu.offsetY'),
    imuZ: input(inputs, 'imu.offsetZ'),
  };
}

const LEG_FAILURES = CATALOGUE.map(({ key }) => key).filter((key) => key.startsWith('legs.failure'));

function input(inputs: Float64Array, key: InputKey): number {
  return inputs[inputIndex(key)];
}

function trueMotor(motor: Motor, name: 'ascent' | 'landing', curve: CurveTable, inputs: Float64Array): TrueMotor {
  const burnTimeFactor = input(inputs, `${name}.burnTimeFactor`);
  return {
    curve,
    thrustScale: input(inputs, `${name}.impulseFactor`) / burnTimeFactor,
    burnTimeFactor,
    casingMass: motor.casingMass,
    propellantMass: input(inputs, `${name}.propellantMass`),
    station: motor.station,
    gyrationAxial: motor.radius ** 2 / 2,
    gyrationTransverse: (3 * motor.radius ** 2 + motor.length ** 2) / 12,
    nozzleStation: motor.nozzleStation,
    angleY: input(inputs, 'gimbal.trimY') + input(inputs, `${name}.misalignmentY`),
    angleZ: input(inputs, 'gimbal.trimZ') + input(inputs, `${name}.misalignmentZ`),
    offsetY: input(inputs, `${name}.offsetY`),
    offsetZ: input(inputs, `${name}.offsetZ`),
    ignitionDelay: input(inputs, `${name}.ignitionDelay`),
  };
}

function plantParameters(study: Study, tables: StudyTables, inputs: Float64Array): PlantParameters {
  const v = (key: InputKey): number => input(inputs, key);
  const { body, legs, aerodynamics: aero } = study.vehicle;
  const axial = v('air.axialFactor');
  const lateral = v('air.lateralFactor');
  const slope = v('ground.slope');
  const falls = v('ground.azimuth');
  const from = v('wind.direction');
  const leg = Array.from({ length: legs.count }, (_, i) => legs.azimuth + (2 * Math.PI * i) / legs.count);
  return {
    gravity: tables.gravity,
    ascent: trueMotor(study.ascent, 'ascent', tables.ascentCurve, inputs),
    landing: trueMotor(study.landing, 'landing', tables.landingCurve, inputs),
    landingLights: v('landing.igniterFails') !== 1 && v('ascent.casingStuck') !== 1,
    ejectDelay: study.ejectDelay,
    airframeMass: v('airframe.mass'),
    airframeStation: v('airframe.station'),
    airframeInertiaAxial: v('airframe.inertiaAxial'),
    airframeInertiaTransverse: v('airframe.inertiaTransverse'),
    area: (Math.PI / 4) * body.diameter ** 2,
    diameter: body.diameter,
    bodyLength: body.length,
    axialNose: aero.axialNose * axial * v('air.axialNoseFactor'),
    axialTail: aero.axialTail * axial * v('air.axialTailFactor'),
    axialLegs: aero.legsAxial * axial,
    normalNose: aero.normalNose.slope * lateral * v('air.lateralNoseFactor'),
    normalNoseStation: aero.normalNose.station,
    normalTail: aero.normalTail.slope * lateral * v('air.lateralTailFactor'),
    normalTailStation: aero.normalTail.station,
    normalLegs: aero.legsNormal.slope * lateral,
    normalLegsStation: aero.legsNormal.station,
    crossflow: aero.crossflowDrag * aero.planformArea * lateral,
    crossflowStation: aero.planformStation,
    rollAsymmetry: v('air.rollAsymmetry'),
    rollDamping: v('air.rollDamping'),
    servoLag: v('gimbal.lag'),
    servoRate: v('gimbal.rateLimit'),
    railLength: study.rail.length,
    railTilt: v('rail.tilt'),
    railAzimuth: v('rail.azimuth'),
    siteTemperature: v('site.temperature'),
    sitePressure: v('site.pressure'),
    windSpeed: v('wind.speed'),
    windExponent: study.site.windExponent,
    windEast: -Math.sin(from),
    windNorth: -Math.cos(from),
    gustScale: v('wind.gustScale'),
    groundX: Math.sin(slope) * Math.sin(falls),
    groundY: Math.sin(slope) * Math.cos(falls),
    groundZ: Math.cos(slope),
    legCount: legs.count,
    legRadius: legs.radius,
    footStation: legs.footStation,
    deploymentTime: v('legs.deploymentTime'),
    legCos: Float64Array.from(leg, Math.cos),
    legSin: Float64Array.from(leg, Math.sin),
    legFails: Uint8Array.from(leg, (_, i) => v(LEG_FAILURES[i])),
  };
}

function computerParameters(
  study: Study,
  tables: StudyTables,
  choice: RuleChoice,
  rule: RuleMargin,
  inputs: Float64Array,
): ComputerParameters {
  const v = (key: InputKey): number => input(inputs, key);
  const { sensors, phases, control, computer, vehicle } = study;
  const perSample = Math.sqrt(computer.rate);
  const axes = (name: 'accelerometer' | 'gyro') => ({
    biasX: v(`${name}.biasX`),
    biasY: v(`${name}.biasY`),
    biasZ: v(`${name}.biasZ`),
    scaleX: v(`${name}.scaleX`),
    scaleY: v(`${name}.scaleY`),
    scaleZ: v(`${name}.scaleZ`),
    noiseX: v(`${name}.noiseX`) * perSample,
    noiseY: v(`${name}.noiseY`) * perSample,
    noiseZ: v(`${name}.noiseZ`) * perSample,
    lsb: sensors.rounding ? sensors[name].lsb : 0,
    range: sensors[name].range,
  });
  const { barometer } = sensors;
  const scheduling = control.torqueScheduling;
  return {
    tick: 1 / computer.rate,
    gravity: computer.gravity,
    accelerometer: axes('accelerometer'),
    gyro: axes('gyro'),
    barometer:
      barometer === null
        ? null
        : {
            bias: v('barometer.bias'),
            noise: v('barometer.noise') * perSample,
            lag: v('barometer.lag'),
            speedGain: barometer.speedGain,
            heightGain: barometer.heightGain,
          },
    railTilt: study.rail.tilt,
    railAzimuth: study.rail.azimuth,
    alignmentY: v('alignment.y'),
    alignmentZ: v('alignment.z'),
    transitionGap: v('timing.transitionGap'),
    afterStallOneTick: computer.afterStall === 'oneTick',
    liftoffThreshold: v('detection.liftoffThreshold'),
    liftoffConfirm: phases.liftoffConfirm,
    replay: phases.replay,
    burnoutThreshold: v('detection.burnoutThreshold'),
    burnoutConfirm: phases.burnoutConfirm,
    releaseAtHeight: vehicle.legs.release.kind === 'atHeight',
    releaseTime: v('legs.releaseTime'),
    releaseHeight: v('legs.releaseHeight'),
    rule,
    lead: choice.lead,
    guardCosTilt: Math.cos(choice.tiltGuard),
    insideTick: choice.insideTick,
    kp: control.kp,
    kd: control.kd,
    ki: control.ki,
    integralLimit: control.integralLimit,
    gimbalLimit: vehicle.gimbal.limit,
    driftDamping: control.driftDamping,
    driftTilt: control.driftTilt,
    referenceTorque: scheduling === null ? 0 : scheduling.thrust * scheduling.arm,
    leastFactor: scheduling === null ? 1 : scheduling.least,
    mostFactor: scheduling === null ? 1 : scheduling.most,
    expectedAscent: tables.expectedAscent,
    expectedLanding: tables.expectedLanding,
  };
}
