/**
 * A shift of lighting height, the one move all rule kinds have in common: each kind has one constant that raises the
 * height it lights at by as much, whatever the descent. What moves the mean of the belief (mass, motors, gaps, replay,
 * sensors, air) is answered by it. Flies nothing.
 */
import { ruleKind } from '../../avionics/rules/kinds.ts';
import type { OnboardModel } from '../../avionics/rules/rule.ts';
import type { RuleChoice } from '../../study/study.ts';
import { type BurnPoint, heightSlope, withConstants } from '../drops/burnHeights.ts';

/** The constant that shifts a rule's lighting height, and how far its bounds let it. */
export interface ShiftConstant {
  readonly key: string;
  /** m, of the lighting height: the least and the greatest shift. */
  readonly low: number;
  readonly high: number;
}

/** Descents so unlike that no other constant moves the height equally at all of them. */
const UNLIKE: readonly BurnPoint[] = [
  { height: 5, speed: 8, apogee: 15 },
  { height: 20, speed: 25, apogee: 40 },
  { height: 60, speed: 45, apogee: 220 },
];
/** m per m: rounding in the difference that gives a slope. */
const ROUNDING = 1e-6;

/** @throws Error for a kind without such a constant (our fault: every kind must have one) */
export function shiftConstant(rule: RuleChoice, onboard: OnboardModel): ShiftConstant {
  const found = findShiftConstant(rule, onboard);
  if (found === null) throw new Error(`rules of kind ${rule.kind} have no constant that shifts their lighting height`);
  return found;
}

/** @returns null for a kind without such a constant */
export function findShiftConstant(rule: RuleChoice, onboard: OnboardModel): ShiftConstant | null {
  const found = ruleKind(rule.kind).constants.find(({ key }) =>
    heightSlope(rule, key, onboard, UNLIKE).every((slope) => Math.abs(slope - 1) < ROUNDING),
  );
  if (found === undefined) return null;
  const value = rule.constants[found.key];
  return { key: found.key, low: found.low - value, high: found.high - value };
}

/** The rule lighting so much higher, or lower where negative. @param shift m, within the bounds of `constant` */
export function shiftedBy(rule: RuleChoice, { key }: ShiftConstant, shift: number): RuleChoice {
  return withConstants(rule, { [key]: rule.constants[key] + shift });
}
