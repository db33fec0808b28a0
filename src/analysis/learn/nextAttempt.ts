/**
 * The next attempt, flown from the particles: its odds before and after, and the shift of lighting height that would
 * raise them most. Moves no particle.
 */
import type { Session } from '../../fleet/session.ts';
import { chosenRule } from '../../flight/flightMaker.ts';
import { OUTPUTS, outputIndex } from '../../flight/outputs.ts';
import { onboardModel } from '../../flight/setup.ts';
import { CATALOGUE } from '../../inputs/catalogue.ts';
import { normalQuantile } from '../../maths/normal.ts';
import { stream } from '../../maths/streams.ts';
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import { pairedDifference } from '../../statistics/proportions/paired.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import type { Study } from '../../study/study.ts';
import type { Logbook, Setting } from '../logbook/logbook.ts';
import { shiftConstant } from '../shift/heightShift.ts';
import { standingParts } from './narrowed.ts';
import { joined, LANDED, type Posterior } from './posterior.ts';
import { type Flown, Simulator } from './simulate.ts';

const LEVEL = 0.95;
/** Flights of each particle for the odds: its fresh draws differ. */
export const COPIES = 2;
/** m; lighting heights tried, around the constants as they are. */
const SHIFTS = [-2, -1.5, -1, -0.5, 0.5, 1, 1.5, 2];

export interface LandingOdds {
  readonly flights: number;
  readonly landed: number;
  readonly share: number;
  readonly interval: Interval;
}

export interface HeightChange {
  /** The constant that shifts the height, with its value now and the proposed one, SI. */
  readonly constant: string;
  readonly now: number;
  readonly proposed: number;
  /** m, upward positive. */
  readonly shift: number;
  readonly odds: LandingOdds;
  /** Landed with the shift less landed without, on the same luck, other than that it was found on. */
  readonly gain: number;
  readonly interval: Interval;
}

export interface NextAttempt {
  readonly rule: string;
  readonly before: LandingOdds;
  readonly after: LandingOdds;
  /** The height that looked best; null where none did better than the constants as they are. */
  readonly change: HeightChange | null;
}

/** Flights of the next attempt: everything that is asked of them, by column. */
export interface NextFlights {
  /** By varying input, SI. */
  readonly inputs: readonly Float64Array[];
  /** By output, in the order of the table. */
  readonly outputs: readonly Float64Array[];
  /** Standing scores and all, a particle each: flights x dimensions. */
  readonly scores: Float64Array;
}

export class NextAttemptFlyer {
  readonly #study: Study;
  readonly #next: Setting;
  readonly #posterior: Posterior;
  readonly #session: Session;

  constructor(study: Study, { next }: Logbook, posterior: Posterior, session: Session) {
    this.#study = study;
    this.#next = next;
    this.#posterior = posterior;
    this.#session = session;
  }

  /** Flights from the prior's particles, or from those that learnt, with the same fresh luck. */
  async fly(which: 'before' | 'after', copies: number, luck: string, constants = this.#next.constants): Promise<NextFlights> {
    const { scores, runs } = this.#posterior;
    const rows = joined(runs.map((run) => (which === 'before' ? run.prior.scores : run.scores)));
    const particles = rows.length / scores.dimensions;
    const all = new Float64Array(rows.length * copies);
    for (let copy = 0; copy < copies; copy++) all.set(rows, copy * rows.length);
    const standing = new Set(standingParts(this.#posterior).flatMap((parts) => parts.map(({ place }) => place)));
    const parts = scores.parts[scores.parts.length - 1];
    const fresh = parts.flatMap((own) => own.map(({ place }) => place)).filter((place) => !standing.has(place));
    const uniform = stream(`${this.#study.seed}/learn/${luck}`);
    const keys = new Float64Array(particles * copies);
    for (let i = 0; i < keys.length; i++) {
      for (const place of fresh) all[i * scores.dimensions + place] = normalQuantile(uniform());
      keys[i] = i;
    }
    const simulator = new Simulator(this.#study, { ...scores, parts: [parts] }, [{ ...this.#next, constants }]);
    const columns = [...scores.columns, ...OUTPUTS.map((_, o) => CATALOGUE.length + o)];
    const [values] = (await simulator.fly(this.#session, all, keys, [columns], `learn/${luck}/${this.#study.seed}`)) as Flown;
    return { inputs: values.slice(0, scores.columns.length), outputs: values.slice(scores.columns.length), scores: all };
  }

  /** Flights that {@link answer} takes beside those of before and after. */
  get more(): number {
    const particles = this.#posterior.runs.reduce((sum, run) => sum + run.particles, 0);
    return (1 + SHIFTS.length + COPIES) * particles;
  }

  /** @param luck that `after` was flown on */
  async answer(before: NextFlights, after: NextFlights, luck: string): Promise<NextAttempt> {
    const { rule } = this.#next;
    return { rule, before: oddsOf(before), after: oddsOf(after), change: await this.#change(after, luck) };
  }

  /** Searched on luck of its own, answered on that of the odds. */
  async #change(after: NextFlights, luck: string): Promise<HeightChange | null> {
    const choice = chosenRule(this.#study, this.#next);
    const { key, low, high } = shiftConstant(choice, onboardModel(this.#study));
    const now = choice.constants[key];
    const shifted = (shift: number) => ({ ...this.#next.constants, [key]: now + shift });
    let best = { shift: 0, landed: landedIn(await this.fly('after', 1, 'search')) };
    for (const shift of SHIFTS.filter((one) => one >= low && one <= high)) {
      const landed = landedIn(await this.fly('after', 1, 'search', shifted(shift)));
      if (landed > best.landed) best = { shift, landed };
    }
    if (best.shift === 0) return null;
    const flown = await this.fly('after', COPIES, luck, shifted(best.shift));
    const pairs = { both: 0, firstOnly: 0, secondOnly: 0, neither: 0 };
    const [with_, without] = [outcomes(flown), outcomes(after)];
    for (let i = 0; i < with_.length; i++) {
      const first = with_[i] === LANDED;
      const second = without[i] === LANDED;
      pairs[first ? (second ? 'both' : 'firstOnly') : second ? 'secondOnly' : 'neither']++;
    }
    const { difference, interval } = pairedDifference(pairs, LEVEL);
    return { constant: key, now, proposed: now + best.shift, shift: best.shift, odds: oddsOf(flown), gain: difference, interval };
  }
}

const outcomes = ({ outputs }: NextFlights): Float64Array => outputs[outputIndex('outcome')];

function landedIn(flights: NextFlights): number {
  return outcomes(flights).reduce((sum, outcome) => sum + (outcome === LANDED ? 1 : 0), 0);
}

/**
 * Flights are ordered by run within each copy; where the two runs differ by more than chance makes flights differ, the
 * interval is that of so many fewer flights. A flight without a result counts as one that did not land.
 */
function oddsOf(flights: NextFlights): LandingOdds {
  const landed = landedIn(flights);
  const all = outcomes(flights);
  const share = landed / all.length;
  const half = all.length / COPIES / 2;
  let first = 0;
  for (let i = 0; i < all.length; i++) if (Math.floor(i / half) % 2 === 0 && all[i] === LANDED) first++;
  const difference = (2 * first) / all.length - (2 * (landed - first)) / all.length;
  const binomial = (share * (1 - share)) / all.length;
  const widened = Math.max(binomial, difference ** 2 / 4);
  const worth = widened > 0 ? Math.max(2, Math.round((all.length * binomial) / widened)) : all.length;
  return { flights: all.length, landed, share, interval: clopperPearson(Math.round(share * worth), worth, LEVEL) };
}
