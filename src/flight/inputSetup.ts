/**
 * From one input vector and one noise key to the parameters of one flight: the only place where inputs meet the model.
 * What all flights of a study share is setup.ts. Draws nothing, flies nothing.
 */
import type { AxisTriple } from '../avionics/parameters.ts';
import { CATALOGUE, type InputKey, inputIndex } from '../inputs/catalogue.ts';
import { cos, sin } from '../maths/elementary/circular.ts';
import { noiseSeed } from '../maths/streams.ts';
import { legShare } from '../plant/contact/legShare.ts';
import type { PlantParameters, TrueMotor } from '../plant/parameters.ts';
import { burnTimeFactor, impulseFactor, type MotorName } from '../study/motorFactors.ts';
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
  setMotor(p.plant.ascent, study, 'ascent', ASCENT, inputs);
  setMotor(p.plant.landing, study, 'landing', LANDING, inputs);
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

/** Places of a motor's inputs in the vector: looked up once, not for every flight. */
function motorPlaces(name: 'ascent' | 'landing') {
  return {
    propellantMass: inputIndex(`${name}.propellantMass`),
    misalignmentY: inputIndex(`${name}.misalignmentY`),
    misalignmentZ: inputIndex(`${name}.misalignmentZ`),
    offsetY: inputIndex(`${name}.offsetY`),
    offsetZ: inputIndex(`${name}.offsetZ`),
    ignitionDelay: inputIndex(`${name}.ignitionDelay`),
  };
}

const ASCENT = motorPlaces('ascent');
const LANDING = motorPlaces('landing');

function setMotor(p: TrueMotor, study: Study, name: MotorName, places: typeof ASCENT, inputs: Float64Array): void {
  const motor = study[name];
  p.burnTimeFactor = burnTimeFactor(motor, name, inputs);
  p.thrustScale = impulseFactor(motor, name, inputs) / p.burnTimeFactor;
  p.propellantMass = inputs[places.propellantMass];
  p.angleY = input(inputs, 'gimbal.trimY') + inputs[places.misalignmentY];
  p.angleZ = input(inputs, 'gimbal.trimZ') + inputs[places.misalignmentZ];
  p.offsetY = inputs[places.offsetY];
  p.offsetZ = inputs[places.offsetZ];
  p.ignitionDelay = inputs[places.ignitionDelay];
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
  p.jamsY = v('gimbal.jamY') === 1;
  p.jamsZ = v('gimbal.jamZ') === 1;
  p.jamTime = v('gimbal.jamTime');
  p.jamAngle = v('gimbal.jamAngle');
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
  setFeet(p, study, inputs);
  for (let i = 0; i < legs.count; i++) p.legFails[i] = v(LEG_FAILURES[i]);
}

/** A leg and the ground under it in series (model section 16): the leg has the share of the speed, and of the work. */
function setFeet(p: PlantParameters, { vehicle: { legs }, ground }: Study, inputs: Float64Array): void {
  const stiffness = (legs.stiffness ?? 0) * input(inputs, 'legs.stiffnessFactor');
  const damping = (legs.damping ?? 0) * input(inputs, 'legs.dampingFactor');
  const under = ground.stiffness === null ? Number.POSITIVE_INFINITY : ground.stiffness * input(inputs, 'ground.stiffnessFactor');
  const share = legShare(stiffness, under);
  p.footStiffness = share * stiffness;
  p.footDamping = share * share * damping;
  p.footStrength = (legs.strength ?? Number.POSITIVE_INFINITY) * input(inputs, 'legs.strengthFactor');
  p.friction = input(inputs, 'ground.friction');
}

function setComputer(p: FlightParameters, study: Study, inputs: Float64Array): void {
  const c = p.computer;
  const v = (key: InputKey): number => input(inputs, key);
  const perSample = Math.sqrt(study.computer.rate);
  setAxes(c.accelerometer, ACCELEROMETER, perSample, inputs);
  setAxes(c.gyro, GYRO, perSample, inputs);
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

/** Places of a sensor's inputs likewise. */
function axesPlaces(name: 'accelerometer' | 'gyro') {
  return {
    biasX: inputIndex(`${name}.biasX`),
    biasY: inputIndex(`${name}.biasY`),
    biasZ: inputIndex(`${name}.biasZ`),
    scaleX: inputIndex(`${name}.scaleX`),
    scaleY: inputIndex(`${name}.scaleY`),
    scaleZ: inputIndex(`${name}.scaleZ`),
    noiseX: inputIndex(`${name}.noiseX`),
    noiseY: inputIndex(`${name}.noiseY`),
    noiseZ: inputIndex(`${name}.noiseZ`),
  };
}

const ACCELEROMETER = axesPlaces('accelerometer');
const GYRO = axesPlaces('gyro');

function setAxes(p: AxisTriple, places: typeof GYRO, perSample: number, inputs: Float64Array): void {
  p.biasX = inputs[places.biasX];
  p.biasY = inputs[places.biasY];
  p.biasZ = inputs[places.biasZ];
  p.scaleX = inputs[places.scaleX];
  p.scaleY = inputs[places.scaleY];
  p.scaleZ = inputs[places.scaleZ];
  p.noiseX = inputs[places.noiseX] * perSample;
  p.noiseY = inputs[places.noiseY] * perSample;
  p.noiseZ = inputs[places.noiseZ] * perSample;
}
