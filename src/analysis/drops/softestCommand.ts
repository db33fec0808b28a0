/**
 * Where one descent is best lit: the believed command height with the softest touchdown, over all there are. Judges
 * nothing.
 */
import { goldenSection } from '../../maths/goldenSection.ts';
import type { RuleChoice } from '../../study/study.ts';
import type { NominalFlight } from './nominalFlights.ts';

/** Places of the first look over all command heights. */
const LOOKS = 80;
/** m, of the command height. */
const FINE = 1e-5;
/** m: below every belief. */
const NEVER = -1e9;

/**
 * A rule that lights at a believed height; without one it never lights. Timed inside the tick, so that no tick blurs
 * the answer.
 */
export function litAt(lead: number, tiltGuard: number, height: number = NEVER): RuleChoice {
  return { name: 'drops', kind: 'fixedHeight', constants: { height }, lead, tiltGuard, insideTick: true };
}

export interface SoftestCommand {
  /** m, believed, as a fixed height's constant. */
  readonly height: number;
  readonly flight: NominalFlight;
  /** Believed heights between which it was looked for, and the step of the first look, m. */
  readonly bottom: number;
  readonly top: number;
  readonly step: number;
}

/**
 * @param fly the flight lit at a believed height   @param fall the same flight never lit   @param lead s
 * @param looks places of the first look   @param fine m, of the command height
 * @returns null when the flight computer never recognises the descent
 */
export function softestCommand(
  fly: (height: number) => NominalFlight,
  fall: NominalFlight,
  lead: number,
  looks = LOOKS,
  fine = FINE,
): SoftestCommand | null {
  const top = fall.out('believedApogee');
  const bottom = fall.out('believedFinalHeight') - fall.out('believedFinalSpeed') * lead;
  if (!(top > bottom)) return null;
  // What never touched the ground came to no result: worse than any touchdown.
  const sink = (height: number): number => {
    const speed = fly(height).out('sink');
    return Number.isNaN(speed) ? Number.MAX_VALUE : speed;
  };
  const step = (top - bottom) / looks;
  const seen = Array.from({ length: looks + 1 }, (_, i) => sink(bottom + i * step));
  const place = seen.indexOf(Math.min(...seen));
  const best = goldenSection(sink, bottom + Math.max(0, place - 1) * step, bottom + Math.min(looks, place + 1) * step, fine);
  const height = best.value <= seen[place] ? best.at : bottom + place * step;
  return { height, flight: fly(height), bottom, top, step };
}
