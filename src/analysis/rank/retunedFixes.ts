/**
 * Fixes judged with constants of their own: the study as it is and with each fix, each retuned by a height shift
 * (shift/retune.ts), on the same flights. A fix that moves the mean of the belief looks harmful as programmed only
 * because the constants no longer suit it.
 */
import type { Session } from '../../fleet/session.ts';
import { flightsOf } from '../../fleet/work.ts';
import { normalQuantile } from '../../maths/normal.ts';
import { ruleByName } from '../../study/ruleByName.ts';
import { collectFlights } from '../flights/collectFlights.ts';
import { outcomeIndex } from '../flights/flightColumns.ts';
import { LEVEL } from '../fly/summary.ts';
import { type HeightShift, shiftFor } from '../shift/retune.ts';
import type { StudyOf } from './fixedStudies.ts';
import { type Fix, fixedPlan } from './fixes.ts';
import { gainsOf } from './fixGain.ts';
import type { RetunedGain } from './ranking.ts';

/** Flown with the shift found for it. */
interface Shifted {
  readonly shift: HeightShift;
  readonly outcome: Uint8Array;
}

export interface FlownRetuned {
  /** The study as it is; null when interrupted before. */
  readonly base: Shifted | null;
  readonly fixes: ReadonlyMap<Fix, Shifted>;
}

interface Plan {
  readonly studyOf: StudyOf;
  readonly rule: string;
  readonly session: Session;
  readonly flights: number;
}

/** @param unfinished takes the names of what an interruption left unflown */
export async function flyRetuned(plan: Plan, fixes: readonly Fix[], unfinished: string[]): Promise<FlownRetuned> {
  const base = unfinished.length > 0 ? null : await flyShifted(plan, null);
  if (base === null) unfinished.push('the study as it is, retuned');
  const flown = new Map<Fix, Shifted>();
  for (const fix of fixes) {
    const found = unfinished.length > 0 ? null : await flyShifted(plan, fix);
    if (found === null) unfinished.push(`${fix.name}, retuned`);
    else flown.set(fix, found);
  }
  return { base, fixes: flown };
}

async function flyShifted({ studyOf, rule, session, flights }: Plan, fix: Fix | null): Promise<Shifted | null> {
  const study = studyOf(fix);
  const held = fix === null ? {} : { pins: fix.pins, spread: fix.spread };
  const shift = await shiftFor(session, study, rule, flights, LEVEL, held);
  if (shift === null) return null;
  const constants = { ...ruleByName(study, rule).constants, [shift.constant]: shift.to };
  const work = flightsOf(study, { rule, constants, plan: fixedPlan(fix, study.flights) }, `${fix?.name ?? 'the study as it is'}, retuned`);
  const flown = await collectFlights(session, work, 1, flights, []);
  return flown === null ? null : { shift, outcome: flown.flights.outcome };
}

/**
 * By fix, in the order given; null where it was not flown retuned.
 * @param programmed outcomes of the study as it is, as programmed
 */
export function retunedGains(
  flown: readonly { readonly fix: Fix; readonly outcome: Uint8Array }[],
  programmed: Uint8Array,
  again: FlownRetuned | null,
): readonly (RetunedGain | null)[] {
  const base = again?.base ?? null;
  if (again === null || base === null) return flown.map(() => null);
  const found = flown.map(({ fix }) => again.fixes.get(fix) ?? null);
  const gains = gainsOf(
    base.outcome,
    found.flatMap((one) => (one === null ? [] : [one.outcome])),
  );
  let next = 0;
  return found.map((one, i) => {
    if (one === null) return null;
    const beyond = differenceOfGains(one.outcome, base.outcome, flown[i].outcome, programmed);
    return { shift: one.shift, gain: gains[next++], beyond };
  });
}

/**
 * (a - b) - (c - d) in shares landed, flight by flight: a mean with its normal interval. null with fewer than two
 * flights.
 */
function differenceOfGains(a: Uint8Array, b: Uint8Array, c: Uint8Array, d: Uint8Array): RetunedGain['beyond'] {
  const none = outcomeIndex('no result');
  const landed = outcomeIndex('landed');
  const all = [a, b, c, d];
  let [n, sum, squares] = [0, 0, 0];
  for (let i = 0; i < a.length; i++) {
    if (all.some((outcome) => outcome[i] === none)) continue;
    const [w, x, y, z] = all.map((outcome) => (outcome[i] === landed ? 1 : 0));
    const value = w - x - (y - z);
    n++;
    sum += value;
    squares += value * value;
  }
  if (n < 2) return null;
  const difference = sum / n;
  const half = normalQuantile(1 - (1 - LEVEL) / 2) * Math.sqrt((squares / n - difference ** 2) / (n - 1));
  return { difference, interval: [difference - half, difference + half] };
}
