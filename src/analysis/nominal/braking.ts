/** Can the landing motor stop the fall, does it stop it too soon, and does the rule light it where that is softest. */
import { ruleKind } from '../../avionics/rules/kinds.ts';
import { greatest } from '../../maths/extremes.ts';
import { impulseOf } from '../../maths/thrustCurve.ts';
import { impulseFactor } from '../../study/motorFactors.ts';
import { nominalInputs } from '../../study/nominal.ts';
import type { RuleChoice, Study } from '../../study/study.ts';
import { heldLimits } from '../../study/touchdownLimits.ts';
import { heightSlope, lightingHeights } from '../drops/burnHeights.ts';
import type { NominalFlight, NominalFlights } from '../drops/nominalFlights.ts';
import { litAt, type SoftestCommand, softestCommand } from '../drops/softestCommand.ts';
import type { NominalFinding } from './finding.ts';
import { Instants } from './instants.ts';

/** rad: the guard has a finding of its own, and must not spoil what is said of the motor. */
const NO_GUARD = Math.PI;
/** m/s upward in the burn, from which it is a climb and no wobble of the last metre. */
const CLIMBING = 0.3;
/** m: first step away from the softest height, and how closely an edge is found. */
const FIRST_STEP = 0.1;
const EDGE = 0.05;
/** Places of the first look over all command heights, and fineness in m: what is said is rounded to centimetres. */
const LOOKS = 40;
const FINE = 1e-3;

/** The nominal flight lit where that is softest. */
export interface Softest {
  readonly command: SoftestCommand;
  readonly seen: Instants;
}

/** null when the computer never recognises the descent, or the flight never comes down. */
export function softestOf(flights: NominalFlights, rule: RuleChoice): Softest | null {
  const lit = (height?: number): RuleChoice => litAt(rule.lead, NO_GUARD, height);
  const fall = flights.fly(lit());
  if (Number.isNaN(fall.out('sink'))) return null;
  const command = softestCommand((height) => flights.fly(lit(height)), fall, rule.lead, LOOKS, FINE);
  if (command === null || Number.isNaN(command.flight.out('sink'))) return null;
  const seen = new Instants();
  flights.fly(lit(command.height), {}, seen);
  return { command, seen };
}

export function motorFindings(softest: Softest, rule: RuleChoice, flights: NominalFlights, study: Study): NominalFinding[] {
  const { flight } = softest.command;
  const sink = flight.out('sink');
  if (sink <= heldLimits(study).sink || flight.out('landingThrust') === 0) return [];
  if (tooMuch(softest)) return [];
  const fall = flights.fly(litAt(rule.lead, NO_GUARD));
  const { plant } = softest.seen.setup;
  const { mass } = softest.seen.burning('landing')[0].load;
  const weight = mass * plant.gravity;
  const peakThrust = greatest(study.landing.curve.thrust) * plant.landing.thrustScale;
  const impulse =
    impulseOf(study.landing.curve.time, study.landing.curve.thrust) * impulseFactor(study.landing, 'landing', nominalInputs(study));
  const burnt = impulse - flight.out('impulseLeft');
  // What is left of the fall, taken away at the greatest thrust, which has the weight to carry meanwhile.
  const missing =
    mass * (sink - heldLimits(study).sink) * (peakThrust > weight ? peakThrust / (peakThrust - weight) : Number.POSITIVE_INFINITY);
  return [
    {
      key: 'cannotStop',
      severity: 'fault',
      needed: burnt + missing,
      burnt,
      impulse,
      mass,
      apogee: flight.out('apogee'),
      fallSpeed: fall.out('sink'),
      sink,
      limit: heldLimits(study).sink,
      peakThrust,
      weight,
    },
  ];
}

/**
 * Even lit where that is softest it climbs, lifts off again, or touches down with thrust above the weight and more than
 * enough left to stop.
 */
function tooMuch({ command, seen }: Softest): boolean {
  const { flight } = command;
  if (flight.out('hops') > 0 || climb(seen) !== null) return true;
  const { load } = seen.all[seen.all.length - 1];
  return load.landingThrust > load.mass * seen.setup.plant.gravity && flight.out('impulseLeft') > load.mass * flight.out('sink');
}

/**
 * A flight that stops falling before its landing motor is spent. @param everywhere even lit where that is softest, it
 * does
 */
