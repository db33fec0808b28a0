/** Light on a believed height that is a quadratic in the believed descent speed. */
import type { ConstantValues, RuleKind } from './rule.ts';

export class SpeedCurve {
  c0: number = 0;
  c1: number = 0;
  c2: number = 0;
}

export function speedCurveMargin(c: SpeedCurve, height: number, speed: number): number {
  return height - (c.c0 + (c.c1 + c.c2 * speed) * speed);
}

export function speedCurveKind(): RuleKind {
  return {
    kind: 'speedCurve',
    meaning: 'light when the believed height falls to c0 + c1 s + c2 s^2, s the believed descent speed',
    constants: [
      { key: 'c0', unit: 'm', low: -500, high: 500, meaning: 'height at zero speed' },
      { key: 'c1', unit: 's', low: -100, high: 100, meaning: 'height per unit of speed' },
      { key: 'c2', unit: 's^2/m', low: -10, high: 10, meaning: 'height per unit of speed squared' },
    ],
  };
}

export function setSpeedCurve(c: SpeedCurve, constants: ConstantValues): void {
  c.c0 = constants.c0;
  c.c1 = constants.c1;
  c.c2 = constants.c2;
}
