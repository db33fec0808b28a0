/** The value of each input on a nominal flight: where in a study it is written. Draws nothing. */
import { CATALOGUE, type InputRow, type StudyInputKey } from '../inputs/catalogue.ts';
import type { Study } from './study.ts';

/** What nominal values are read from: a study but for what varies. */
export type NominalStudy = Omit<Study, 'inputs' | 'correlations'>;

const READ: Readonly<Record<StudyInputKey, (study: NominalStudy) => number>> = {
  'ascent.ignitionDelay': (s) => s.ascent.ignitionDelay,
  'ascent.propellantMass': (s) => s.ascent.propellantMass,
  'landing.ignitionDelay': (s) => s.landing.ignitionDelay,
  'landing.propellantMass': (s) => s.landing.propellantMass,
  'airframe.mass': (s) => s.vehicle.airframe.mass,
  'airframe.station': (s) => s.vehicle.airframe.station,
  'airframe.inertiaAxial': (s) => s.vehicle.airframe.inertiaAxial,
  'airframe.inertiaTransverse': (s) => s.vehicle.airframe.inertiaTransverse,
  'air.rollAsymmetry': (s) => s.vehicle.aerodynamics.rollAsymmetry,
  'air.rollDamping': (s) => s.vehicle.aerodynamics.rollDamping,
  'rail.tilt': (s) => s.rail.tilt,
  'rail.azimuth': (s) => s.rail.azimuth,
  'wind.speed': (s) => s.site.windSpeed,
  'wind.direction': (s) => s.site.windDirection,
  'wind.gustScale': (s) => s.site.gustScale,
  'site.temperature': (s) => s.site.temperature,
  'site.pressure': (s) => s.site.pressure,
  'accelerometer.noiseX': (s) => s.sensors.accelerometer.noise,
  'accelerometer.noiseY': (s) => s.sensors.accelerometer.noise,
  'accelerometer.noiseZ': (s) => s.sensors.accelerometer.noise,
  'imu.station': (s) => s.sensors.imu.station,
  'imu.offsetY': (s) => s.sensors.imu.offsetY,
  'imu.offsetZ': (s) => s.sensors.imu.offsetZ,
  'gyro.noiseX': (s) => s.sensors.gyro.noise,
  'gyro.noiseY': (s) => s.sensors.gyro.noise,
  'gyro.noiseZ': (s) => s.sensors.gyro.noise,
  'barometer.noise': (s) => s.sensors.barometer?.noise ?? 0,
  'barometer.lag': (s) => s.sensors.barometer?.lag ?? 0,
  'timing.transitionGap': (s) => s.computer.transitionGap,
  'timing.stallRate': (s) => s.computer.stallRate,
  'timing.stallDuration': (s) => s.computer.stallDuration,
  'detection.liftoffThreshold': (s) => s.phases.liftoffThreshold,
  'detection.burnoutThreshold': (s) => s.phases.burnoutThreshold,
  'gimbal.lag': (s) => s.vehicle.gimbal.lag,
  'gimbal.rateLimit': (s) => s.vehicle.gimbal.rateLimit,
  'legs.releaseTime': (s) => (s.vehicle.legs.release.kind === 'afterApogee' ? s.vehicle.legs.release.time : 0),
  'legs.releaseHeight': (s) => (s.vehicle.legs.release.kind === 'atHeight' ? s.vehicle.legs.release.height : 0),
  'legs.deploymentTime': (s) => s.vehicle.legs.deploymentTime,
  'ground.slope': (s) => s.site.groundSlope,
  'ground.azimuth': (s) => s.site.groundAzimuth,
  'ground.friction': (s) => s.ground.friction,
};

/** SI; the study's own value where the row has one. */
export function nominalValue(row: InputRow, study: NominalStudy): number {
  return row.nominal === 'study' ? READ[row.key as StudyInputKey](study) : row.nominal;
}

/**
 * The nominal input vector: what `fixed` entries of the study say, else each row's nominal value. Length of the
 * catalogue.
 */
export function nominalInputs(study: Study): Float64Array {
  return Float64Array.from(CATALOGUE, (row) => {
    const d = study.inputs[row.key];
    return d?.kind === 'fixed' ? d.value : nominalValue(row, study);
  });
}
