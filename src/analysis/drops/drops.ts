/**
 * What a builder tries first: drops from a range of heights, each braked at the best moment. The nominal vehicle flies
 * with its ascent impulse varied so that it reaches chosen apogees; for each, the command height with the softest
 * touchdown is found. Without noise, gusts, stalls and sensor rounding, and with the command timed inside the tick, so
 * that no tick blurs the answer.
 *
 * What is believed is the mean over moments of liftoff within a tick: where belief starts late, a liftoff recognised
 * one tick sooner or later moves it by tens of centimetres, and drops that differ by that would bend the fits. Prints
 * nothing.
 */
import { UserError } from '../../errors.ts';
import { CATALOGUE, inputIndex } from '../../inputs/catalogue.ts';
import type { RuleChoice, Study } from '../../study/study.ts';
import { heldLimits } from '../../study/touchdownLimits.ts';
import { type Belief, BeliefAtHeight } from './beliefAtHeight.ts';
import type { BurnPoint } from './burnHeights.ts';
import type { Drop } from './drop.ts';
import { type DropFits, fitDrops } from './dropFits.ts';
import { type LandingVerdict, landingVerdict } from './landingVerdict.ts';
import { type NominalFlight, NominalFlights } from './nominalFlights.ts';
import { litAt, softestCommand } from './softestCommand.ts';

export interface DropOptions {
  /** Apogees, evenly spaced; at least 3. */
  readonly steps: number;
  /** Share of the nominal apogee: from so far below it to so far above. */
  readonly spread: number;
  /** s and rad: of the rule that the answers are for. */
  readonly lead: number;
  readonly tiltGuard: number;
}

export interface Drops {
  readonly lead: number;
  /**
   * Share of the nominal apogee that they reach about it: less than asked for where no ascent impulse flies farther.
   */
  readonly reached: number;
  readonly nominal: Drop;
  readonly drops: readonly Drop[];
  /** null when not one of the drops can be landed softly: a line through crashes is no rule. */
  readonly fits: DropFits | null;
  readonly verdict: LandingVerdict;
  /** Flights flown to find all this. */
  readonly flown: number;
}

/** m, of the apogee asked for. */
const APOGEE_FINE = 1e-4;
/** Moments of liftoff within a tick. */
const MOMENTS = 8;

/** @throws UserError when the nominal flight cannot be dropped from such heights */
export function flyDrops(study: Study, options: DropOptions): Drops {
  const { steps, spread, lead, tiltGuard } = options;
  if (!(Number.isInteger(steps) && steps >= 3 && spread > 0 && spread < 1)) throw new RangeError('drops need 3 steps or more and a spread');
  const flights = new NominalFlights(study);
  const lit = (height?: number): RuleChoice => litAt(lead, tiltGuard, height);
  const fall = (impulseFactor: number): NominalFlight => flights.fly(lit(), { 'ascent.impulseFactor': impulseFactor });

  const factor = flights.nominal('ascent.impulseFactor');
  const nominalFall = fall(factor);
  const apogee = nominalFall.out('apogee');
  if (nominalFall.outcome === 'no result' || !(apogee > 0)) {
    throw new UserError('the nominal flight comes to no result, so nothing can be dropped; see what `alight trace --nominal` shows of it');
  }
  const limit = heldLimits(study).sink;
  const dropWith = (impulseFactor: number): Drop => softest(flights, lit, impulseFactor, fall(impulseFactor), limit);
  const nominal = dropWith(factor);
  const { reached, factors } = factorsWithin(spread, steps, (share) =>
    share === 0 ? factor : factorFor(apogee * (1 + share), factor, fall),
  );
  const drops = factors.map((found) => (found === factor ? nominal : dropWith(found)));
  const soft = drops.filter((drop) => drop.soft);
  return {
    lead,
    reached,
    nominal,
    drops,
    fits: soft.length === 0 ? null : fitDrops(drops),
    verdict: landingVerdict(study, flights, drops, nominal),
    flown: flights.flown,
  };
}

/** The drops as a rule sees them. */
export function burnPoints({ drops }: Drops): BurnPoint[] {
  return drops.map((drop) => ({ height: drop.believedBurnHeight, speed: drop.believedCommandSpeed, apogee: drop.believedApogee }));
}

/** Of a spread that cannot be reached, the share that is tried next; and the least that drops are worth flying over. */
const NARROWER = 0.8;
const LEAST_SPREAD = 0.01;

/**
 * Ascent impulses for apogees evenly over the spread, or over the widest narrower one that can be reached.
 * @param reach from a share of the nominal apogee, above or below it, to the impulse; null where none reaches it
 * @throws UserError when hardly any spread can be reached
 */
