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
/** Places between ground and apogee, and halvings between two of them toward each edge of the window. */
const PLACES = 32;
const HALVINGS = 6;
/** Places flown first: every second; at the other impulses those so near the nominal softest. */
const STRIDE = 2;
const NEAR = 4;

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
  const limit = heldLimits(study).sink;
  const centre = new Descents(flights, IMPULSES[1]);
  const softest = centre.softest(0, PLACES);
  const windows = IMPULSES.map((factor, i) => {
    if (i === 1) return centre.window(softest, limit);
    const descents = new Descents(flights, factor);
    return descents.window(descents.softest(softest - NEAR, softest + NEAR), limit);
  });
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

/** Touchdowns by the place of the command, from 0 at the ground to PLACES at apogee, both as believed; each flown once. */
class Descents {
  readonly #flown = new Map<number, NominalFlight>();
  readonly #fly: (height: number) => NominalFlight;
  readonly #bottom: number;
  readonly #step: number;

  constructor(flights: NominalFlights, factor: number) {
    const impulse = factor * flights.nominal('ascent.impulseFactor');
    this.#fly = (height) => {
      const rule: RuleChoice = {
        name: 'window',
        kind: 'fixedHeight',
        constants: { height },
        lead: 0,
        tiltGuard: Math.PI,
        insideTick: true,
      };
      return flights.fly(rule, { 'ascent.impulseFactor': impulse });
    };
    const fall = this.#fly(Number.NEGATIVE_INFINITY);
    this.#bottom = fall.out('believedFinalHeight');
    this.#step = (fall.out('believedApogee') - this.#bottom) / PLACES;
  }

  /** The whole place of the softest touchdown: sink falls toward it from both sides. */
  softest(from: number, to: number): number {
    let best = from;
    for (let place = from + STRIDE; place <= to; place += STRIDE) if (this.#sink(place) < this.#sink(best)) best = place;
    for (const direction of [-1, 1]) while (this.#sink(best + direction) < this.#sink(best)) best += direction;
    return best;
  }

  /** The run of command heights about the softest from which the touchdown keeps the limit. */
  window(softest: number, limit: number): Window | null {
    if (!(this.#sink(softest) <= limit)) return null;
    const edge = (direction: 1 | -1): Place => {
      let inside = softest;
      while (this.#sink(inside + direction) <= limit) inside += direction;
      let outside = inside + direction;
      for (let i = 0; i < HALVINGS; i++) {
        const between = (inside + outside) / 2;
        if (this.#sink(between) <= limit) inside = between;
        else outside = between;
      }
      const flown = this.#at(inside);
      return { height: flown.out('ignitionHeight'), speed: flown.out('ignitionSpeed') };
    };
    const window = { low: edge(-1), high: edge(1) };
    return window.high.height > window.low.height ? window : null;
  }

  /** m/s; infinite where there is no touchdown, and beyond the ends. */
  #sink(place: number): number {
    if (!(this.#step > 0) || place < 0 || place > PLACES) return Number.POSITIVE_INFINITY;
    const sink = this.#at(place).out('sink');
    return Number.isNaN(sink) ? Number.POSITIVE_INFINITY : sink;
  }

  #at(place: number): NominalFlight {
    const known = this.#flown.get(place);
    if (known !== undefined) return known;
    const flown = this.#fly(this.#bottom + place * this.#step);
    this.#flown.set(place, flown);
    return flown;
  }
}
