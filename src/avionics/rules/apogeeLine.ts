/** Light at a believed height that is a straight line in the believed apogee: higher falls are faster. */
import type { RuleKind } from './rule.ts';

export const apogeeLine: RuleKind = {
  kind: 'apogeeLine',
  meaning: 'light when the believed height falls to c0 + c1 times the believed apogee',
  constants: [
    {
      key: 'c0',
      unit: 'm',
      low: -500,
      high: 500,
      meaning: 'height at zero apogee',
    },
    {
      key: 'c1',
      unit: '',
      low: -5,
      high: 5,
      meaning: 'height gained per metre of apogee',
    },
  ],
  prepare: (constants) => {
    const { c0, c1 } = constants;
    return (height, _speed, apogee) => height - (c0 + c1 * apogee);
  },
};
