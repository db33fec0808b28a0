/**
 * How likely what was seen of an attempt is, given one simulated flight of it, and how far off in standard errors. Flies
 * nothing.
 */
import { OUTCOMES, OUTPUTS, outputIndex } from '../../flight/outputs.ts';
import { CATALOGUE, inputIndex, isInputKey } from '../../inputs/catalogue.ts';
import { normalCdf } from '../../maths/normal.ts';
import type { Observation } from '../logbook/logbook.ts';

/**
 * A number seen in a flight that had none of it counts as so many errors off: next to impossible, and still finite, so
 * that tempering can lead away from it.
 */
const MISSED = 8;
/** Errors off at most: beyond, a flight is as wrong as can be. Its likelihood stays finite. */
const FARTHEST = 1e6;
const HALF_LOG_TURN = 0.5 * Math.log(2 * Math.PI);
const TURN = 2 * Math.PI;

/** Place in a flight's row of what was seen. */
export function columnOf({ key }: Observation): number {
  return isInputKey(key) ? inputIndex(key) : CATALOGUE.length + outputIndex(key);
}

const isCircle = ({ key }: Observation): boolean => isInputKey(key) && CATALOGUE[inputIndex(key)].circle === true;

/** Values that words, counts and yes or no may take: what a misjudgement is shared among. */
function othersOf({ key }: Observation): number {
  if (isInputKey(key)) return 1;
  const { type } = OUTPUTS[outputIndex(key)];
  return type === 'outcome' ? OUTCOMES.length - 2 : 1;
}

/** Observed less simulated, SI; the short way round on a circle. NaN where the flight had none of it. */
export function missOf(observation: Observation, value: number, simulated: number): number {
  const miss = value - simulated;
  return isCircle(observation) ? miss - TURN * Math.round(miss / TURN) : miss;
}

/** Observed less simulated in standard errors; NaN where that has no meaning. */
export function residualOf(observation: Observation, simulated: number): number {
  const { sight } = observation;
  return sight.kind === 'value' ? missOf(observation, sight.value, simulated) / sight.error : Number.NaN;
}

/** log of the likelihood, finite. @param simulated NaN where the flight had none of it */
export function logLikelihoodOf(observation: Observation, simulated: number): number {
  const { sight, misjudged } = observation;
  if (sight.kind === 'value') {
    const off = Number.isNaN(simulated) ? MISSED : Math.min(Math.abs(residualOf(observation, simulated)), FARTHEST);
    return -0.5 * off * off - Math.log(sight.error) - HALF_LOG_TURN;
  }
  return Math.log(holds(observation, simulated) ? 1 - misjudged : misjudged / othersOf(observation));
}

/** log of the likelihood of a flight that did exactly what was seen. */
export function bestLogLikelihood({ sight, misjudged }: Observation): number {
  return sight.kind === 'value' ? -Math.log(sight.error) - HALF_LOG_TURN : Math.log(1 - misjudged);
}

/** Whether a word, a count, a between or a never is what the flight did. */
export function holds({ sight }: Observation, simulated: number): boolean {
  switch (sight.kind) {
    case 'value':
      return false;
    case 'within':
      return simulated >= sight.low && simulated <= sight.high;
    case 'exactly':
      return simulated === sight.value;
    case 'never':
      return Number.isNaN(simulated);
  }
}

/** Share of sights of this flight, error and all, at or below what was seen; NaN where it had none of it. */
export function shareBelow(observation: Observation, simulated: number): number {
  return normalCdf(residualOf(observation, simulated));
}
