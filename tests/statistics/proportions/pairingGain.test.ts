import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { stream } from '../../../src/maths/streams.ts';
import type { PairCounts } from '../../../src/statistics/proportions/paired.ts';
import { pairingGain } from '../../../src/statistics/proportions/pairingGain.ts';
import { coverageOf, fourErrors } from '../../helpers/coverage.ts';

const pairs = (both: number, firstOnly: number, secondOnly: number, neither: number): PairCounts => ({
  both,
  firstOnly,
  secondOnly,
  neither,
});

describe('pairingGain', () => {
  it.each([
    // p1 = p2 = 1/2: apart 1/2, together 1/5.
    [pairs(40, 10, 10, 40), 2.5],
    // As if independent.
    [pairs(25, 25, 25, 25), 1],
    // Luck that helps one and hurts the other: pairing is worse than independent flights.
    [pairs(10, 40, 40, 10), 0.625],
    // p1 = 0.6, p2 = 0.5: apart 0.24 + 0.25, together 0.1 - 0.01.
    [pairs(50, 10, 0, 40), 0.49 / 0.09],
  ])('of %o by hand', (counts, ratio) => {
    const found = pairingGain(counts, 0.95);
    expect(found?.ratio).toBeCloseTo(ratio, 12);
    expect(found?.interval[0]).toBeLessThan(ratio);
    expect(found?.interval[1]).toBeGreaterThan(ratio);
  });

  it('does not depend on which way is first, nor on what is called success', () => {
    fc.assert(
      fc.property(fc.nat(50), fc.integer({ min: 1, max: 50 }), fc.integer({ min: 1, max: 50 }), fc.nat(50), (e, f, g, h) => {
        const one = pairingGain(pairs(e, f, g, h), 0.9);
        for (const other of [pairingGain(pairs(e, g, f, h), 0.9), pairingGain(pairs(h, f, g, e), 0.9)]) {
          // 100 eps: the same sums in another order.
          for (const [a, b] of [
            [one?.ratio, other?.ratio],
            [one?.interval[0], other?.interval[0]],
            [one?.interval[1], other?.interval[1]],
          ]) {
            expect(Math.abs((a ?? 0) / (b ?? Number.NaN) - 1)).toBeLessThan(1e-11);
          }
        }
      }),
      { seed: 5, numRuns: 200 },
    );
  });

  it('holds the true ratio as often as it says', () => {
    // p1 = 0.45, p2 = 0.5: apart 0.2475 + 0.25, together 0.25 - 0.0025.
    const truth = 0.4975 / 0.2475;
    const found = coverageOf(truth, 1000, (repeat) => {
      const u = stream(`pairingGain/${repeat}`);
      const counts = [0, 0, 0, 0];
      for (let i = 0; i < 1000; i++) {
        const x = u();
        counts[x < 0.35 ? 0 : x < 0.45 ? 1 : x < 0.6 ? 2 : 3]++;
      }
      const gain = pairingGain(pairs(counts[0], counts[1], counts[2], counts[3]), 0.95);
      if (gain === null) throw new Error('no gain');
      const standardError = (Math.log(gain.interval[1] / gain.interval[0]) * gain.ratio) / (2 * 1.96);
      return { estimate: gain.ratio, standardError, interval: gain.interval };
    });
    expect(Math.abs(found.covered - 0.95)).toBeLessThan(fourErrors(1000));
    // Four standard errors of a standard deviation over 1000 repeats, 4/sqrt(2000).
    expect(Math.abs(found.statedOverTrue - 1)).toBeLessThan(0.09);
  });

  it('says nothing of pairs that show no variance', () => {
    expect(pairingGain(pairs(0, 0, 0, 0), 0.95)).toBeNull();
    expect(pairingGain(pairs(5, 0, 0, 7), 0.95)).toBeNull();
    expect(pairingGain(pairs(0, 9, 0, 0), 0.95)).toBeNull();
    expect(pairingGain(pairs(0, 0, 9, 0), 0.95)).toBeNull();
    expect(() => pairingGain(pairs(1, 1, 0.5, 1), 0.95)).toThrow(RangeError);
    expect(() => pairingGain(pairs(1, 1, 1, 1), 1)).toThrow(RangeError);
  });
});
