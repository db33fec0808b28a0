/**
 * What each outcome means and what to look at when flights end so: the one table of explanations, for the terminal, the
 * page and the card. Beside the list of outcomes, which says in what order they are tried; words only.
 */
import type { Touchdown } from '../study/study.ts';
import type { Outcome } from './outputs.ts';

export interface OutcomeMeaning {
  /** Reads on after "outcome: ". */
  readonly meaning: string;
  /** Reads on after "look at "; empty where there is nothing amiss. */
  readonly lookAt: string;
}

export const OUTCOME_MEANINGS: Readonly<Record<Outcome, OutcomeMeaning>> = {
  'no result': {
    meaning: 'the flight came to no end that can be judged: time limit, never off the rail, or numbers that ran away. It is in no share',
    lookAt: 'limits.time, the ascent thrust against the weight, and the reason that `alight trace` gives',
  },
  landed: { meaning: 'it stands, and sink, slide and tilt kept their limits at every contact', lookAt: '' },
  'outside the field': {
    meaning: 'it stands with every limit kept, but farther from the pad than limits.radius allows',
    lookAt: 'wind and rail tilt, the apogee, and the drift damping',
  },
  'lost control going up': {
    meaning: 'the true tilt passed limits.lostControlTilt before the ascent motor burnt out, and the flight did not recover and land',
    lookAt: 'the speed off the rail against the wind, the stability margin, the gimbal’s authority and the attitude loop’s gains',
  },
  flipped: {
    meaning: 'it turned over, a true tilt past 120 degrees, between ascent burnout and the landing thrust, where nothing steers',
    lookAt: 'the centre of pressure against the centre of mass, nose first after burnout and tail first in the fall',
  },
  'held by the guard': {
    meaning: 'the rule wanted to light, but the tilt guard held it back down to the ground',
    lookAt: 'why the fall leans, and what the attitude believed is worth by then; the guard itself is there for safety',
  },
  'no landing thrust': {
    meaning: 'the rule never lit, or the igniter failed, or the spent ascent casing stuck',
    lookAt: 'the rule’s constants, whether liftoff and descent are recognised, igniter and casing',
  },
  'lost control coming down': {
    meaning: 'the true tilt passed limits.lostControlTilt in the landing burn, and the flight did not recover and land',
    lookAt: 'the tilt at the command, the landing motor’s misalignment, the gimbal’s authority and the attitude loop’s gains',
  },
  'lit too high': {
    meaning: 'it had been slow enough before, or its motor had burnt out, and then fell on and touched down too hard',
    lookAt: 'the rule’s height, to be lower; a burn whose last part holds just under the weight; belief too low at the command',
  },
  'lit too low': {
    meaning: 'it touched down too hard without ever having been slow enough in the landing burn',
    lookAt: 'the rule’s height, to be greater; the landing impulse; the ignition delay; belief too high at the command',
  },
  slid: {
    meaning: 'slow enough downward, but too fast along the ground',
    lookAt: 'wind, the drift damping and its tilt, the thrust’s misalignment',
  },
  leaned: {
    meaning: 'slow enough, but tilted against the ground by more than limits.tilt',
    lookAt: 'the attitude loop’s gains, the drift damping’s tilt, the ground’s slope',
  },
  'leg gave way': {
    meaning: 'a leg on the side it came down on was not locked, or not yet out',
    lookAt: 'the moment of the release and the deployment time, and the legs’ locks',
  },
  'tipped over': {
    meaning: 'within the limits at contact, but its feet were too close together to hold what was left of slide and turning',
    lookAt: 'the feet’s distance from the axis against the centre of mass’s height, slide and tilt rate at touchdown',
  },
};

/** What else it means where touchdown is simulated, legs and ground and all; outcomes that mean the same are left out. */
export const SIMULATED_MEANINGS: Readonly<Partial<Record<Outcome, OutcomeMeaning>>> = {
  landed: { meaning: 'it came to rest on its feet, and still stood when its thrust was over', lookAt: '' },
  'outside the field': {
    meaning: 'it came to rest on its feet, but farther from the pad than limits.radius allows',
    lookAt: 'wind and rail tilt, the apogee, and the drift damping',
  },
  'lit too high': {
    meaning:
      'a leg broke or the hull reached the ground at a sink beyond what the legs stand, after it had been slow enough or its motor had burnt out',
    lookAt:
      'the rule’s height, to be lower; a burn whose last part holds just under the weight; the legs’ strength, stiffness and room (alight check)',
  },
  'lit too low': {
    meaning:
      'a leg broke or the hull reached the ground at a sink beyond what the legs stand, without ever having been slow enough in the landing burn',
    lookAt:
      'the rule’s height, to be greater; the landing impulse; the ignition delay; the legs’ strength, stiffness and room (alight check)',
  },
  slid: {
    meaning: 'it was not at rest five seconds after it touched and its thrust was over, or broke limits.slide at the touch',
    lookAt: 'the ground’s slope against its friction; legs that hardly damp; wind and drift',
  },
  'leg gave way': {
    meaning:
      'a foot was pressed beyond its strength by less than the sink that all legs stand, or it fell toward a leg that was not locked',
    lookAt:
      'legs that come down one at a time: lean and turning at touchdown; the legs’ strength, damping and locks; the moment of the release',
  },
  'tipped over': {
    meaning: 'it fell over on its legs: past 60 degrees, or its hull on the ground',
    lookAt:
      'the friction against the feet’s distance over the centre of mass’s height, slide and tilt rate at touchdown, rebounds of legs too little damped',
  },
};

/** What an outcome means in a study. */
export function outcomeMeaning(outcome: Outcome, model: Touchdown['model']): OutcomeMeaning {
  return (model === 'springs' ? SIMULATED_MEANINGS[outcome] : undefined) ?? OUTCOME_MEANINGS[outcome];
}
