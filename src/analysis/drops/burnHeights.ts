/**
 * At what believed height a rule lights, and the constants that make it light where one wants: shared by the drops and
 * the tuning. Works for any rule, from its margin alone. Flies nothing.
 */
import { preparedMargin, ruleKind } from '../../avionics/rules/kinds.ts';
import type { OnboardModel } from '../../avionics/rules/rule.ts';
import type { RuleChoice } from '../../study/study.ts';

/** A descent as the flight computer believes it, at the height where lighting was best. */
export interface BurnPoint {
  /** m, believed, less the way during the rule's lead: what a rule's height means. */
  readonly height: number;
  /** m/s, downward. */
  readonly speed: number;
  /** m */
  readonly apogee: number;
}

/** m at each point: the height at which the rule lights there, as far as its margin is the height left. */
export function lightingHeights(rule: RuleChoice, onboard: OnboardModel, points: readonly BurnPoint[]): number[] {
  const margin = preparedMargin(rule.kind, rule.constants, onboard, rule.lead);
  return points.map(({ height, speed, apogee }) => height - margin(height, speed, apogee));
}

/** Share of a constant's range by which it is moved to see its effect. */
const NUDGE = 1e-3;

/** Of the lighting height at each point: metres per unit of one constant, by a difference within its bounds. */
export function heightSlope(rule: RuleChoice, key: string, onboard: OnboardModel, points: readonly BurnPoint[]): number[] {
  const bounds = ruleKind(rule.kind).constants.find((constant) => constant.key === key);
  if (bounds === undefined) throw new RangeError(`rule ${rule.name} has no constant ${key}`);
  const value = rule.constants[key];
  const nudge = NUDGE * (bounds.high - bounds.low);
  const [below, above] = [Math.max(bounds.low, value - nudge), Math.min(bounds.high, value + nudge)];
  const heightsWith = (moved: number): number[] => lightingHeights(withConstants(rule, { [key]: moved }), onboard, points);
  const [low, high] = [heightsWith(below), heightsWith(above)];
  return high.map((height, i) => (height - low[i]) / (above - below));
}

export function withConstants(rule: RuleChoice, constants: Readonly<Record<string, number>>): RuleChoice {
  return { ...rule, constants: { ...rule.constants, ...constants } };
}

/**
 * Constants with no more decimals than matter: rounding one moves the lighting height by less than `within` metres at
 * every point. A constant without effect is left as it is; none leaves its kind's bounds.
 */
export function roundedConstants(rule: RuleChoice, onboard: OnboardModel, points: readonly BurnPoint[], within: number): RuleChoice {
  const rounded = ruleKind(rule.kind).constants.map(({ key, low, high }): [string, number] => {
    const value = rule.constants[key];
    const most = Math.max(...heightSlope(rule, key, onboard, points).map(Math.abs));
    if (!(most > 0)) return [key, value];
    const decimals = Math.min(12, Math.max(0, Math.ceil(-Math.log10((2 * within) / most))));
    return [key, Math.min(high, Math.max(low, Number(value.toFixed(decimals))))];
  });
  return withConstants(rule, Object.fromEntries(rounded));
}
