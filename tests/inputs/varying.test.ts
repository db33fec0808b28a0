/** Which inputs vary, and how often a draw is held at a bound. */
import { describe, expect, it } from 'vitest';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import { shareHeld, varies, varyingInputs } from '../../src/inputs/varying.ts';
import { demoStudy } from '../helpers/studyForTests.ts';

describe('what varies', () => {
  it('are the 46 inputs with a distribution in the demo, in catalogue order', () => {
    const study = demoStudy();
    const columns = varyingInputs(study);
    expect(columns.map((c) => CATALOGUE[c].key).sort()).toEqual(Object.keys(study.inputs).sort());
    expect(columns).toHaveLength(46);
    expect([...columns].sort((a, b) => a - b)).toEqual(columns);
  });

  it('is not what has come down to one value', () => {
    expect(varies({ kind: 'fixed', value: 1 })).toBe(false);
    expect(varies({ kind: 'normal', mean: 1, sd: 0 })).toBe(false);
    expect(varies({ kind: 'uniform', low: 2, high: 2 })).toBe(false);
    expect(varies({ kind: 'chance', probability: 0 })).toBe(false);
    expect(varies({ kind: 'chance', probability: 1 })).toBe(false);
    expect(varies({ kind: 'discrete', values: [3, 3], weights: [0.5, 0.5] })).toBe(false);
    expect(varies({ kind: 'measured', values: [3], as: 'resample', bandwidth: 0.1 })).toBe(false);
    expect(varies({ kind: 'measured', values: [3], as: 'smooth', bandwidth: 0.1 })).toBe(true);
    expect(varies({ kind: 'lognormal', median: 1, logSd: 0.1 })).toBe(true);
  });
});

describe('the share of draws held at a bound', () => {
  it('is both tails of a normal', () => {
    // Phi(-1) + Phi(-2), 16 digits each.
    expect(Math.abs(shareHeld({ kind: 'normal', mean: 0, sd: 1 }, -1, 2) - (0.1586552539314571 + 0.02275013194817921))).toBeLessThanOrEqual(
      1e-15,
    );
  });

  it('counts values beyond, not values on the bounds', () => {
    expect(shareHeld({ kind: 'discrete', values: [0, 1, 2, 3], weights: [0.1, 0.2, 0.3, 0.4] }, 1, 2)).toBe(0.5);
    expect(shareHeld({ kind: 'measured', values: [1, 2, 3, 9], as: 'resample', bandwidth: 0 }, 1, 3)).toBe(0.25);
    expect(shareHeld({ kind: 'chance', probability: 0.3 }, 0, 1)).toBe(0);
    expect(shareHeld({ kind: 'fixed', value: 4 }, 0, 3)).toBe(1);
    expect(shareHeld({ kind: 'uniform', low: 0, high: 4 }, 1, 4)).toBe(0.25);
  });
});
