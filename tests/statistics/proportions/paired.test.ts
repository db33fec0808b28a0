import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { evenSplit } from '../../../src/statistics/proportions/evenSplit.ts';
import { newcombePaired } from '../../../src/statistics/proportions/paired.ts';
import { newcombeUnpaired } from '../../../src/statistics/proportions/unpaired.ts';

const cell = fc.integer({ min: 0, max: 3000 });

describe('newcombePaired', () => {
  it('changes sign when the two change places, and stays in [-1, 1]', () => {
    fc.assert(
      fc.property(cell, cell, cell, cell, (both, firstOnly, secondOnly, neither) => {
        fc.pre(both + firstOnly + secondOnly + neither > 0);
        const a = newcombePaired({ both, firstOnly, secondOnly, neither }, 0.95);
        const b = newcombePaired({ both, firstOnly: secondOnly, secondOnly: firstOnly, neither }, 0.95);
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
    const paired = newcombePaired({ both: 380, firstOnly: 30, secondOnly: 20, neither: 570 }, 0.95).interval;
    const apart = newcombeUnpaired(410, 1000, 400, 1000, 0.95).interval;
    expect(paired[1] - paired[0]).toBeLessThan(0.4 * (apart[1] - apart[0]));
  });

  it('stays finite at a million pairs', () => {
    const { interval } = newcombePaired({ both: 400_000, firstOnly: 30_000, secondOnly: 20_000, neither: 550_000 }, 0.95);
    // Wald's standard error sqrt(psi - d^2)/sqrt(n) = 2.234e-4; 1.96 of it on either side of 0.01, within 1 %.
    expect(Math.abs((interval[0] - 0.01) / -4.378e-4 - 1)).toBeLessThanOrEqual(0.01);
    expect(Math.abs((interval[1] - 0.01) / 4.378e-4 - 1)).toBeLessThanOrEqual(0.01);
  });

  it('refuses no pairs and counts that are none', () => {
    expect(() => newcombePaired({ both: 0, firstOnly: 0, secondOnly: 0, neither: 0 }, 0.95)).toThrow(RangeError);
    expect(() => newcombePaired({ both: 1, firstOnly: -1, secondOnly: 0, neither: 0 }, 0.95)).toThrow(RangeError);
    expect(() => newcombePaired({ both: 1, firstOnly: 1, secondOnly: 0, neither: 0 }, 0)).toThrow(RangeError);
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
