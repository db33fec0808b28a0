import { expect, test } from 'vitest';
import { distributionWords } from '../../src/report/distributionWords.ts';

test('as many bench values as there may be are said by their least and greatest', () => {
  const values = Array.from({ length: 200_000 }, (_, i) => 1 + i / 100_000);
  expect(distributionWords({ kind: 'measured', values, as: 'resample', bandwidth: 0 }, 's')).toMatch(
    /^200000 bench values.* 1\.00 to 3\.00 s$/,
  );
  const weights = values.map(() => 1 / values.length);
  expect(distributionWords({ kind: 'discrete', values, weights }, '')).toMatch(/^one of 200000 values, 1\.00 to 3\.00$/);
});
