/** Inputs that a study's vehicle does not have, and which therefore do nothing. */
import { MOTOR_TEMPERATURE_INPUT } from './motorFactors.ts';
import type { Study } from './study.ts';

const OF_SPRINGS: ReadonlySet<string> = new Set([
  'ground.friction',
  'ground.stiffnessFactor',
  'legs.stiffnessFactor',
  'legs.dampingFactor',
  'legs.strengthFactor',
]);

/** @returns why the input has no effect on a flight of this study, or undefined when it may have one. */
export function ineffectiveBecause(
  key: string,
  study: Pick<Study, 'vehicle' | 'sensors' | 'ascent' | 'landing' | 'touchdown' | 'ground'>,
): string | undefined {
  const { legs } = study.vehicle;
  const leg = /^legs\.failure(\d+)$/.exec(key);
  if (leg !== null && Number(leg[1]) > legs.count) return `the vehicle has ${legs.count} legs`;
  if (key.startsWith('barometer.') && study.sensors.barometer === null) return 'no barometer is fitted';
  if (key === 'legs.releaseTime' && legs.release.kind !== 'afterApogee') return 'the legs are released at a height';
  if (key === 'legs.releaseHeight' && legs.release.kind !== 'atHeight') return 'the legs are released a time after apogee';
  if (key === MOTOR_TEMPERATURE_INPUT && study.ascent.temperature === null && study.landing.temperature === null) {
    return 'no motor says how it goes with its temperature';
  }
  if (study.touchdown.model === 'rules' && OF_SPRINGS.has(key))
    return 'touchdown is judged by rules; touchdown.model: springs simulates it';
  if (key === 'legs.strengthFactor' && legs.strength === null) return 'the legs have no limit of strength';
  if (key === 'ground.stiffnessFactor' && study.ground.stiffness === null) return 'the ground is rigid';
  return undefined;
}
