import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { binomialProbability } from '../../../src/maths/binomial.ts';
import { differenceOfGroups, exactTwoGroups } from '../../../src/statistics/proportions/twoGroups.ts';

describe('exactTwoGroups', () => {
  it('counts the ways by hand: 4 of 4 against 0 of 4 is 2 of 70 deals', () => {
    expect(exactTwoGroups({ k1: 4, n1: 4, k2: 0, n2: 4 })).toBeCloseTo(2 / 70, 13);
    expect(exactTwoGroups({ k1: 3, n1: 4, k2: 1, n2: 4 })).toBeCloseTo(34 / 70, 13);
    expect(exactTwoGroups({ k1: 2, n1: 4, k2: 2, n2: 4 })).toBeCloseTo(1, 13);
  });

  it('tells 0 landings of 156 with a failed igniter from 3,700 of 9,844 without', () => {
    expect(exactTwoGroups({ k1: 0, n1: 156, k2: 3700, n2: 9844 })).toBeLessThan(1e-20);
  });

  it('does not care which group or which outcome comes first', () => {
    const group = fc.integer({ min: 1, max: 40 }).chain((n) => fc.tuple(fc.integer({ min: 0, max: n }), fc.constant(n)));
    fc.assert(
      fc.property(group, group, ([k1, n1], [k2, n2]) => {
        const p = exactTwoGroups({ k1, n1, k2, n2 });
        expect(exactTwoGroups({ k1: k2, n1: n2, k2: k1, n2: n1 })).toBeCloseTo(p, 10);
        expect(exactTwoGroups({ k1: n1 - k1, n1, k2: n2 - k2, n2 })).toBeCloseTo(p, 10);
        expect(p).toBeLessThanOrEqual(1);
      }),
      { seed: 3, numRuns: 200 },
    );
  });
});

describe('differenceOfGroups', () => {
  it.each([
    [7, 0.35, 500, 0.35],
    [7, 0.9, 500, 0.35],
    [30, 0.02, 400, 0.35],
  ])('covers at least 95 %: %i rows at %d against %i at %d (all cells summed)', (n1, p1, n2, p2) => {
    let covered = 0;
    for (let k1 = 0; k1 <= n1; k1++) {
      for (let k2 = 0; k2 <= n2; k2++) {
        const chance = binomialProbability(k1, n1, p1) * binomialProbability(k2, n2, p2);
        if (chance < 1e-10) continue;
        const [low, high] = differenceOfGroups({ k1, n1, k2, n2 }, 0.95).interval;
        if (low <= p1 - p2 && p1 - p2 <= high) covered += chance;
      }
    }
    // cells left out weigh under 1e-6 in all
    expect(covered).toBeGreaterThan(0.95 - 1e-6);
  });
});
