import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { binomialProbability } from '../../../src/maths/binomial.ts';
import { noiseStream } from '../../../src/maths/streams.ts';
import { wilson } from '../../../src/statistics/proportions/binomial.ts';
import { evenSplit } from '../../../src/statistics/proportions/evenSplit.ts';
import { attemptsSaved, pairedDifference } from '../../../src/statistics/proportions/paired.ts';

const cell = fc.integer({ min: 0, max: 3000 });

describe('pairedDifference', () => {
  it('changes sign when the two change places, and stays in [-1, 1]', () => {
    fc.assert(
      fc.property(cell, cell, cell, cell, (both, firstOnly, secondOnly, neither) => {
        fc.pre(both + firstOnly + secondOnly + neither > 0);
        const a = pairedDifference({ both, firstOnly, secondOnly, neither }, 0.95);
        const b = pairedDifference({ both, firstOnly: secondOnly, secondOnly: firstOnly, neither }, 0.95);
        expect(a.difference).toBeCloseTo(-b.difference, 14);
        expect(a.interval[0]).toBeCloseTo(-b.interval[1], 12);
        expect(a.interval[1]).toBeCloseTo(-b.interval[0], 12);
        expect(a.interval[0]).toBeGreaterThanOrEqual(-1 - 1e-12);
        expect(a.interval[1]).toBeLessThanOrEqual(1 + 1e-12);
      }),
      { seed: 4, numRuns: 200 },
    );
  });

  it('profits from the same luck: far shorter than as if the flights were independent', () => {
    const paired = pairedDifference({ both: 380, firstOnly: 30, secondOnly: 20, neither: 570 }, 0.95).interval;
    // apart, the two widths of 0.061 would combine to 0.086
    const [one, two] = [410, 400].map((k) => wilson(k, 1000, 0.95)).map(([low, high]) => high - low);
    expect(paired[1] - paired[0]).toBeLessThan(0.4 * Math.hypot(one, two));
  });

  it('stays finite at a million pairs', () => {
    const { interval } = pairedDifference({ both: 400_000, firstOnly: 30_000, secondOnly: 20_000, neither: 550_000 }, 0.95);
    // Wald's standard error sqrt(psi - d^2)/sqrt(n) = 2.234e-4; 1.96 of it on either side of 0.01, within 1 %.
    expect(Math.abs((interval[0] - 0.01) / -4.378e-4 - 1)).toBeLessThanOrEqual(0.01);
    expect(Math.abs((interval[1] - 0.01) / 4.378e-4 - 1)).toBeLessThanOrEqual(0.01);
  });

  it('refuses no pairs and counts that are none', () => {
    expect(() => pairedDifference({ both: 0, firstOnly: 0, secondOnly: 0, neither: 0 }, 0.95)).toThrow(RangeError);
    expect(() => pairedDifference({ both: 1, firstOnly: -1, secondOnly: 0, neither: 0 }, 0.95)).toThrow(RangeError);
    expect(() => pairedDifference({ both: 1, firstOnly: 1, secondOnly: 0, neither: 0 }, 0)).toThrow(RangeError);
  });
});

/**
 * Chance that the 95 % interval holds the truth, over all ways n pairs can split with these shares of differing ones.
 */
function coverage(n: number, firstOnly: number, secondOnly: number): number {
  let covered = 0;
  for (let f = 0; f <= n; f++) {
    const ofFirst = binomialProbability(f, n, firstOnly);
    if (ofFirst < 1e-9) continue;
    for (let g = 0; g <= n - f; g++) {
      const chance = ofFirst * binomialProbability(g, n - f, secondOnly / (1 - firstOnly));
      if (chance < 1e-9) continue;
      const [low, high] = pairedDifference({ both: n - f - g, firstOnly: f, secondOnly: g, neither: 0 }, 0.95).interval;
      if (low <= firstOnly - secondOnly && firstOnly - secondOnly <= high) covered += chance;
    }
  }
  return covered;
}

describe('coverage of the paired difference', () => {
  // exact sums but for cells under 1e-9 each, in all at most 1e-5
  it.each([
    [100, 0.1, 0],
    [100, 0.03, 0],
    [100, 0.05, 0.01],
    [100, 0.2, 0.1],
    [1500, 0.005, 0],
    [10_000, 0.001, 0],
    [10_000, 0.001, 0.0002],
  ])('is at least 95 % of %i pairs, %d only the first, %d only the second (on the successes themselves 0.92 to 0.93)', (n, f, g) => {
    expect(coverage(n, f, g)).toBeGreaterThan(0.95 - 1e-5);
  });
});

describe('attemptsSaved', () => {
  it.each([
    [1500, 0.02, 0.01, 0],
    [1500, 0.018, 0.02, 0.002],
    [300, 0.06, 0.05, 0.01],
  ])(
    'covers the saving 95 times in 100 at %i pairs: both %d, first only %d, second only %d (800 repeats, 4 standard errors)',
    (n, e, f, g) => {
      const draw = noiseStream(`saved/${n}/${e}/${f}`);
      const truth = 1 / (e + g) - 1 / (e + f);
      let [covered, asked] = [0, 0];
      for (let r = 0; r < 800; r++) {
        const counts = { both: 0, firstOnly: 0, secondOnly: 0, neither: 0 };
        for (let i = 0; i < n; i++) {
          const u = draw();
          counts[u < e ? 'both' : u < e + f ? 'firstOnly' : u < e + f + g ? 'secondOnly' : 'neither']++;
        }
        if (counts.both + counts.secondOnly === 0) continue;
        const [low, high] = attemptsSaved(counts, 0.95).interval;
        asked++;
        if (low <= truth && truth <= high) covered++;
      }
      expect(covered / asked).toBeGreaterThan(0.95 - 4 * Math.sqrt((0.95 * 0.05) / asked));
      expect(asked).toBeGreaterThan(790);
    },
  );

  it('is 1/p less 1/q, turns with the two, and refuses no success', () => {
    const found = attemptsSaved({ both: 40, firstOnly: 30, secondOnly: 5, neither: 25 }, 0.95);
    expect(found.difference).toBeCloseTo(1 / 0.45 - 1 / 0.7, 12);
    const turned = attemptsSaved({ both: 40, firstOnly: 5, secondOnly: 30, neither: 25 }, 0.95);
    expect(turned.interval[0]).toBeCloseTo(-found.interval[1], 12);
    expect(() => attemptsSaved({ both: 0, firstOnly: 3, secondOnly: 0, neither: 9 }, 0.95)).toThrow(RangeError);
  });
});

describe('evenSplit', () => {
  it('of nothing, and of equal counts, is 1', () => {
    expect(evenSplit(0, 0)).toEqual({ exact: 1, mid: 1 });
    expect(evenSplit(8, 8)).toEqual({ exact: 1, mid: 1 });
  });

  it('mid-p is the exact p less the probability of what was seen', () => {
    // 6 against 1: exact 2 (1 + 7)/2^7, less 7/2^7.
    expect(evenSplit(6, 1).exact).toBeCloseTo(16 / 128, 12);
    expect(evenSplit(6, 1).mid).toBeCloseTo(9 / 128, 12);
  });

  it('refuses counts that are none', () => {
    expect(() => evenSplit(-1, 2)).toThrow(RangeError);
    expect(() => evenSplit(1, 2.5)).toThrow(RangeError);
  });
});
