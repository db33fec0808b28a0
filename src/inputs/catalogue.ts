/**
 * The catalogue of every number that may vary from flight to flight: the one table from which the study schema, validation,
 * help text, Arrow columns, report labels and documentation are derived. Adding an input is one row here and the line that
 * reads it (flight/build.ts). New rows go to the end: a row's place is its column in every sampling design.
 *
 * Bounds are what the model accepts, not what is likely; a draw beyond them is held at them, and `check` says how often.
 */
import type { InputRow, Motor, Study } from '../study/study.ts';

const TURN = 2 * Math.PI;
const DEG = Math.PI / 180;

const number = (
  key: string,
  group: string,
  unit: string,
  low: number,
  high: number,
  meaning: string,
  nominal: (s: Study) => number,
): InputRow => ({
  key,
  group,
  unit,
  low,
  high,
  meaning,
  type: 'number',
  nominal,
});

/** A direction: the same a turn on. */
const circle = (row: InputRow): InputRow => ({ ...row, circle: true });

const chance = (key: string, group: string, meaning: string): InputRow => ({
  key,
  group,
  unit: '',
  low: 0,
  high: 1,
  meaning,
  type: 'yesNo',
  nominal: () => 0,
});

const zero = () => 0;
const one = () => 1;

const motor = (name: 'ascent' | 'landing', pick: (s: Study) => Motor): InputRow[] => {
  const group = `${name} motor`;
  // biome-ignore format: a table reads best one row a line
  return [
    number(`${name}.impulseFactor`, group, '', 0.3, 2, 'total impulse over the nominal curve’s', one),
    number(`${name}.burnTimeFactor`, group, '', 0.3, 3, 'burn time over the nominal curve’s', one),
    number(`${name}.ignitionDelay`, group, 's', 0, 5, name === 'ascent' ? 'from time zero to the start of the curve' : 'from the ignition command to the start of the curve', (s) => pick(s).ignitionDelay),
    number(`${name}.propellantMass`, group, 'kg', 1e-4, 5, 'propellant loaded', (s) => pick(s).propellantMass),
    number(`${name}.misalignmentY`, 'thrust misalignment', 'rad', -0.2, 0.2, 'thrust direction turned toward body y', zero),
    number(`${name}.misalignmentZ`, 'thrust misalignment', 'rad', -0.2, 0.2, 'thrust direction turned toward body z', zero),
    number(`${name}.offsetY`, 'thrust misalignment', 'm', -0.05, 0.05, 'thrust line beside the axis, along body y', zero),
    number(`${name}.offsetZ`, 'thrust misalignment', 'm', -0.05, 0.05, 'thrust line beside the axis, along body z', zero),
  ];
};

const axes = (build: (axis: 'X' | 'Y' | 'Z', word: string) => InputRow): InputRow[] => [
  build('X', 'body x (along the axis)'),
  build('Y', 'body y'),
  build('Z', 'body z'),
];

const legFailures = Array.from({ length: 8 }, (_, i) =>
  chance(`legs.failure${i + 1}`, 'chances', `leg ${i + 1} does not lock (1: fails; legs the vehicle does not have are ignored)`),
);

