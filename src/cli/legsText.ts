/** The nominal legs in words: what they stand, how they damp, how to measure them on the bench. Computes nothing. */
import { type LegReading, USEFUL_DAMPING } from '../analysis/nominal/legs.ts';
import { plain } from '../report/words.ts';
import { heading } from './terminal.ts';

const millimetres = (m: number): string => `${plain(1000 * m)} mm`;

/** For `check`, where touchdown is simulated. */
export function legsText(r: LegReading): string {
  const first = r.breaksFirst === 'strength' ? 'a leg breaks first' : 'the base reaches the ground first';
  return [
    `${heading('The legs')} stand an upright touchdown of ${plain(r.survivable)} m/s; beyond it ${first}.`,
    `  ${r.breaksAt === null ? 'They never break: legs.strength is not given' : `A leg breaks at ${plain(r.breaksAt)} m/s`}; the base reaches the ground at ${plain(r.bottomsAt)} m/s. On all ${r.count} legs at once, ${plain(r.mass)} kg, without thrust; one leg alone stands less. By these numbers they stand a fall from ${plain(r.standsFallFrom)} m.`,
    `  Standing, the weight presses them in by ${millimetres(r.sag)} of the ${millimetres(r.room)} there are.`,
    `  ${dampingWords(r)}`,
    `  ${tippingWords(r)}`,
    '  On the bench: push the standing vehicle down on a kitchen scale and read how far it gives with a ruler; the force over the way, shared by the legs,',
    '  is the stiffness of each. Drop it from a chair’s height, or lower, on the ground you fly from, film it and read how high it rebounds: `alight measure legs`',
    '  makes the damping of it (speed up over speed down is 0.2 at 0.7 of critical, 0.3 at 0.5, 0.45 at 0.3). Pull one foot with the scale until it bends or',
    '  gives: that is the strength. Pull the vehicle along the ground: the force that keeps it sliding over its weight is the friction.',
  ].join('\n');
}

function dampingWords({ dampingRatio, usefulDamping: [low, high] }: LegReading): string {
  const is = `The damping is ${plain(dampingRatio)} of critical`;
  const [least, most] = USEFUL_DAMPING;
  if (dampingRatio < least)
    return `${is}: below the useful ${least} to ${most} it bounces. Legs of ${plain(low)} to ${plain(high)} N s/m would be there.`;
  if (dampingRatio > most)
    return `${is}: above the useful ${least} to ${most} the dashpot hits hard at the touch itself. Legs of ${plain(low)} to ${plain(high)} N s/m would be there.`;
  return `${is}, within the useful ${least} to ${most}.`;
}

function tippingWords({ friction, tippingFriction }: LegReading): string {
  const limit = `the edge between two feet over the height of the centre of mass, ${plain(tippingFriction)}`;
  return friction > tippingFriction
    ? `Friction ${plain(friction)} is more than ${limit}: what slides fast enough tips over. A wider stance or a lower centre of mass helps.`
    : `Friction ${plain(friction)} is no more than ${limit}: what slides upright slides on and does not tip.`;
}
