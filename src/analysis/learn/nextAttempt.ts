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
import { familyNoise } from '../../statistics/learning/familyNoise.ts';
import type { Grown } from '../../statistics/learning/particleProblem.ts';
import { joined } from '../../statistics/learning/swarm.ts';
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import { pairedDifference } from '../../statistics/proportions/paired.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import type { Study } from '../../study/study.ts';
import type { Logbook, Setting } from '../logbook/logbook.ts';
import { shiftConstant } from '../shift/heightShift.ts';
import { standingParts } from './narrowed.ts';
import { LANDED, type Posterior } from './posterior.ts';
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
  /** Once the first attempt was known, the first two, and so on, up to but not with the last. */
  readonly grown: readonly LandingOdds[];
  /** The height that looked best; null where none did better than the constants as they are. */
  readonly change: HeightChange | null;
}

/** The prior's particles, those that know all attempts, or only so many of the first. */
type Known = 'before' | 'after' | number;

/** Flights of the next attempt: everything that is asked of them, by column. */
export interface NextFlights {
  /** By varying input, SI. */
  readonly inputs: readonly Float64Array[];
  /** By output, in the order of the table. */
  readonly outputs: readonly Float64Array[];
  /** Standing scores and all, a particle each: flights x dimensions. */
  readonly scores: Float64Array;
  /** By flight: the run that its particle is of, and the family, over all runs. */
  readonly runs: Int32Array;
  readonly families: Int32Array;
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

  /** Flights with the same fresh luck, whichever particles they are from. */
  async fly(known: Known, copies: number, luck: string, constants = this.#next.constants): Promise<NextFlights> {
    const { scores } = this.#posterior;
    const particles = this.#particlesOf(known);
    const rows = joined(particles.map((run) => run.scores));
    const count = rows.length / scores.dimensions;
    const all = new Float64Array(rows.length * copies);
    for (let copy = 0; copy < copies; copy++) all.set(rows, copy * rows.length);
    const parts = scores.parts[scores.parts.length - 1];
    const attempts = typeof known === 'number' ? known : scores.parts.length - 1;
    const standing = new Set(standingParts(this.#posterior, attempts).flatMap((own) => own.map(({ place }) => place)));
    const places = parts.flatMap((own) => own.map(({ place }) => place));
    const uniform = stream(`${this.#study.seed}/learn/${luck}`);
    const keys = new Float64Array(count * copies);
    for (let i = 0; i < keys.length; i++) {
      for (const place of places) {
        const fresh = normalQuantile(uniform());
        if (!standing.has(place)) all[i * scores.dimensions + place] = fresh;
      }
      keys[i] = i;
    }
    const simulator = new Simulator(this.#study, { ...scores, parts: [parts] }, [{ ...this.#next, constants }]);
    const columns = [...scores.columns, ...OUTPUTS.map((_, o) => CATALOGUE.length + o)];
    const [values] = (await simulator.fly(this.#session, all, keys, [columns], `learn/${luck}/${this.#study.seed}`)) as Flown;
    const flown = (own: (run: Grown, r: number) => ArrayLike<number>) => {
      const once = particles.flatMap((run, r) => Array.from(own(run, r)));
      return Int32Array.from({ length: keys.length }, (_, i) => once[i % count]);
    };
    return {
      inputs: values.slice(0, scores.columns.length),
      outputs: values.slice(scores.columns.length),
      scores: all,
      runs: flown(({ families }, r) => new Int32Array(families.length).fill(r)),
      // Of no run more families than particles.
      families: flown(({ families }, r) => families.map((family) => r * count + family)),
    };
  }

  /** Of each run. Those of the prior are each their own family. */
  #particlesOf(known: Known): Grown[] {
    return this.#posterior.runs.map(({ prior, particles, grown }) => {
      if (known === 'before') return { scores: prior.scores, families: Int32Array.from({ length: particles }, (_, i) => i) };
      return grown[known === 'after' ? grown.length - 1 : known - 1];
    });
  }

  /** Flights that {@link answer} takes beside those of before and after. */
  get more(): number {
    const particles = this.#posterior.runs.reduce((sum, run) => sum + run.particles, 0);
    return (this.#posterior.scores.parts.length - 2 + 1 + SHIFTS.length + COPIES) * particles;
  }

  /** @param luck that `after` was flown on */
  async answer(before: NextFlights, after: NextFlights, luck: string): Promise<NextAttempt> {
    const { rule } = this.#next;
    const grown: LandingOdds[] = [];
    // Before the next attempt stand all that were seen.
    for (let known = 1; known < this.#posterior.scores.parts.length - 1; known++) grown.push(oddsOf(await this.fly(known, 1, luck)));
    return { rule, before: oddsOf(before), after: oddsOf(after), grown, change: await this.#change(after, luck) };
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
    const gains = with_.map((outcome, i) => (outcome === LANDED ? 1 : 0) - (without[i] === LANDED ? 1 : 0));
    const chance = gains.reduce((sum, gain) => sum + (gain - difference) ** 2, 0) / gains.length ** 2;
    const wider = chance > 0 ? Math.sqrt(Math.max(1, varianceOf(gains, flown) / chance)) : 1;
    const [lower, upper] = interval.map((end) => difference + wider * (end - difference));
    return {
      constant: key,
      now,
      proposed: now + best.shift,
      shift: best.shift,
      odds: oddsOf(flown),
      gain: difference,
      interval: [Math.max(-1, lower), Math.min(1, upper)],
    };
  }
}

const outcomes = ({ outputs }: NextFlights): Float64Array => outputs[outputIndex('outcome')];

function landedIn(flights: NextFlights): number {
  return outcomes(flights).reduce((sum, outcome) => sum + (outcome === LANDED ? 1 : 0), 0);
}

/** Variance of a mean over flights: by families of particles, or by what the two runs differ where that is more. */
function varianceOf(values: Float64Array, { runs, families }: NextFlights): number {
  const sums = [0, 0];
  for (let i = 0; i < values.length; i++) sums[runs[i]] += values[i];
  const difference = (2 * (sums[0] - sums[1])) / values.length;
  return Math.max(familyNoise(values, families).variance, difference ** 2 / 4);
}

/**
 * Where flights of one family are alike, or the two runs differ, by more than chance makes flights differ, the interval is
 * that of so many fewer flights. A flight without a result counts as one that did not land.
 */
function oddsOf(flights: NextFlights): LandingOdds {
  const all = outcomes(flights);
  const n = all.length;
  const lands = Float64Array.from(all, (outcome) => (outcome === LANDED ? 1 : 0));
  const landed = landedIn(flights);
  const share = landed / n;
  const binomial = (share * (1 - share)) / n;
  const widened = Math.max(binomial, varianceOf(lands, flights));
  const worth = widened > 0 ? Math.max(2, Math.round((n * binomial) / widened)) : n;
  return { flights: n, landed, share, interval: clopperPearson(Math.round(share * worth), worth, LEVEL) };
}
