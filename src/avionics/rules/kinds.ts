/**
 * The kinds of ignition rule: what a study may name, and the one that a flight has. Adding a rule is one small file
 * beside this one, and here its place in the list, in `ChosenRule`, in `ruleMargin` and in `setRule`.
 */
import { ApogeeLine, apogeeLineKind, apogeeLineMargin, setApogeeLine } from './apogeeLine.ts';
import { FixedHeight, fixedHeightKind, fixedHeightMargin, setFixedHeight } from './fixedHeight.ts';
import { PredictedStop, predictedStopKind, predictedStopMargin, setPredictedStop } from './predictedStop.ts';
import type { ConstantValues, OnboardModel, RuleKind, RuleMargin } from './rule.ts';
import { SpeedCurve, setSpeedCurve, speedCurveKind, speedCurveMargin } from './speedCurve.ts';

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
export function setRule(rule: ChosenRule, kind: string, constants: ConstantValues, onboard: OnboardModel, lead: number): void {
  rule.kind = numberOf(kind);
  switch (rule.kind) {
    case 0:
      setFixedHeight(rule.fixedHeight, constants);
      break;
    case 1:
      setApogeeLine(rule.apogeeLine, constants);
      break;
    case 2:
      setSpeedCurve(rule.speedCurve, constants);
      break;
    case 3:
      setPredictedStop(rule.predictedStop, constants, onboard, lead);
      break;
    default:
      throw new Error(`rule kind ${kind} is in the list only`);
  }
}

/** The margin of a rule with these constants, as a function. @throws Error for an unknown kind */
export function preparedMargin(kind: string, constants: ConstantValues, onboard: OnboardModel, lead: number): RuleMargin {
  const rule = new ChosenRule();
  setRule(rule, kind, constants, onboard, lead);
  return (height, speed, apogee) => ruleMargin(rule, height, speed, apogee);
}

function numberOf(kind: string): i32 {
  const found = ruleKinds().findIndex((k) => k.kind === kind);
  if (found < 0) throw new Error(`no rule kind ${kind}`);
  return found;
}
