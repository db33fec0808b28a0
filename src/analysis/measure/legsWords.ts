/** What drops on the legs say, in words and as lines of a study. Measures nothing. */
import { inputLine, inputsSection, written } from './block.ts';
import type { LegsMeasurement } from './measurement.ts';

type Found = Pick<LegsMeasurement, 'mass' | 'legs' | 'stiffness' | 'drops' | 'damping' | 'ratio' | 'distribution'>;

/** Between these shares of critical damping legs neither throw the vehicle back nor ram it. */
const USEFUL = [0.6, 0.8] as const;

const plain = (x: number): string => String(Number(x.toPrecision(3)));

/** One sentence, true whatever the numbers. */
export function legsFinding({ damping, ratio, drops }: Found): string {
  const told = drops.filter((drop) => drop.damping !== null).length;
  const few = told === 1 ? '; one rebound cannot say how sure that is, so drop it again' : '';
  const advice =
    ratio.value < USEFUL[0]
      ? 'the legs throw the vehicle back, and more damping would keep it down'
      : ratio.value > USEFUL[1]
        ? 'the legs hardly give at a fast touch, and less damping would spare them'
        : 'the legs are damped about as well as they can be';
  return `Each leg’s damping is ${plain(damping.value)} N s/m, ${plain(ratio.value)} of critical; ${advice}${few}.`;
}

/** How it was found, a line each. */
export function legsHow({ drops, legs, mass, stiffness, distribution }: Found): readonly string[] {
  const none = drops.filter(({ damping }) => damping === null).length;
  return [
    `${plain(mass)} kg on ${legs} legs of ${plain(stiffness)} N/m each: a spring and a dashpot that cannot pull, gravity kept (after Schwager and Poeschel, 2007). The damping is the one that gives each rebound; the interval, 95 %, is of their mean.`,
    'Useful is 0.6 to 0.8 of critical: less throws the vehicle back, more is felt as force at once. Measure the stiffness first: stand the vehicle on a scale, press, and read millimetres.',
    ...(none > 0
      ? [`${none} of ${drops.length} drops had no rebound; they say only that the damping is not small, and are not in the mean.`]
      : []),
    ...(distribution === null
      ? ['Fewer than three rebounds do not say how it varies.']
      : ['What is drawn is Student’s t about the mean: reading a film is most of it, so the legs themselves vary less.']),
    'A drop onto a hard floor says nothing of soft ground, and one at walking pace nothing of legs that bend.',
  ];
}

/** Lines of YAML, for a study whose touchdown is simulated. */
export function legsBlock({ stiffness, damping, distribution }: Found): readonly string[] {
  return [
    'vehicle: # to add to its legs, for a touchdown by springs',
    `  legs: { stiffness: ${written(stiffness, 'N/m')}, damping: ${written(damping.value, 'N*s/m')} }`,
    ...(distribution === null ? [] : inputsSection([inputLine({ key: 'legs.dampingFactor', distribution, note: '' })])),
  ];
}
