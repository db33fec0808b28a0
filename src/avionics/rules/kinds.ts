/**
 * The kinds of ignition rule: what a study may name, and the one that a flight has. Adding a rule is one small file
 * beside this one, and here its place in the list, in `ChosenRule` and in `ruleMargin`.
 */
import { ApogeeLine, apogeeLineKind, apogeeLineMargin } from './apogeeLine.ts';
import { FixedHeight, fixedHeightKind, fixedHeightMargin } from './fixedHeight.ts';
import { PredictedStop, predictedStopKind, predictedStopMargin } from './predictedStop.ts';
import type { OnboardModel, RuleKind, RuleMargin } from './rule.ts';
import { SpeedCurve, speedCurveKind, speedCurveMargin } from './speedCurve.ts';

/** In this order; a rule's number is its place. */
export function ruleKinds(): readonly RuleKind[] {
  return [fixedHeightKind(), apogeeLineKind(), speedCurveKind(), predictedStopKind()];
}

/** The rule of a flight, with its constants. */
export class ChosenRule {
  /** Place in the list of kinds. */
  kind: i32 = 0;
  readonly fixedHeight: FixedHeight = new FixedHeight();
  readonly apogeeLine: ApogeeLine = new ApogeeLine();
  readonly speedCurve: SpeedCurve = new SpeedCurve();
  readonly predictedStop: PredictedStop = new PredictedStop();
}

/** Height left before the rule fires, m ({@link RuleMargin}). NaN for a kind that is none. */
export function ruleMargin(rule: ChosenRule, height: number, speed: number, apogee: number): number {
  switch (rule.kind) {
    case 0:
      return fixedHeightMargin(rule.fixedHeight, height);
    case 1:
      return apogeeLineMargin(rule.apogeeLine, height, apogee);
    case 2:
      return speedCurveMargin(rule.speedCurve, height, speed);
    case 3:
      return predictedStopMargin(rule.predictedStop, height, speed);
    default:
      return Number.NaN;
  }
}

/** @throws Error when no such kind exists; a study is checked against the list before it comes here. */
export function ruleKind(kind: string): RuleKind {
  return ruleKinds()[numberOf(kind)];
}

/** Writes a rule with its constants. `lead` s: how far ahead heights are judged. @throws Error for an unknown kind */
export function setRule(
  rule: ChosenRule,
  kind: string,
  constants: Readonly<Record<string, number>>,
  onboard: OnboardModel,
  lead: number,
): void {
  rule.kind = numberOf(kind);
  ruleKind(kind).set(rule, constants, onboard, lead);
}

/** The margin of a rule with these constants, as a function. @throws Error for an unknown kind */
export function preparedMargin(kind: string, constants: Readonly<Record<string, number>>, onboard: OnboardModel, lead: number): RuleMargin {
  const rule = new ChosenRule();
  setRule(rule, kind, constants, onboard, lead);
  return (height, speed, apogee) => ruleMargin(rule, height, speed, apogee);
}

function numberOf(kind: string): i32 {
  const found = ruleKinds().findIndex((k) => k.kind === kind);
  if (found < 0) throw new Error(`no rule kind ${kind}`);
  return found;
}
