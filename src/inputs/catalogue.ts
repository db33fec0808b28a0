/**
 * The catalogue of every number that may vary from flight to flight: the one table from which the study schema,
 * validation, help text, Arrow columns, report labels and documentation are derived. Knows no study: a row whose
 * nominal value is one of a study's own says so, and study/nominal.ts reads it. New rows go to the end: a row's place
 * is its column in every sampling design.
 *
 * Bounds are what the model accepts, not what is likely; a draw beyond them is held at them, and `check` says how
 * often.
 */

const TURN = 2 * Math.PI;
const DEG = Math.PI / 180;

/** A row's nominal value: a number that is the same for every study, or `study`, read by study/nominal.ts. */
type Nominal = 0 | 1 | 'study';

interface Row<K extends string, N extends Nominal> {
  /** Dotted, unique, stable: e.g. `ascent.impulseFactor`. */
  readonly key: K;
  /** Ranking group: `ascent motor`, `wind`, ... */
  readonly group: string;
  /** SI unit as printed; '' for a plain number. */
  readonly unit: string;
  readonly meaning: string;
  /** Inclusive bounds of what the model accepts, SI. */
  readonly low: number;
  readonly high: number;
  /** 'yesNo' inputs are 0 or 1. */
  readonly type: 'number' | 'yesNo';
  /** Set on directions: angles that are the same a turn on. */
  readonly circle?: true;
  readonly nominal: N;
}

const number = <const K extends string, const N extends Nominal>(
  key: K,
  group: string,
  unit: string,
  low: number,
  high: number,
  meaning: string,
  nominal: N,
): Row<K, N> => ({ key, group, unit, low, high, meaning, type: 'number', nominal });

/** A direction: the same a turn on. */
const circle = <const R extends Row<string, Nominal>>(row: R): R => ({ ...row, circle: true });

const chance = <const K extends string>(key: K, group: string, meaning: string): Row<K, 0> => ({
  key,
  group,
  unit: '',
  low: 0,
  high: 1,
  meaning,
  type: 'yesNo',
  nominal: 0,
});

const motor = <const M extends 'ascent' | 'landing'>(name: M) => {
  const group = `${name} motor`;
  // biome-ignore format: a table reads best one row a line
  return [
    number(`${name}.impulseFactor`, group, '', 0.3, 2, 'total impulse over the nominal curve’s', 1),
    number(`${name}.burnTimeFactor`, group, '', 0.3, 3, 'burn time over the nominal curve’s', 1),
    number(`${name}.ignitionDelay`, group, 's', 0, 5, name === 'ascent' ? 'from time zero to the start of the curve' : 'from the ignition command to the start of the curve', 'study'),
    number(`${name}.propellantMass`, group, 'kg', 1e-4, 5, 'propellant loaded', 'study'),
    number(`${name}.misalignmentY`, 'thrust misalignment', 'rad', -0.2, 0.2, 'thrust direction turned toward body y', 0),
    number(`${name}.misalignmentZ`, 'thrust misalignment', 'rad', -0.2, 0.2, 'thrust direction turned toward body z', 0),
    number(`${name}.offsetY`, 'thrust misalignment', 'm', -0.05, 0.05, 'thrust line beside the axis, along body y', 0),
    number(`${name}.offsetZ`, 'thrust misalignment', 'm', -0.05, 0.05, 'thrust line beside the axis, along body z', 0),
  ] as const;
};

/** One row for each body axis. */
const axes = <const S extends string, const N extends Nominal>(
  stem: S,
  group: string,
  unit: string,
  low: number,
  high: number,
  meaning: string,
  nominal: N,
) =>
  [
    number(`${stem}X`, group, unit, low, high, `${meaning} body x (along the axis)`, nominal),
    number(`${stem}Y`, group, unit, low, high, `${meaning} body y`, nominal),
    number(`${stem}Z`, group, unit, low, high, `${meaning} body z`, nominal),
  ] as const;

const legFails = <const L extends number>(leg: L) =>
  chance(`legs.failure${leg}`, 'chances', `leg ${leg} does not lock (1: fails; legs the vehicle does not have are ignored)`);