/** One row an input, in the fixed order of the sampling designs. */
// biome-ignore format: a table reads best one row a line
export const CATALOGUE: readonly InputRow[] = [
  ...motor('ascent', (s) => s.ascent),
  ...motor('landing', (s) => s.landing),
  number('airframe.mass', 'mass', 'kg', 0.01, 50, 'airframe without motors', (s) => s.vehicle.airframe.mass),
  number('airframe.station', 'mass', 'm', 0, 10, 'centre of mass of the airframe, aft of the nose tip', (s) => s.vehicle.airframe.station),
  number('airframe.inertiaAxial', 'mass', 'kg m^2', 1e-7, 50, 'airframe about its axis', (s) => s.vehicle.airframe.inertiaAxial),
  number('airframe.inertiaTransverse', 'mass', 'kg m^2', 1e-6, 50, 'airframe across its axis, about its own centre of mass', (s) => s.vehicle.airframe.inertiaTransverse),
  number('air.axialFactor', 'air forces', '', 0, 5, 'on every axial coefficient', one),
  number('air.axialNoseFactor', 'air forces', '', 0, 5, 'on the axial coefficient with flow from the nose, on top of air.axialFactor', one),
  number('air.axialTailFactor', 'air forces', '', 0, 5, 'on the axial coefficient with flow from the tail, on top of air.axialFactor', one),
  number('air.lateralFactor', 'air forces', '', 0, 5, 'on every normal-force slope and the crossflow drag', one),
  number('air.lateralNoseFactor', 'air forces', '', 0, 5, 'on the normal-force slope with flow from the nose, on top of air.lateralFactor', one),
  number('air.lateralTailFactor', 'air forces', '', 0, 5, 'on the normal-force slope with flow from the tail, on top of air.lateralFactor', one),
  number('air.rollAsymmetry', 'air forces', '', -1, 1, 'rolling-moment coefficient that makes the vehicle spin', (s) => s.vehicle.aerodynamics.rollAsymmetry),
  number('air.rollDamping', 'air forces', '', -50, 0, 'roll-damping coefficient', (s) => s.vehicle.aerodynamics.rollDamping),
  number('rail.tilt', 'rail', 'rad', -30 * DEG, 30 * DEG, 'from the vertical', (s) => s.rail.tilt),
  circle(number('rail.azimuth', 'rail', 'rad', -TURN, 2 * TURN, 'compass direction the rail leans toward', (s) => s.rail.azimuth)),
  number('wind.speed', 'wind', 'm/s', 0, 30, 'mean wind at 10 m', (s) => s.site.windSpeed),
  circle(number('wind.direction', 'wind', 'rad', -TURN, 2 * TURN, 'compass direction the wind comes from', (s) => s.site.windDirection)),
  number('wind.gustScale', 'wind', '', 0, 10, 'on all three gust intensities', (s) => s.site.gustScale),
  number('site.temperature', 'air state', 'K', 220, 330, 'air temperature at the ground', (s) => s.site.temperature),
  number('site.pressure', 'air state', 'Pa', 40000, 110000, 'air pressure at the ground', (s) => s.site.pressure),
  ...axes((a, w) => number(`accelerometer.bias${a}`, 'accelerometer', 'm/s^2', -20, 20, `bias along ${w}`, zero)),
  ...axes((a, w) => number(`accelerometer.scale${a}`, 'accelerometer', '', -0.5, 0.5, `scale error along ${w}`, zero)),
  ...axes((a, w) => number(`accelerometer.noise${a}`, 'accelerometer', 'm/s^2/Hz^0.5', 0, 1, `noise density along ${w}`, (s) => s.sensors.accelerometer.noise)),
  number('imu.station', 'accelerometer', 'm', 0, 10, 'of the inertial sensor, aft of the nose tip', (s) => s.sensors.imu.station),
  number('imu.offsetY', 'accelerometer', 'm', -0.5, 0.5, 'inertial sensor beside the axis, along body y', (s) => s.sensors.imu.offsetY),
  number('imu.offsetZ', 'accelerometer', 'm', -0.5, 0.5, 'inertial sensor beside the axis, along body z', (s) => s.sensors.imu.offsetZ),
  ...axes((a, w) => number(`gyro.bias${a}`, 'gyro', 'rad/s', -1, 1, `bias about ${w}`, zero)),
  ...axes((a, w) => number(`gyro.scale${a}`, 'gyro', '', -0.5, 0.5, `scale error about ${w}`, zero)),
  ...axes((a, w) => number(`gyro.noise${a}`, 'gyro', 'rad/s/Hz^0.5', 0, 0.1, `noise density about ${w}`, (s) => s.sensors.gyro.noise)),
  number('barometer.bias', 'barometer', 'm', -100, 100, 'height bias (ignored when none is fitted)', zero),
  number('barometer.noise', 'barometer', 'm/Hz^0.5', 0, 10, 'noise density (ignored when none is fitted)', (s) => s.sensors.barometer?.noise ?? 0),
  number('barometer.lag', 'barometer', 's', 0, 5, 'first-order lag (ignored when none is fitted)', (s) => s.sensors.barometer?.lag ?? 0),
  number('alignment.y', 'alignment', 'rad', -0.5, 0.5, 'error of the starting attitude about body y', zero),
  number('alignment.z', 'alignment', 'rad', -0.5, 0.5, 'error of the starting attitude about body z', zero),
  number('timing.clockError', 'timing', '', -0.05, 0.05, 'true tick over believed tick, minus one', zero),
  number('timing.transitionGap', 'timing', 's', 0, 2, 'after each phase change, never integrated', (s) => s.computer.transitionGap),
  number('timing.stallRate', 'timing', '1/s', 0, 20, 'stalls per second', (s) => s.computer.stallRate),
  number('timing.stallDuration', 'timing', 's', 0, 1, 'mean duration of a stall', (s) => s.computer.stallDuration),
  number('detection.liftoffThreshold', 'detection', 'm/s^2', 9.9, 200, 'axial specific force above which liftoff is recognised', (s) => s.phases.liftoffThreshold),
  number('detection.burnoutThreshold', 'detection', 'm/s^2', -50, 100, 'axial specific force below which burnout is recognised', (s) => s.phases.burnoutThreshold),
  number('gimbal.lag', 'gimbal', 's', 0.002, 1, 'time constant of both servos', (s) => s.vehicle.gimbal.lag),
  number('gimbal.rateLimit', 'gimbal', 'rad/s', 0.01, 100, 'fastest deflection of both servos', (s) => s.vehicle.gimbal.rateLimit),
  number('gimbal.trimY', 'gimbal', 'rad', -0.2, 0.2, 'thrust direction at zero command turned toward body y', zero),
  number('gimbal.trimZ', 'gimbal', 'rad', -0.2, 0.2, 'thrust direction at zero command turned toward body z', zero),
  number('legs.releaseTime', 'legs', 's', 0, 60, 'release after believed apogee (ignored when released at a height)', (s) => (s.vehicle.legs.release.kind === 'afterApogee' ? s.vehicle.legs.release.time : 0)),
  number('legs.releaseHeight', 'legs', 'm', 0, 3000, 'believed height of the release (ignored when released by time)', (s) => (s.vehicle.legs.release.kind === 'atHeight' ? s.vehicle.legs.release.height : 0)),
  number('legs.deploymentTime', 'legs', 's', 0.01, 10, 'from release to locked', (s) => s.vehicle.legs.deploymentTime),
  ...legFailures,
  chance('landing.igniterFails', 'chances', 'the landing motor never lights (1: fails)'),
  chance('ascent.casingStuck', 'chances', 'the spent ascent casing does not leave and the landing motor gives no thrust (1: stuck)'),
  number('ground.slope', 'ground', 'rad', 0, 30 * DEG, 'of the ground through the pad', (s) => s.site.groundSlope),
  circle(number('ground.azimuth', 'ground', 'rad', -TURN, 2 * TURN, 'compass direction toward which the ground falls', (s) => s.site.groundAzimuth)),
];

/** Column of each key. */
export const INPUT_INDEX: ReadonlyMap<string, number> = new Map(CATALOGUE.map((row, i) => [row.key, i]));

/** Column of a key that the program itself names. @throws Error when the catalogue has no such row (our fault). */
export function inputIndex(key: string): number {
  const index = INPUT_INDEX.get(key);
  if (index === undefined) throw new Error(`no input ${key} in the catalogue`);
  return index;
}

/** The nominal input vector: what `fixed` entries of the study say, else each row's nominal. Length of the catalogue. */
export function nominalInputs(study: Study): Float64Array {
  return Float64Array.from(CATALOGUE, (row) => {
    const d = study.inputs[row.key];
    return d?.kind === 'fixed' ? d.value : row.nominal(study);
  });
}
