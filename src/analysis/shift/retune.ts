/**
 * A design judged with constants of its own: each rule gets the height shift at which most touchdowns are soft, found
 * by a short search in one dimension on luck that is neither the study's nor the tuning's; all other constants stay.
 * `alight tune` is the thorough way. What comes out is a study like any other, so that whatever is flown, kept and
 * traced afterwards knows nothing of it. Prints nothing.
 *
 * What it costs: the nominal vehicle flown at {@link NOMINAL} shifts, which says where to look; then two rounds of
 * flights at seven shifts, the second about the best of the first. At most a fifth of the flights asked for by each
 * rule, and no more than {@link MOST}.
 */
import { UserError } from '../../errors.ts';
import type { Session } from '../../fleet/session.ts';
import { flightsOf } from '../../fleet/work.ts';
import { onboardModel } from '../../flight/setup.ts';
import type { SamplerPlan } from '../../sampling/sampler.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import { freezeDeep } from '../../study/freeze.ts';
import type { OpenedStudy } from '../../study/load.ts';
import { resolvedYaml } from '../../study/resolved.ts';
import { ruleByName } from '../../study/ruleByName.ts';
import type { RuleChoice, Study } from '../../study/study.ts';
import { heldLimits } from '../../study/touchdownLimits.ts';
import { NominalFlights } from '../drops/nominalFlights.ts';
import { collectFlights } from '../flights/collectFlights.ts';
import { column } from '../flights/flightColumns.ts';
import { type ShiftConstant, shiftConstant, shiftedBy } from './heightShift.ts';
import { findShift, type Region, roughShift, type ShiftFound, type ShiftTrial } from './shiftSearch.ts';

export interface HeightShift {
  readonly rule: string;
  /** The constant that was moved, from and to which value, m. */
  readonly constant: string;
  readonly from: number;
  readonly to: number;
  /** m: how much higher the rule lights now; the interval of the best shift, and the shifts not shown to be worse. */
  readonly shift: number;
  readonly interval: Interval;
  readonly flat: Interval;
  /** The best lay on the edge of what was searched. */
  readonly onEdge: boolean;
  readonly fittedTo: ShiftFound['fittedTo'];
  /** What it cost: flights with everything varying, on luck keyed by `seed`, and nominal ones. */
  readonly flights: number;
  readonly nominalFlights: number;
  readonly seed: string;
}

/** What of a sampling plan a fix is. */
type HeldInputs = Pick<SamplerPlan, 'pins' | 'spread'>;

export interface Retuned {
  readonly opened: OpenedStudy;
  /** `path=value` replacements that make the study given into this one. */
  readonly overrides: readonly string[];
  readonly shifts: readonly HeightShift[];
}

/** Of the flights asked for, and flights at most. */
const SHARE = 0.2;
const MOST = 2000;
/** Least flights asked for: fewer leave the search nothing to go by. */
const LEAST_ASKED = 500;
/** Nominal flights, and how far they reach to each side: a share of the apogee. */
const NOMINAL = 41;
const REACH = 0.25;
/** Shifts of a round, and what of the flights the first round gets. */
const SHIFTS = 7;
const FIRST = 0.4;
/** m: half of the first region; the second is half as wide, unless the best lay on the edge. */
const WIDTH = 2.5;
/** m, of the shift that is flown. */
const FINE = 0.01;

/**
 * Flights that the retuning of one rule takes at most, nominal ones among them.
 * @throws UserError when too few are asked for
 */
export function retuneBudget(asked: number): number {
  if (asked < LEAST_ASKED) {
    throw new UserError(
      `--flights: read ${asked}; retuning needs at least ${LEAST_ASKED}, for its search may take no more than a fifth of them. Ask for more, or fly as programmed`,
    );
  }
  return Math.min(MOST, Math.floor(SHARE * asked));
}

/**
 * Retunes rules of a study, one after the other.
 * @param rules by name   @param asked flights that each will fly   @param level of the intervals
 * @param nominal whose nominal flights say where to look; the study's own when left out
 * @returns null when interrupted   @throws UserError for too few flights
 */
export async function retune(
  session: Session,
  opened: OpenedStudy,
  rules: readonly string[],
  asked: number,
  level: number,
  nominal: Study = opened.study,
): Promise<Retuned | null> {
  const budget = retuneBudget(asked);
  const shifts: HeightShift[] = [];
  for (const name of rules) {
    const found = await shiftOf(session, opened.study, ruleByName(opened.study, name), budget, level, {}, nominal);
    if (found === null) return null;
    shifts.push(found);
  }
  const study = freezeDeep(withShifts(opened.study, shifts));
  const overrides = shifts.map(({ rule, constant, to }) => `rules.${rule}.${constant}=${to}`);
  return { opened: { ...opened, study, text: resolvedYaml(study) }, overrides, shifts };
}

/**
 * The shift of one rule alone, for whoever flies it by a plan and not as a study of its own.
 * @param fix of a plan: inputs held and spreads scaled   @returns null when interrupted   @throws UserError for too few
 * flights
 */
export function shiftFor(
  session: Session,
  study: Study,
  rule: string,
  asked: number,
  level: number,
  fix: HeldInputs = {},
): Promise<HeightShift | null> {
  return shiftOf(session, study, ruleByName(study, rule), retuneBudget(asked), level, fix);
}