/** One row an input, in the fixed order of the sampling designs. */
// biome-ignore format: a table reads best one row a line
const ROWS = [
  ...motor('ascent'),
  ...motor('landing'),
  number('airframe.mass', 'mass', 'kg', 0.01, 50, 'airframe without motors', 'study'),
  number('airframe.station', 'mass', 'm', 0, 10, 'centre of mass of the airframe, aft of the nose tip', 'study'),
  number('airframe.inertiaAxial', 'mass', 'kg m^2', 1e-7, 50, 'airframe about its axis', 'study'),
  number('airframe.inertiaTransverse', 'mass', 'kg m^2', 1e-6, 50, 'airframe across its axis, about its own centre of mass', 'study'),
  number('air.axialFactor', 'air forces', '', 0, 5, 'on every axial coefficient', 1),
  number('air.axialNoseFactor', 'air forces', '', 0, 5, 'on the axial coefficient with flow from the nose, on top of air.axialFactor', 1),
  number('air.axialTailFactor', 'air forces', '', 0, 5, 'on the axial coefficient with flow from the tail, on top of air.axialFactor', 1),
  number('air.lateralFactor', 'air forces', '', 0, 5, 'on every normal-force slope and the crossflow drag', 1),
  number('air.lateralNoseFactor', 'air forces', '', 0, 5, 'on the normal-force slope with flow from the nose, on top of air.lateralFactor', 1),
  number('air.lateralTailFactor', 'air forces', '', 0, 5, 'on the normal-force slope with flow from the tail, on top of air.lateralFactor', 1),
  number('air.rollAsymmetry', 'air forces', '', -1, 1, 'rolling-moment coefficient that makes the vehicle spin', 'study'),
  number('air.rollDamping', 'air forces', '', -50, 0, 'roll-damping coefficient', 'study'),
  number('rail.tilt', 'rail', 'rad', -30 * DEG, 30 * DEG, 'from the vertical', 'study'),
  circle(number('rail.azimuth', 'rail', 'rad', -TURN, 2 * TURN, 'compass direction the rail leans toward', 'study')),
  number('wind.speed', 'wind', 'm/s', 0, 30, 'mean wind at 10 m', 'study'),
  circle(number('wind.direction', 'wind', 'rad', -TURN, 2 * TURN, 'compass direction the wind comes from', 'study')),
  number('wind.gustScale', 'wind', '', 0, 10, 'on all three gust intensities', 'study'),
  number('site.temperature', 'air state', 'K', 220, 330, 'air temperature at the ground', 'study'),
  number('site.pressure', 'air state', 'Pa', 40000, 110000, 'air pressure at the ground', 'study'),
  ...axes('accelerometer.bias', 'accelerometer', 'm/s^2', -20, 20, 'bias along', 0),
  ...axes('accelerometer.scale', 'accelerometer', '', -0.5, 0.5, 'scale error along', 0),
  ...axes('accelerometer.noise', 'accelerometer', 'm/s^2/Hz^0.5', 0, 1, 'noise density along', 'study'),
  number('imu.station', 'accelerometer', 'm', 0, 10, 'of the inertial sensor, aft of the nose tip', 'study'),
  number('imu.offsetY', 'accelerometer', 'm', -0.5, 0.5, 'inertial sensor beside the axis, along body y', 'study'),
  number('imu.offsetZ', 'accelerometer', 'm', -0.5, 0.5, 'inertial sensor beside the axis, along body z', 'study'),
  ...axes('gyro.bias', 'gyro', 'rad/s', -1, 1, 'bias about', 0),
  ...axes('gyro.scale', 'gyro', '', -0.5, 0.5, 'scale error about', 0),
  ...axes('gyro.noise', 'gyro', 'rad/s/Hz^0.5', 0, 0.1, 'noise density about', 'study'),
  number('barometer.bias', 'barometer', 'm', -100, 100, 'height bias (ignored when none is fitted)', 0),
  number('barometer.noise', 'barometer', 'm/Hz^0.5', 0, 10, 'noise density (ignored when none is fitted)', 'study'),
  number('barometer.lag', 'barometer', 's', 0, 5, 'first-order lag (ignored when none is fitted)', 'study'),
  number('alignment.y', 'alignment', 'rad', -0.5, 0.5, 'error of the starting attitude about body y', 0),
  number('alignment.z', 'alignment', 'rad', -0.5, 0.5, 'error of the starting attitude about body z', 0),
  number('timing.clockError', 'timing', '', -0.05, 0.05, 'true tick over believed tick, minus one', 0),
  number('timing.transitionGap', 'timing', 's', 0, 2, 'after each phase change, never integrated', 'study'),
  number('timing.stallRate', 'timing', '1/s', 0, 20, 'stalls per second', 'study'),
  number('timing.stallDuration', 'timing', 's', 0, 1, 'mean duration of a stall', 'study'),
  number('detection.liftoffThreshold', 'detection', 'm/s^2', 9.9, 200, 'axial specific force above which liftoff is recognised', 'study'),
  number('detection.burnoutThreshold', 'detection', 'm/s^2', -50, 100, 'axial specific force below which burnout is recognised', 'study'),
  number('gimbal.lag', 'gimbal', 's', 0.002, 1, 'time constant of both servos', 'study'),
  number('gimbal.rateLimit', 'gimbal', 'rad/s', 0.01, 100, 'fastest deflection of both servos', 'study'),
  number('gimbal.trimY', 'gimbal', 'rad', -0.2, 0.2, 'thrust direction at zero command turned toward body y', 0),
  number('gimbal.trimZ', 'gimbal', 'rad', -0.2, 0.2, 'thrust direction at zero command turned toward body z', 0),
  number('legs.releaseTime', 'legs', 's', 0, 60, 'release after believed apogee (ignored when released at a height)', 'study'),
  number('legs.releaseHeight', 'legs', 'm', 0, 3000, 'believed height of the release (ignored when released by time)', 'study'),
  number('legs.deploymentTime', 'legs', 's', 0.01, 10, 'from release to locked', 'study'),
  legFails(1), legFails(2), legFails(3), legFails(4), legFails(5), legFails(6), legFails(7), legFails(8),
  chance('landing.igniterFails', 'chances', 'the landing motor never lights (1: fails)'),
  chance('ascent.casingStuck', 'chances', 'the spent ascent casing does not leave and the landing motor gives no thrust (1: stuck)'),
  number('ground.slope', 'ground', 'rad', 0, 30 * DEG, 'of the ground through the pad', 'study'),
  circle(number('ground.azimuth', 'ground', 'rad', -TURN, 2 * TURN, 'compass direction toward which the ground falls', 'study')),
  chance('gimbal.jamY', 'chances', 'the servo toward body y jams (1: jams)'),
  chance('gimbal.jamZ', 'chances', 'the servo toward body z jams (1: jams)'),
  number('gimbal.jamTime', 'gimbal', 's', 0, 600, 'from time zero to when a servo that jams does', 0),
  number('gimbal.jamAngle', 'gimbal', 'rad', -0.5, 0.5, 'deflection that a servo that jams goes to and keeps', 0),
  number('motors.warmer', 'air state', 'K', -60, 60, 'both motors over the air at the ground, or over their stated temperature (ignored where a motor says nothing of temperature)', 0),
  number('ground.friction', 'ground', '', 0.01, 5, 'friction coefficient between foot and ground, at rest and sliding (ignored where touchdown is judged by rules)', 'study'),
  number('ground.stiffnessFactor', 'ground', '', 0.01, 100, 'on the ground’s stiffness under a foot (ignored where it is rigid or touchdown is judged by rules)', 1),
  number('legs.stiffnessFactor', 'legs', '', 0.05, 5, 'on the stiffness of every leg (ignored where touchdown is judged by rules)', 1),
  number('legs.dampingFactor', 'legs', '', 0.05, 5, 'on the damping of every leg (ignored where touchdown is judged by rules)', 1),
  number('legs.strengthFactor', 'legs', '', 0.05, 5, 'on the strength of every leg (ignored where touchdown is judged by rules)', 1),
] as const;

/** Key of an input. */
export type InputKey = (typeof ROWS)[number]['key'];
/** Key of an input whose nominal value is one of the study's own. */
export type StudyInputKey = Extract<(typeof ROWS)[number], { nominal: 'study' }>['key'];
export type InputRow = Row<InputKey, Nominal>;

/** One row an input, in the fixed order of the sampling designs. */
export const CATALOGUE: readonly InputRow[] = ROWS;

/** Column of each key, for words that a person wrote. */
export const INPUT_INDEX: ReadonlyMap<string, number> = new Map(CATALOGUE.map((row, i) => [row.key, i]));

const COLUMN = Object.fromEntries(CATALOGUE.map((row, i) => [row.key, i])) as Record<InputKey, number>;

/** Column of an input. */
export function inputIndex(key: InputKey): number {
  return COLUMN[key];
}

/** A value for each of some inputs, by key. */
export function byInput<T>(keys: readonly InputKey[], value: (key: InputKey) => T): Partial<Record<InputKey, T>> {
  const made: Partial<Record<InputKey, T>> = {};
  for (const key of keys) made[key] = value(key);
  return made;
}

/** Whether a word is the key of an input. */
export function isInputKey(word: string): word is InputKey {
  return INPUT_INDEX.has(word);
}
