/** Light at one believed height, whatever the flight was like. */
import type { ConstantValues, RuleKind } from './rule.ts';

export class FixedHeight {
  /** m */
  height: number = 0;
}

export function fixedHeightMargin(c: FixedHeight, height: number): number {
  return height - c.height;
}

export function fixedHeightKind(): RuleKind {
  return {
    kind: 'fixedHeight',
    meaning: 'light when the believed height falls to a fixed value',
    constants: [{ key: 'height', unit: 'm', low: 0, high: 500, meaning: 'believed height to light at' }],
  };
}

export function setFixedHeight(c: FixedHeight, constants: ConstantValues): void {
  c.height = constants.height;
}
