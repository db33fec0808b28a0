/**
 * What a flight's inputs and the motor's temperature make of its nominal curve: factors on total impulse and burn time.
 * The temperature is the air's at the ground or the one stated, and what the motors are warmer than that.
 */
import { type InputKey, inputIndex } from '../inputs/catalogue.ts';
import type { Motor } from './study.ts';

export type MotorName = 'ascent' | 'landing';

/** Places of its inputs in the vector: looked up once, not for every flight. */
const PLACES: Readonly<Record<MotorName, { readonly impulse: number; readonly burnTime: number }>> = {
  ascent: { impulse: inputIndex('ascent.impulseFactor'), burnTime: inputIndex('ascent.burnTimeFactor') },
  landing: { impulse: inputIndex('landing.impulseFactor'), burnTime: inputIndex('landing.burnTimeFactor') },
};
const AIR = inputIndex('site.temperature');
const WARMER = inputIndex('motors.warmer');

/** Inputs that say nothing where no motor's temperature is given. */
export const MOTOR_TEMPERATURE_INPUT: InputKey = 'motors.warmer';

/** K above the temperature at which the curve holds; 0 where the motor says nothing of temperature. */
export function kelvinAbove({ temperature }: Motor, inputs: Float64Array): number {
  if (temperature === null) return 0;
  return (temperature.stated ?? inputs[AIR]) + inputs[WARMER] - temperature.reference;
}

/** Total impulse over the nominal curve's. @param inputs one value per catalogue row, SI */
export function impulseFactor(motor: Motor, name: MotorName, inputs: Float64Array): number {
  return inputs[PLACES[name].impulse] * (1 + (motor.temperature?.impulsePerKelvin ?? 0) * kelvinAbove(motor, inputs));
}

/** Burn time over the nominal curve's. @param inputs one value per catalogue row, SI */
export function burnTimeFactor(motor: Motor, name: MotorName, inputs: Float64Array): number {
  return inputs[PLACES[name].burnTime] * (1 + (motor.temperature?.burnTimePerKelvin ?? 0) * kelvinAbove(motor, inputs));
}
