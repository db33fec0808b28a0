/** Inputs that a study's vehicle does not have, and which therefore do nothing. */
import { MOTOR_TEMPERATURE_INPUT } from './motorFactors.ts';
import type { Study } from './study.ts';

/** @returns why the input has no effect on a flight of this study, or undefined when it may have one. */
export function ineffectiveBecause(key: string, study: Pick<Study, 'vehicle' | 'sensors' | 'ascent' | 'landing'>): string | undefined {
  const { legs } = study.vehicle;
  const leg = /^legs\.failure(\d+)$/.exec(key);
  if (leg !== null && Number(leg[1]) > legs.count) return `the vehicle has ${legs.count} legs`;
  if (key.startsWith('barometer.') && study.sensors.barometer === null) return 'no barometer is fitted';
  if (key === 'legs.releaseTime' && legs.release.kind !== 'afterApogee') return 'the legs are released at a height';
  if (key === 'legs.releaseHeight' && legs.release.kind !== 'atHeight') return 'the legs are released a time after apogee';
  if (key === MOTOR_TEMPERATURE_INPUT && study.ascent.temperature === null && study.landing.temperature === null) {
    return 'no motor says how it goes with its temperature';
  }
  return undefined;
}
