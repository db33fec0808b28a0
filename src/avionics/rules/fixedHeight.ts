/** Light at one believed height, whatever the flight was like. */
import type { RuleKind } from './rule.ts';

export const fixedHeight: RuleKind = {
  kind: 'fixedHeight',
  meaning: 'light when the believed height falls to a fixed value',
  constants: [
    {
      key: 'height',
      unit: 'm',
      low: 0,
      high: 500,
      meaning: 'believed height to light at',
    },
  ],
  prepare: (constants) => {
    const limit = constants.height;
    return (height) => height - limit;
  },
};
