/**
 * The wealth's digits: mpmath 1.3 at 30 digits, integrating the average over b as written at the head of sequential.ts,
 * split in 80.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { stream } from '../../../src/maths/streams.ts';
import { evenSplit } from '../../../src/statistics/proportions/evenSplit.ts';
import { type PairCounts, pairedDifference } from '../../../src/statistics/proportions/paired.ts';
import { anytimeP, differenceSequence, logWealth, verdict } from '../../../src/statistics/proportions/sequential.ts';

const pairs = (firstOnly: number, secondOnly: number, both: number, neither = 0): PairCounts => ({ both, firstOnly, secondOnly, neither });

describe('logWealth', () => {
  // 1e-11 absolute in the logarithm.
  it.each([
    [3, 1, 0, 0, -0.064538521137571],
    [3, 1, 5, 0.25, -0.34302181747085],
    [0, 4, 10, -0.5, 0.846188758941],
    [30, 20, 950, 0.03, 2.0705538606098],
    [30, 20, 950, -0.01, 2.346145104739],
    [12, 2, 36, 0.6, 13.230097886562],
    [0, 0, 10, 0.9, 19.579320021007],
    [200, 100, 700, 0.05, 2.1249222435909],
    [7, 0, 0, 0.5, -0.90582895803912],
  ])('%i, %i and %i pairs against %d', (f, g, same, d, expected) => {
    expect(Math.abs(logWealth(f, g, same, d) - expected)).toBeLessThanOrEqual(1e-11);
  });

  it('is a fair bet: averaged over the next pair it stays what it is', () => {
    // Score +1, -1, 0 with 0.15, 0.05, 0.8 has mean 0.1.
    for (const [f, g, same] of [
      [0, 0, 0],
      [4, 9, 20],
      [300, 20, 1500],
    ] as const) {
      const now = logWealth(f, g, same, 0.1);
      const next =
        0.15 * Math.exp(logWealth(f + 1, g, same, 0.1) - now) +
        0.05 * Math.exp(logWealth(f, g + 1, same, 0.1) - now) +
        0.8 * Math.exp(logWealth(f, g, same + 1, 0.1) - now);
      expect(Math.abs(next - 1)).toBeLessThanOrEqual(1e-10);
    }
    expect(Math.abs(logWealth(0, 0, 0, 0.7))).toBeLessThanOrEqual(1e-12);
  });

  it('refuses means that are none', () => {
    expect(() => logWealth(1, 1, 1, 1)).toThrow(RangeError);
    expect(() => logWealth(1, 1, 1, Number.NaN)).toThrow(RangeError);
  });
});

describe('anytimeP', () => {
  it('in closed form: 10 to 0 has wealth 2^10 times the product of (2.5 + i)/(5 + i)', () => {
    let wealth = 1;
    for (let i = 0; i < 10; i++) wealth *= (2 * (2.5 + i)) / (5 + i);
    // The library's log beta: 1e-10.
    expect(Math.abs(anytimeP(pairs(10, 0, 3, 4)) * wealth - 1)).toBeLessThanOrEqual(1e-10);
  });

  it('is 1 without pairs and where they split evenly, and does not care for pairs that agree', () => {
    expect(anytimeP(pairs(0, 0, 0))).toBe(1);
    expect(anytimeP(pairs(50, 50, 7))).toBe(1);
    expect(anytimeP(pairs(40, 10, 0))).toBe(anytimeP(pairs(40, 10, 500, 300)));
    expect(anytimeP(pairs(40, 10, 0))).toBeCloseTo(anytimeP(pairs(10, 40, 0)), 12);
  });
});

const cell = fc.integer({ min: 0, max: 400 });

describe('differenceSequence', () => {
  it('mirrors, holds the observed difference, and excludes 0 exactly when the p value rejects', () => {
    fc.assert(
      fc.property(cell, cell, fc.integer({ min: 0, max: 5000 }), (f, g, same) => {
        fc.pre(f + g + same > 0);
        const [low, high] = differenceSequence(pairs(f, g, same), 0.95);
        const [mirrorLow, mirrorHigh] = differenceSequence(pairs(g, f, same), 0.95);
        expect(low).toBe(-mirrorHigh);
        expect(high).toBe(-mirrorLow);
        const observed = (f - g) / (f + g + same);
        expect(low).toBeLessThanOrEqual(observed);
        expect(high).toBeGreaterThanOrEqual(observed);
        expect(high - low).toBeGreaterThan(0);
        const p = anytimeP(pairs(f, g, same));
        // Both computed to about 1e-10: leave a hair around the boundary.
        if (p < 0.05 * (1 - 1e-8)) expect(low > 0 || high < 0).toBe(true);
        if (p > 0.05 * (1 + 1e-8)) expect(low <= 0 && high >= 0).toBe(true);
      }),
      { seed: 6, numRuns: 150 },
    );
  });

  it('ends where the wealth reaches 1/alpha', () => {
    const [low, high] = differenceSequence(pairs(55, 25, 920), 0.95);
    expect(Math.abs(logWealth(55, 25, 920, low) - Math.log(20))).toBeLessThanOrEqual(1e-8);
    expect(Math.abs(logWealth(55, 25, 920, high) - Math.log(20))).toBeLessThanOrEqual(1e-8);
  });

  it('knows nothing without pairs, and stays open at an end never contradicted', () => {
    expect(differenceSequence(pairs(0, 0, 0), 0.95)).toEqual([-1, 1]);
    expect(differenceSequence(pairs(5, 0, 0), 0.95)[1]).toBe(1);
    expect(differenceSequence(pairs(0, 5, 0), 0.95)[0]).toBe(-1);
  });

  it('is longer than an interval for one look, but less than two and a half times', () => {
    for (const scale of [1, 10, 1000]) {
      const counts = pairs(30 * scale, 20 * scale, 950 * scale);
      const [low, high] = differenceSequence(counts, 0.95);
      const [oneLow, oneHigh] = pairedDifference(counts, 0.95).interval;
      expect((high - low) / (oneHigh - oneLow)).toBeLessThan(2.5);
      expect((high - low) / (oneHigh - oneLow)).toBeGreaterThan(1);
    }
  });

  it('refuses counts and levels that are none', () => {
    expect(() => differenceSequence(pairs(-1, 0, 0), 0.95)).toThrow(RangeError);
    expect(() => differenceSequence(pairs(1, 0, 0), 1)).toThrow(RangeError);
    expect(() => anytimeP(pairs(1, Number.NaN, 0))).toThrow(RangeError);
  });
});

describe('verdict', () => {
  it('names the winner, or nobody when the margin is kept, or leaves it open', () => {
    expect(verdict(pairs(300, 200, 9500), 0.95, null)).toBe('first');
    expect(verdict(pairs(200, 300, 9500), 0.95, 0.05)).toBe('second');
    expect(verdict(pairs(200, 200, 9600), 0.95, 0.02)).toBe('alike');
    expect(verdict(pairs(200, 200, 9600), 0.95, 0.002)).toBe('open');
    expect(verdict(pairs(200, 200, 9600), 0.95, null)).toBe('open');
    expect(verdict(pairs(0, 0, 0), 0.95, 0.5)).toBe('open');
    expect(() => verdict(pairs(1, 1, 1), 0.95, 0)).toThrow(RangeError);
  });
});

describe('looking at every pair', () => {
  it('rejects a true "equally often" in at most 5 % of comparisons, where a test for one look errs in many', () => {
    const draw = stream('sequential null');
    const trials = 2000;
    let anytime = 0;
    let oneLook = 0;
    for (let i = 0; i < trials; i++) {
      let f = 0;
      let rejected = false;
      let fooled = false;
      for (let n = 1; n <= 400; n++) {
        if (draw() < 0.5) f++;
        rejected ||= anytimeP(pairs(f, n - f, 0)) <= 0.05;
        // The first 200 comparisons are enough to show what repeated looks do to a test that was made for one.
        if (i < 200) fooled ||= evenSplit(f, n - f).exact <= 0.05;
      }
      if (rejected) anytime++;
      if (fooled) oneLook++;
    }
    // The bound is 5 % for looks without end; 4 standard errors more would be 0.0195. A p that never rejects would fail
    // below.
    expect(anytime / trials).toBeLessThanOrEqual(0.05);
    expect(anytime / trials).toBeGreaterThan(0.005);
    expect(oneLook / 200).toBeGreaterThan(0.15);
  });

  it('holds the true difference at all of 40 looks in at least 95 % of comparisons', () => {
    const draw = stream('sequential coverage');
    const looks = new Set(Array.from({ length: 40 }, (_, i) => Math.round(10 * 1.15 ** i)));
    const last = Math.max(...looks);
    const trials = 800;
    let missed = 0;
    for (let i = 0; i < trials; i++) {
      let f = 0;
      let g = 0;
      let out = false;
      for (let n = 1; n <= last; n++) {
        const u = draw();
        if (u < 0.08) f++;
        else if (u < 0.13) g++;
        if (!out && looks.has(n)) out = logWealth(f, g, n - f - g, 0.03) >= Math.log(20);
      }
      if (out) missed++;
    }
    expect(missed / trials).toBeLessThanOrEqual(0.05);
    expect(missed).toBeGreaterThan(0);
  });

  it('finds a winner of 70 to 30 within 200 differing pairs nearly always, and never the wrong one', () => {
    const draw = stream('sequential power');
    const decidedAfter: number[] = [];
    let wrong = 0;
    for (let i = 0; i < 400; i++) {
      let f = 0;
      for (let n = 1; n <= 200; n++) {
        if (draw() < 0.7) f++;
        if (anytimeP(pairs(f, n - f, 0)) <= 0.05) {
          decidedAfter.push(n);
          if (f < n - f) wrong++;
          break;
        }
      }
    }
    // A test for one look needs 47 pairs for 80 % power (Connor's formula); looking at each must cost less than twice
    // that in the middle.
    expect(decidedAfter.length).toBeGreaterThanOrEqual(392);
    expect(decidedAfter.sort((a, b) => a - b)[200]).toBeLessThan(94);
    expect(wrong).toBeLessThanOrEqual(2);
  });
});
