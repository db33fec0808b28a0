/** Light at a believed height that is a straight line in the believed apogee: higher falls are faster. */
import type { ConstantValues, RuleKind } from './rule.ts';

export class ApogeeLine {
  c0: number = 0;
  c1: number = 0;
}

export function apogeeLineMargin(c: ApogeeLine, height: number, apogee: number): number {
  return height - (c.c0 + c.c1 * apogee);
}

export function apogeeLineKind(): RuleKind {
  return {
    kind: 'apogeeLine',
    meaning: 'light when the believed height falls to c0 + c1 times the believed apogee',
    constants: [
      { key: 'c0', unit: 'm', low: -500, high: 500, meaning: 'height at zero apogee' },
      { key: 'c1', unit: '', low: -5, high: 5, meaning: 'height gained per metre of apogee' },
    ],
  };
}

export function setApogeeLine(c: ApogeeLine, constants: ConstantValues): void {
  c.c0 = constants.c0;
  c.c1 = constants.c1;
}
