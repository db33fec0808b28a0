/**
 * From one input vector and one noise key to the parameters of one flight: the only place where inputs meet the model.
 * What all flights of a study share is setup.ts. Draws nothing, flies nothing.
 */
import type { AxisTriple } from '../avionics/parameters.ts';
import { CATALOGUE, type InputKey, inputIndex } from '../inputs/catalogue.ts';
import { cos, sin } from '../maths/elementary/circular.ts';
import { noiseSeed } from '../maths/streams.ts';
import type { PlantParameters, TrueMotor } from '../plant/parameters.ts';
import type { Study } from '../study/study.ts';
import type { FlightParameters } from './parameters.ts';

/** @param inputs one value per catalogue row, SI */
export function setInputs(p: FlightParameters, study: Study, inputs: Float64Array): void {
  p.tick = (1 / study.computer.rate) * (1 + input(inputs, 'timing.clockError'));
  // RK4 leaves its stability region near 2.8 servo time constants a step.
  p.substeps = Math.max(study.substeps, Math.ceil(p.tick / (2 * input(inputs, 'gimbal.lag'))));
  p.stallRate = input(inputs, 'timing.stallRate');
  p.stallDuration = input(inputs, 'timing.stallDuration');
  p.imuStation = input(inputs, 'imu.station');
  p.imuY = input(inputs, 'imu.offsetY');
  p.imuZ = input(inputs, 'imu.offsetZ');
  setMotor(p.plant.ascent, 'ascent', inputs);
  setMotor(p.plant.landing, 'landing', inputs);
  setPlant(p.plant, study, inputs);
  setComputer(p, study, inputs);
}

/** @param key names the flight's noise streams; null: no noise, no gusts, no stalls */
export function setNoise(p: FlightParameters, key: string | null): void {
  p.noisy = key !== null;
  if (key === null) return;
  noiseSeed(`${key}/inertial`, p.inertialSeed);
  noiseSeed(`${key}/gusts`, p.gustSeed);
  noiseSeed(`${key}/stalls`, p.stallSeed);
  if (p.computer.barometerFitted) noiseSeed(`${key}/barometer`, p.barometerSeed);
}

const LEG_FAILURES = CATALOGUE.map(({ key }) => key).filter((key) => key.startsWith('legs.failure'));

function input(inputs: Float64Array, key: InputKey): number {
  return inputs[inputIndex(key)];
}

function setMotor(p: TrueMotor, name: 'ascent' | 'landing', inputs: Float64Array): void {
  const burnTimeFactor = input(inputs, `${name}.burnTimeFactor`);
  p.thrustScale = input(inputs, `${name}.impulseFactor`) / burnTimeFactor;
  p.burnTimeFactor = burnTimeFactor;
  p.propellantMass = input(inputs, `${name}.propellantMass`);
  p.angleY = input(inputs, 'gimbal.trimY') + input(inputs, `${name}.misalignmentY`);
  p.angleZ = input(inputs, 'gimbal.trimZ') + input(inputs, `${name}.misalignmentZ`);
  p.offsetY = input(inputs, `${name}.offsetY`);
  p.offsetZ = input(inputs, `${name}.offsetZ`);
  p.ignitionDelay = input(inputs, `${name}.ignitionDelay`);
}

function setPlant(p: PlantParameters, study: Study, inputs: Float64Array): void {
  const v = (key: InputKey): number => input(inputs, key);
  const { aerodynamics: aero, legs } = study.vehicle;
  const axial = v('air.axialFactor');
  const lateral = v('air.lateralFactor');
  const slope = v('ground.slope');
  const falls = v('ground.azimuth');
  const from = v('wind.direction');
  p.landingLights = v('landing.igniterFails') !== 1 && v('ascent.casingStuck') !== 1;
  p.airframeMass = v('airframe.mass');
  p.airframeStation = v('airframe.station');
  p.airframeInertiaAxial = v('airframe.inertiaAxial');
  p.airframeInertiaTransverse = v('airframe.inertiaTransverse');
  p.axialNose = aero.axialNose * axial * v('air.axialNoseFactor');
  p.axialTail = aero.axialTail * axial * v('air.axialTailFactor');
  p.axialLegs = aero.legsAxial * axial;
  p.normalNose = aero.normalNose.slope * lateral * v('air.lateralNoseFactor');
  p.normalTail = aero.normalTail.slope * lateral * v('air.lateralTailFactor');
  p.normalLegs = aero.legsNormal.slope * lateral;
  p.crossflow = aero.crossflowDrag * aero.planformArea * lateral;
  p.rollAsymmetry = v('air.rollAsymmetry');
  p.rollDamping = v('air.rollDamping');
  p.servoLag = v('gimbal.lag');
  p.servoRate = v('gimbal.rateLimit');
  p.railTilt = v('rail.tilt');
  p.railAzimuth = v('rail.azimuth');
  p.siteTemperature = v('site.temperature');
  p.sitePressure = v('site.pressure');
  p.windSpeed = v('wind.speed');
  p.windEast = -sin(from);
  p.windNorth = -cos(from);
  p.gustScale = v('wind.gustScale');
  p.groundX = sin(slope) * sin(falls);
  p.groundY = sin(slope) * cos(falls);
  p.groundZ = cos(slope);
  p.deploymentTime = v('legs.deploymentTime');
  for (let i = 0; i < legs.count; i++) p.legFails[i] = v(LEG_FAILURES[i]);
}

function setComputer(p: FlightParameters, study: Study, inputs: Float64Array): void {
  const c = p.computer;
  const v = (key: InputKey): number => input(inputs, key);
  const perSample = Math.sqrt(study.computer.rate);
  setAxes(c.accelerometer, 'accelerometer', perSample, inputs);
  setAxes(c.gyro, 'gyro', perSample, inputs);
  c.barometer.bias = v('barometer.bias');
  c.barometer.noise = v('barometer.noise') * perSample;
  c.barometer.lag = v('barometer.lag');
  c.alignmentY = v('alignment.y');
  c.alignmentZ = v('alignment.z');
  c.transitionGap = v('timing.transitionGap');
  c.liftoffThreshold = v('detection.liftoffThreshold');
  c.burnoutThreshold = v('detection.burnoutThreshold');
  c.releaseTime = v('legs.releaseTime');
  c.releaseHeight = v('legs.releaseHeight');
}

function setAxes(p: AxisTriple, name: 'accelerometer' | 'gyro', perSample: number, inputs: Float64Array): void {
  p.biasX = input(inputs, `${name}.biasX`);
  p.biasY = input(inputs, `${name}.biasY`);
  p.biasZ = input(inputs, `${name}.biasZ`);
  p.scaleX = input(inputs, `${name}.scaleX`);
  p.scaleY = input(inputs, `${name}.scaleY`);
  p.scaleZ = input(inputs, `${name}.scaleZ`);
  p.noiseX = input(inputs, `${name}.noiseX`) * perSample;
  p.noiseY = input(inputs, `${name}.noiseY`) * perSample;
  p.noiseZ = input(inputs, `${name}.noiseZ`) * perSample;
}
