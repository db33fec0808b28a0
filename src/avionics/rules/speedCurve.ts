/** Light on a believed height that is a quadratic in the believed descent speed. */
import type { RuleKind } from './rule.ts';

export const speedCurve: RuleKind = {
  kind: 'speedCurve',
  meaning: 'light when the believed height falls to c0 + c1 s + c2 s^2, s the believed descent speed',
  constants: [
    {
      key: 'c0',
      unit: 'm',
      low: -500,
      high: 500,
      meaning: 'height at zero speed',
    },
    {
      key: 'c1',
      unit: 's',
      low: -100,
      high: 100,
      meaning: 'height per unit of speed',
    },
    {
      key: 'c2',
      unit: 's^2/m',
      low: -10,
      high: 10,
      meaning: 'height per unit of speed squared',
    },
  ],
  prepare: (constants) => {
    const { c0, c1, c2 } = constants;
    return (height, speed) => height - (c0 + (c1 + c2 * speed) * speed);
  },
};
