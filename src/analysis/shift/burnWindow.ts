/**
 * From what true height must the vehicle light to touch down softly? The nominal vehicle (no noise, gusts, stalls or
 * sensor rounding) is flown at three ascent impulses with the command at many heights; at each impulse the touchdown is
 * soft over a window of heights, whose middle is the place to aim at: errors to both sides then cost alike. Between the
 * impulses the middle is a line in the speed of the descent.
 */
import type { RuleChoice, Study } from '../../study/study.ts';
import { heldLimits } from '../../study/touchdownLimits.ts';
import { type NominalFlight, NominalFlights } from '../drops/nominalFlights.ts';

/** The height to light at, against the speed there: `height + slope (speed - speed there)`. */
export interface BurnTarget {
  /** m, true, at the command: middle of the nominal window; m/s there. */
  readonly height: number;
  readonly speed: number;
  /** s: how much higher for each m/s of descent. */
  readonly slope: number;
  /** m: how much a command one metre lower changes the miss, since the vehicle is faster there too. */
  readonly perMetre: number;
  /** m: half of the nominal window. */
  readonly reach: number;
  /** Nominal flights flown to find it. */
  readonly flown: number;
}

/** Over the nominal ascent impulse: about the spread of apogees on one motor. */
const IMPULSES = [0.97, 1, 1.03];
/** Heights tried between apogee and ground, and halvings toward each edge of the window. */
const LOOKS = 32;
const HALVINGS = 6;

interface Place {
  readonly height: number;
  readonly speed: number;
}

interface Window {
  readonly low: Place;
  readonly high: Place;
}

/**
 * @returns null where the nominal vehicle touches down softly from no height tried, or only one impulse does: there is
 * nothing to aim at
 */
export function burnTarget(study: Study): BurnTarget | null {
  const flights = new NominalFlights(study);
  const windows = IMPULSES.map((factor) => softWindow(flights, factor, heldLimits(study).sink));
  const middles = windows.map((window) => window && middleOf(window));
  const nominal = windows[1];
  const middle = middles[1];
  const known = middles.filter((place) => place !== null);
  if (nominal === null || middle === null || known.length < 2) return null;
  const [first, last] = [known[0], known[known.length - 1]];
  if (first.speed === last.speed) return null;
  const slope = (last.height - first.height) / (last.speed - first.speed);
  const faster = (nominal.low.speed - nominal.high.speed) / (nominal.high.height - nominal.low.height);
  const perMetre = 1 + slope * faster;
  if (!(perMetre > 0)) return null;
  const reach = (nominal.high.height - nominal.low.height) / 2;
  return { height: middle.height, speed: middle.speed, slope, perMetre, reach, flown: flights.flown };
}

function middleOf({ low, high }: Window): Place {
  return { height: (low.height + high.height) / 2, speed: (low.speed + high.speed) / 2 };
}

/** The run of command heights about the softest from which the touchdown keeps the limit. */
function softWindow(flights: NominalFlights, factor: number, limit: number): Window | null {
  const impulse = factor * flights.nominal('ascent.impulseFactor');
  const fly = (height: number): NominalFlight => {
    const rule: RuleChoice = { name: 'window', kind: 'fixedHeight', constants: { height }, lead: 0, tiltGuard: Math.PI, insideTick: true };
    return flights.fly(rule, { 'ascent.impulseFactor': impulse });
  };
  const fall = fly(Number.NEGATIVE_INFINITY);
  const [top, bottom] = [fall.out('believedApogee'), fall.out('believedFinalHeight')];
  if (!(top > bottom)) return null;
  const step = (top - bottom) / LOOKS;
  const soft = (place: number): boolean => fly(bottom + place * step).out('sink') <= limit;
  const looks = Array.from({ length: LOOKS + 1 }, (_, i) => fly(bottom + i * step).out('sink'));
  const softest = looks.reduce((best, sink, i) => (sink < looks[best] || Number.isNaN(looks[best]) ? i : best), 0);
  if (!(looks[softest] <= limit)) return null;
  const edge = (direction: 1 | -1): Place => {
    let inside = softest;
    while (looks[inside + direction] <= limit) inside += direction;
    let outside = inside + direction;
    for (let i = 0; i < HALVINGS; i++) {
      const between = (inside + outside) / 2;
      if (soft(between)) inside = between;
      else outside = between;
    }
    const flown = fly(bottom + inside * step);
    return { height: flown.out('ignitionHeight'), speed: flown.out('ignitionSpeed') };
  };
  const window = { low: edge(-1), high: edge(1) };
  return window.high.height > window.low.height ? window : null;
}
