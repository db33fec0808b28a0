/** Which policy after a miss is best, as far as that can be told, and the sentence that says so. Computes nothing else. */
import type { Rival } from './rivals.ts';

const KEEP = 'keep';

/** Name of the policy that takes fewest attempts, if it was told from keeping; `keep` otherwise; null without any. */
export function bestPolicy(rivals: readonly Rival[]): string | null {
  if (rivals.length === 0) return null;
  const better = rivals.filter(({ verdict }) => verdict === 'fewer');
  if (better.length === 0) return KEEP;
  return better.reduce((best, one) => (one.saved.value > best.saved.value ? one : best)).name;
}

/** What a builder does, as words after "after a miss, ". */
export function policyWords(name: string): string {
  const [kind, value] = name.split(':');
  const percent = `${Number((100 * Number(value)).toPrecision(3))} %`;
  switch (kind) {
    case 'correct':
      return Number(value) === 1 ? 'correct all of it' : `correct ${percent} of it`;
    case 'harmonic':
      return 'correct all of the first, half of the second, a third of the third';
    case 'weighted':
      return value === 'Infinity' ? 'change nothing' : `correct ${weightedGains(Number(value))} of it, the first, second and third time`;
    default:
      return 'leave the program as it is';
  }
}

function weightedGains(ratio: number): string {
  const gains = [1, 2, 3].map((n) => `${Number((100 / (n + ratio)).toPrecision(2))} %`);
  return `${gains[0]}, ${gains[1]} and ${gains[2]}`;
}

const number = (x: number): string => `${Number(x.toPrecision(2))}`;
const attemptsWord = (x: number): string => `${number(x)} ${number(x) === '1' ? 'attempt' : 'attempts'}`;

/** True whatever the numbers. */
export function policiesFinding(rivals: readonly Rival[], best: string | null, alike: readonly string[]): string {
  const winner = rivals.find(({ name }) => name === best);
  const worse = rivals.filter(({ verdict }) => verdict === 'more');
  const worst = worse.length === 0 ? undefined : worse.reduce((a, b) => (b.saved.value < a.saved.value ? b : a));
  const cost =
    worst === undefined
      ? ''
      : ` ${worst.name} takes ${attemptsWord(-worst.saved.value)} more (${number(-worst.saved.interval[1])} to ${number(-worst.saved.interval[0])}) than leaving it.`;
  if (best === null) return 'No policy was flown to an end, so nothing can be said of what to change after a miss.';
  if (winner === undefined) {
    return `After a miss, leave the program as it is: no policy was told to take fewer attempts, by ${rivals[0].pairs} campaigns on the same luck.${cost}`;
  }
  const { saved, attempts } = winner;
  const others = alike.length === 0 ? '' : ` Not told apart from it: ${alike.join(', ')}.`;
  return `After a miss, ${policyWords(winner.name)}: that saves ${attemptsWord(saved.value)} (${number(saved.interval[0])} to ${number(saved.interval[1])}) of the ${number(attempts.value + saved.value)} that a first landing takes with the program left as it is.${others}${cost}`;
}