export function climbFindings(flight: NominalFlight, seen: Instants, softest: Softest): NominalFinding[] {
  const found = climb(seen);
  const hops = flight.out('hops');
  if (found === null && !(hops > 0)) return [];
  const everywhere = tooMuch(softest);
  const standing = { climbed: 0, height: 0, left: 0, ratio: liftingRatio(seen, flight.out('contactTime')) };
  const severity = flight.outcome === 'landed' ? 'doubt' : 'fault';
  return [{ key: 'climbs', severity, ...(found ?? standing), hops, everywhere }];
}

/**
 * The first climb in the landing burn before any contact: how far, from where, with what still to burn; null where
 * there is none.
 */
function climb(seen: Instants): { climbed: number; height: number; left: number; ratio: number } | null {
  const burning = seen.burning('landing');
  const firstFall = burning.findIndex(({ rise }) => rise < -CLIMBING);
  if (firstFall < 0) return null;
  const start = burning.findIndex(({ rise }, i) => i > firstFall && rise >= 0);
  if (start < 0) return null;
  const rest = burning.slice(start);
  if (!rest.some(({ rise }) => rise > CLIMBING)) return null;
  const { height, time, load } = burning[start];
  const top = seen.all.filter((i) => i.time >= time).reduce((most, i) => Math.max(most, i.height), height);
  const left = burning[burning.length - 1].time - time;
  return { climbed: top - height, height, left, ratio: load.landingThrust / (load.mass * seen.setup.plant.gravity) };
}

/** Greatest thrust over weight from the tick before it first touched down. */
function liftingRatio(seen: Instants, contact: number): number {
  const after = seen.all.filter(({ time }) => time > contact - seen.setup.tick);
  return after.reduce((most, { load }) => Math.max(most, load.landingThrust / (load.mass * seen.setup.plant.gravity)), 0);
}

/** Lit outside the heights that land, though there are some. */
export function ruleFindings(
  flight: NominalFlight,
  softest: Softest,
  rule: RuleChoice,
  flights: NominalFlights,
  study: Study,
): NominalFinding[] {
  const { command } = softest;
  const best = command.flight;
  if (best.out('sink') > heldLimits(study).sink || flight.out('ignitionCommanded') === 0) return [];
  // What the guard held back is not the rule's doing.
  if (flight.out('guardHeld') === 1) return [];
  const lit = flight.out('ignitionHeight');
  const [low, high] = softHeights(command, rule, flights, heldLimits(study).sink);
  if (lit >= low && lit <= high) return [];
  const points = [{ height: command.height, speed: best.out('believedIgnitionSpeed'), apogee: best.out('believedApogee') }];
  const miss = command.height - lightingHeights(rule, flights.onboard, points)[0];
  const constants = ruleKind(rule.kind).constants.map(({ key, unit, low: least, high: most }) => {
    const value = rule.constants[key];
    const better = value + miss / heightSlope(rule, key, flights.onboard, points)[0];
    return { key, unit, value, better, within: better >= least && better <= most };
  });
  const mended = constants.find(({ within }) => within);
  return [
    {
      key: 'ruleOff',
      severity: 'fault',
      rule: rule.name,
      lit,
      softest: best.out('ignitionHeight'),
      low,
      high,
      constant: mended === undefined ? null : { key: mended.key, unit: mended.unit, value: mended.value, better: mended.better },
    },
  ];
}

/** m, true, at the command: the heights about the softest between which the touchdown keeps the sink limit. */
function softHeights({ height, flight }: SoftestCommand, rule: RuleChoice, flights: NominalFlights, limit: number): [number, number] {
  const edgeToward = (sign: 1 | -1): number => {
    let soft = flight;
    let inside = 0;
    let outside = FIRST_STEP;
    const lit = (away: number): NominalFlight => flights.fly(litAt(rule.lead, NO_GUARD, height + sign * away));
    for (let tried = lit(outside); tried.out('sink') <= limit && outside < height + flight.out('apogee'); tried = lit(outside)) {
      soft = tried;
      inside = outside;
      outside *= 2;
    }
    while (outside - inside > EDGE) {
      const middle = (inside + outside) / 2;
      const tried = lit(middle);
      if (tried.out('sink') <= limit) {
        soft = tried;
        inside = middle;
      } else outside = middle;
    }
    return soft.out('ignitionHeight');
  };
  return [edgeToward(-1), edgeToward(1)];
}