function factorsWithin(
  spread: number,
  steps: number,
  reach: (share: number) => number | null,
): { readonly reached: number; readonly factors: readonly number[] } {
  for (let reached = spread; reached >= LEAST_SPREAD; reached *= NARROWER) {
    const factors: number[] = [];
    for (let i = 0; i < steps; i++) {
      const found = reach(reached * ((2 * i) / (steps - 1) - 1));
      if (found === null) break;
      factors.push(found);
    }
    if (factors.length === steps) return { reached, factors };
  }
  throw new UserError(
    `--spread: no ascent impulse reaches apogees even ${100 * LEAST_SPREAD} % about the nominal one; check ascent.impulseFactor and the curve`,
  );
}

/**
 * The ascent impulse that reaches an apogee, or null where none does: false position with the Illinois halving (M.
 * Dowell and P. Jarratt, BIT 11 (1971) 168-174).
 */
function factorFor(target: number, nominal: number, fall: (factor: number) => NominalFlight): number | null {
  const { low, high } = CATALOGUE[inputIndex('ascent.impulseFactor')];
  const miss = (factor: number): number => {
    const reached = fall(factor).out('apogee');
    return (Number.isNaN(reached) ? 0 : reached) - target;
  };
  let [a, b] = [nominal, nominal];
  let [missA, missB] = [miss(a), miss(b)];
  // The bracket grows outward from what is known to fly.
  for (let step = 0.02; missA > 0 && a > low; step *= 2) {
    a = Math.max(low, nominal * (1 - step));
    missA = miss(a);
  }
  for (let step = 0.02; missB < 0 && b < high; step *= 2) {
    b = Math.min(high, nominal * (1 + step));
    missB = miss(b);
  }
  if (missA > 0 || missB < 0) return null;
  for (let i = 0; i < 100; i++) {
    const middle = missA === missB ? (a + b) / 2 : (a * missB - b * missA) / (missB - missA);
    const missed = miss(middle);
    if (Math.abs(missed) <= APOGEE_FINE) return middle;
    if (missed > 0 === missB > 0) {
      [b, missB] = [middle, missed];
      missA /= 2;
    } else {
      [a, missA] = [middle, missed];
      missB /= 2;
    }
  }
  // The apogee jumps over the target.
  return null;
}

function softest(
  flights: NominalFlights,
  lit: (height?: number) => RuleChoice,
  impulseFactor: number,
  fall: NominalFlight,
  limit: number,
): Drop {
  const { lead } = lit();
  const found = softestCommand((height) => flights.fly(lit(height), { 'ascent.impulseFactor': impulseFactor }), fall, lead);
  if (found === null) {
    throw new UserError(
      `with the ascent impulse times ${impulseFactor.toFixed(3)} the flight computer never recognises the descent; check the phases' thresholds`,
    );
  }
  const { height, flight: flown, bottom, top, step } = found;
  const belief = meanBelief(flights, lit(), impulseFactor, flown.out('ignitionHeight'));
  const commandSpeed = flown.out('ignitionSpeed');
  const thrustHeight = flown.out('thrustHeight');
  return {
    impulseFactor,
    apogee: flown.out('apogee'),
    believedApogee: belief.apogee,
    burnHeight: flown.out('ignitionHeight') - commandSpeed * lead,
    believedBurnHeight: belief.height - belief.speed * lead,
    commandHeight: flown.out('ignitionHeight'),
    thrustHeight: Number.isNaN(thrustHeight) ? null : thrustHeight,
    commandSpeed,
    believedCommandSpeed: belief.speed,
    sink: flown.out('sink'),
    soft: flown.out('sink') <= limit,
    outcome: flown.outcome,
    end: top - height < step ? 'apogee' : height - bottom < step ? 'ground' : null,
    fallSpeed: fall.out('sink'),
  };
}

function meanBelief(flights: NominalFlights, never: RuleChoice, impulseFactor: number, height: number): Belief {
  const delay = flights.nominal('ascent.ignitionDelay');
  // Where lighting at once is best, a moment may recognise its descent only below the height: it has no belief to add.
  const seen = Array.from({ length: MOMENTS }, (_, i) => {
    const passing = new BeliefAtHeight(height);
    const changes = { 'ascent.impulseFactor': impulseFactor, 'ascent.ignitionDelay': delay + (i * flights.tick) / MOMENTS };
    flights.fly(never, changes, passing);
    return passing.found;
  }).filter((belief) => belief !== null);
  if (seen.length === 0) throw new Error(`no flight falls past the command height of ${height} m`);
  const mean = (key: keyof Belief): number => seen.reduce((sum, belief) => sum + belief[key], 0) / seen.length;
  return { height: mean('height'), speed: mean('speed'), apogee: mean('apogee') };
}
