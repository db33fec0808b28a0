/** The list of rule kinds: what a study may name. Adding a rule is one small file beside this one and a line here. */
import { apogeeLine } from './apogeeLine.ts';
import { fixedHeight } from './fixedHeight.ts';
import { predictedStop } from './predictedStop.ts';
import type { RuleKind } from './rule.ts';
import { speedCurve } from './speedCurve.ts';

export const RULE_KINDS: readonly RuleKind[] = [fixedHeight, apogeeLine, speedCurve, predictedStop];

/** @throws Error when no such kind exists; a study is checked against the list before it comes here. */
export function ruleKind(kind: string): RuleKind {
  const found = RULE_KINDS.find((k) => k.kind === kind);
  if (!found) throw new Error(`no rule kind ${kind}`);
  return found;
}
