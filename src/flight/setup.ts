/**
 * From a study to the parameters that all its flights share: what is as the study says and not an input. What differs
 * from flight to flight is inputSetup.ts. Draws nothing, flies nothing.
 */

import { setRule } from '../avionics/rules/kinds.ts';
import type { OnboardModel } from '../avionics/rules/rule.ts';
import { cos, sin } from '../maths/elementary/circular.ts';
import { type CurveTable, curveTable } from '../maths/thrustCurve.ts';
import { density } from '../plant/air.ts';
import { normalGravity, STANDARD_GRAVITY } from '../plant/gravity.ts';
import type { TrueMotor } from '../plant/parameters.ts';
import type { Motor, RuleChoice, Study } from '../study/study.ts';
import type { FlightParameters } from './parameters.ts';

/** What is worked out once for all flights of a study. */
export interface StudyTables {
  readonly ascentCurve: CurveTable;
  readonly landingCurve: CurveTable;
  /** m: the nominal vehicle's nozzle arms. */
  readonly ascentArm: number;
  readonly landingArm: number;
  readonly gravity: number;
}

export function studyTables(study: Study): StudyTables {
  const { airframe } = study.vehicle;
  const centre = (ascentMass: number): number => {
    const landingMass = study.landing.casingMass + study.landing.propellantMass;
    const mass = airframe.mass + ascentMass + landingMass;
    return (airframe.mass * airframe.station + ascentMass * study.ascent.station + landingMass * study.landing.station) / mass;
  };
  const { latitude, elevation } = study.site;
  return {
    ascentCurve: curveTable(study.ascent.curve.time, study.ascent.curve.thrust),
    landingCurve: curveTable(study.landing.curve.time, study.landing.curve.thrust),
    ascentArm: study.ascent.nozzleStation - centre(study.ascent.casingMass + study.ascent.propellantMass),
    landingArm: study.landing.nozzleStation - centre(0),
    gravity: latitude === null ? STANDARD_GRAVITY : normalGravity(latitude, elevation),
  };
}

/** What the flight computer may know of the vehicle before the flight: the study's nominal numbers. */
export function onboardModel(study: Study): OnboardModel {
  const { vehicle, ascent, landing, site, computer } = study;
  const area = (Math.PI / 4) * vehicle.body.diameter * vehicle.body.diameter;
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

/**
 * Writes what all flights of a study with one rule share. A test holds that together with the inputs nothing is left
 * out.
 */
export function setShared(p: FlightParameters, study: Study, tables: StudyTables, choice: RuleChoice): void {
  const { limits, site } = study;
  p.limits.sink = limits.sink ?? Number.POSITIVE_INFINITY;
  p.limits.slide = limits.slide ?? Number.POSITIVE_INFINITY;
  p.limits.tilt = limits.tilt ?? Number.POSITIVE_INFINITY;
  p.allowedRadius = limits.radius ?? Number.POSITIVE_INFINITY;
  p.lostControlCos = cos(limits.lostControlTilt);
  p.timeLimit = limits.time;
  p.plant.gravity = tables.gravity;
  p.plant.windExponent = site.windExponent;
  p.plant.railLength = study.rail.length;
  p.plant.ejectDelay = study.ejectDelay;
  setMotor(p.plant.ascent, study.ascent, tables.ascentCurve);
  setMotor(p.plant.landing, study.landing, tables.landingCurve);
  setVehicle(p, study);
  setComputer(p, study, tables);
  setRule(p.computer.rule, choice.kind, choice.constants, onboardModel(study), choice.lead);
  p.computer.lead = choice.lead;
  p.computer.guardCosTilt = cos(choice.tiltGuard);
  p.computer.insideTick = choice.insideTick;
}

function setCurve(to: CurveTable, from: CurveTable): void {
  to.points = from.points;
  to.time = from.time;
  to.thrust = from.thrust;
  to.impulse = from.impulse;
  to.slope = from.slope;
  to.total = from.total;
}

function setMotor(p: TrueMotor, motor: Motor, curve: CurveTable): void {
  setCurve(p.curve, curve);
  const square = motor.radius * motor.radius;
  p.casingMass = motor.casingMass;
  p.station = motor.station;
  p.gyrationAxial = square / 2;
  p.gyrationTransverse = (3 * square + motor.length * motor.length) / 12;
  p.nozzleStation = motor.nozzleStation;
}

function setVehicle(p: FlightParameters, study: Study): void {
  const { plant } = p;
  const { body, legs, aerodynamics } = study.vehicle;
  plant.area = (Math.PI / 4) * body.diameter * body.diameter;
  plant.diameter = body.diameter;
  plant.bodyLength = body.length;
  plant.normalNoseStation = aerodynamics.normalNose.station;
  plant.normalTailStation = aerodynamics.normalTail.station;
  plant.normalLegsStation = aerodynamics.legsNormal.station;
  plant.crossflowStation = aerodynamics.planformStation;
  plant.legCount = legs.count;
  plant.legRadius = legs.radius;
  plant.footStation = legs.footStation;
  for (let i = 0; i < legs.count; i++) {
    const azimuth = legs.azimuth + (2 * Math.PI * i) / legs.count;
    plant.legCos[i] = cos(azimuth);
    plant.legSin[i] = sin(azimuth);
  }
  plant.springs = study.touchdown.model === 'springs';
  plant.contactSteps = contactSteps(study);
}

/** Steps a tick while anything touches: nominal ticks hold so many contact steps. */
function contactSteps({ computer, touchdown }: Study): number {
  return Math.max(1, Math.ceil(1 / computer.rate / touchdown.step - 1e-9));
}

function setComputer(p: FlightParameters, study: Study, tables: StudyTables): void {
  const c = p.computer;
  const { sensors, phases, control, computer, vehicle } = study;
  c.tick = 1 / computer.rate;
  c.gravity = computer.gravity;
  c.railTilt = study.rail.tilt;
  c.railAzimuth = study.rail.azimuth;
  c.afterStallOneTick = computer.afterStall === 'oneTick';
  c.accelerometer.lsb = sensors.rounding ? sensors.accelerometer.lsb : 0;
  c.accelerometer.range = sensors.accelerometer.range;
  c.gyro.lsb = sensors.rounding ? sensors.gyro.lsb : 0;
  c.gyro.range = sensors.gyro.range;
  const { barometer } = sensors;
  c.barometerFitted = barometer !== null;
  c.barometer.speedGain = barometer?.speedGain ?? 0;
  c.barometer.heightGain = barometer?.heightGain ?? 0;
  c.liftoffConfirm = phases.liftoffConfirm;
  c.replay = phases.replay;
  c.burnoutConfirm = phases.burnoutConfirm;
  c.releaseAtHeight = vehicle.legs.release.kind === 'atHeight';
  c.kp = control.kp;
  c.kd = control.kd;
  c.ki = control.ki;
  c.integralLimit = control.integralLimit;
  c.gimbalLimit = vehicle.gimbal.limit;
  c.driftDamping = control.driftDamping;
  c.driftTilt = control.driftTilt;
  const scheduling = control.torqueScheduling;
  c.referenceTorque = scheduling === null ? 0 : scheduling.thrust * scheduling.arm;
  c.leastFactor = scheduling === null ? 1 : scheduling.least;
  c.mostFactor = scheduling === null ? 1 : scheduling.most;
  setCurve(c.expectedAscent.curve, tables.ascentCurve);
  c.expectedAscent.arm = tables.ascentArm;
  setCurve(c.expectedLanding.curve, tables.landingCurve);
  c.expectedLanding.arm = tables.landingArm;
}