function withShifts(study: Study, shifts: readonly HeightShift[]): Study {
  const rules = study.rules.map((rule): RuleChoice => {
    const shift = shifts.find(({ rule: name }) => name === rule.name);
    return shift === undefined ? rule : { ...rule, constants: { ...rule.constants, [shift.constant]: shift.to } };
  });
  return { ...study, rules };
}

async function shiftOf(
  session: Session,
  study: Study,
  rule: RuleChoice,
  budget: number,
  level: number,
  fix: HeldInputs,
  vehicle: Study = study,
): Promise<HeightShift | null> {
  const constant = shiftConstant(rule, onboardModel(study));
  const nominal = nominalShift(vehicle, rule, constant, fix.pins ?? {});
  const seed = `${study.seed}/retune/${rule.name}`;
  const own: Study = { ...study, seed, design: 'independent' };
  const trials: ShiftTrial[] = [];
  let used = 0;
  const fly = async (shift: number, count: number): Promise<boolean> => {
    const { constants } = shiftedBy(rule, constant, shift);
    const work = flightsOf(own, { rule: rule.name, constants, plan: { kind: 'study', flights: budget, ...fix } }, `retuning ${rule.name}`);
    const flown = await collectFlights(session, work, used + 1, count, ['sink'], true);
    if (flown === null) return false;
    used += count;
    const sinks = Array.from(column(flown.flights, 'sink'), (sink) => (Number.isNaN(sink) ? Number.MAX_VALUE : sink));
    trials.push({ shift, sinks });
    return true;
  };
  const noisy = budget - nominal.flown;
  session.announce(noisy);
  const flyRound = async (region: Region, each: number): Promise<{ near: ShiftTrial[]; flown: Region } | null> => {
    for (let i = 0; i < SHIFTS; i++) {
      if (!(await fly(region.centre + region.halfWidth * ((2 * i) / (SHIFTS - 1) - 1), each))) return null;
    }
    // Earlier shifts about the middle have their say too: the farther from the best, the more they tell of where it is.
    const near = trials.filter(({ shift }) => Math.abs(shift - region.centre) <= WIDTH * (1 + 1e-9));
    const [least, most] = [Math.min(...near.map(({ shift }) => shift)), Math.max(...near.map(({ shift }) => shift))];
    return { near, flown: { centre: (least + most) / 2, halfWidth: (most - least) / 2 } };
  };
  const first = await flyRound(regionAbout(nominal.shift, WIDTH, constant), Math.floor((FIRST * noisy) / SHIFTS));
  if (first === null) return null;
  const rough = roughShift(first.near, first.flown, heldLimits(study).sink);
  const about = regionAbout(rough.best, rough.onEdge ? WIDTH : WIDTH / 2, constant);
  const second = await flyRound(about, Math.floor(((1 - FIRST) * noisy) / SHIFTS));
  if (second === null) return null;
  const found = findShift(second.near, second.flown, heldLimits(study).sink, `${seed}/resampling`, level);
  const from = rule.constants[constant.key];
  const to = held(Math.round((from + found.best) / FINE) * FINE, from + constant.low, from + constant.high);
  return {
    rule: rule.name,
    constant: constant.key,
    from,
    to: Number(to.toFixed(6)),
    shift: Number((to - from).toFixed(6)),
    interval: found.interval,
    flat: found.flat,
    onEdge: found.onEdge,
    fittedTo: found.fittedTo,
    flights: used,
    nominalFlights: nominal.flown,
    seed,
  };
}

const held = (value: number, low: number, high: number): number => Math.min(high, Math.max(low, value));

/** A region of shifts that lies within the constant's bounds. */
function regionAbout(centre: number, width: number, { low, high }: ShiftConstant): Region {
  const halfWidth = Math.min(width, (high - low) / 2);
  return { centre: held(centre, low + halfWidth, high - halfWidth), halfWidth };
}

/**
 * m: the middle of the shifts that make the nominal touchdown soft, or where none does the softest; 0 where no shift
 * changes it.
 */
function nominalShift(
  study: Study,
  rule: RuleChoice,
  constant: ShiftConstant,
  pins: NonNullable<HeldInputs['pins']>,
): { readonly shift: number; readonly flown: number } {
  const flights = new NominalFlights(study);
  const apogee = flights.fly(rule, pins).out('apogee');
  const reach = REACH * (Number.isNaN(apogee) ? 0 : apogee);
  const [low, high] = [Math.max(constant.low, -reach), Math.min(constant.high, reach)];
  const shifts = Array.from({ length: NOMINAL - 1 }, (_, i) => low + ((high - low) * i) / (NOMINAL - 2));
  const sinks = shifts.map((shift) => flights.fly(shiftedBy(rule, constant, shift), pins).out('sink'));
  const usable = sinks.map((sink) => (Number.isNaN(sink) ? Number.MAX_VALUE : sink));
  const least = Math.min(...usable);
  if (Math.max(...usable) === least) return { shift: 0, flown: flights.flown };
  const softest = usable.indexOf(least);
  let [first, last] = [softest, softest];
  while (usable[first - 1] <= heldLimits(study).sink) first--;
  while (usable[last + 1] <= heldLimits(study).sink) last++;
  return { shift: (shifts[first] + shifts[last]) / 2, flown: flights.flown };
}
