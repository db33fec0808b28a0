/** Scaling a spread: what stays, what shrinks. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Distribution } from '../../src/inputs/distributions.ts';
import { quantile } from '../../src/inputs/distributions.ts';
import { moments } from '../../src/inputs/moments.ts';
import { centre, movedTo, scaleSpread } from '../../src/inputs/spread.ts';
import { anyDistribution } from './anyDistribution.ts';

const RUNS = { seed: 21, numRuns: 300 };

describe('a spread scaled', () => {
  it('by 1 is the same distribution', () => {
    fc.assert(
      fc.property(anyDistribution, (d) => {
        expect(scaleSpread(d, 1)).toBe(d);
      }),
      RUNS,
    );
  });

  it('by 0 is its centre, fixed', () => {
    fc.assert(
      fc.property(anyDistribution, (d) => {
        expect(scaleSpread(d, 0)).toEqual({ kind: 'fixed', value: centre(d) });
      }),
      RUNS,
    );
  });

  it('stretches every draw about the mean by the factor, at the same uniform (but for lognormals and chances)', () => {
    fc.assert(
      fc.property(
        anyDistribution,
        fc.double({ min: 0.1, max: 3, noNaN: true }),
        fc.double({ min: 1e-6, max: 1 - 1e-6, noNaN: true }),
        (d, f, u) => {
          fc.pre(d.kind !== 'lognormal' && d.kind !== 'chance');
          const c = moments(d).mean;
          const before = quantile(d)(u);
          const after = quantile(scaleSpread(d, f))(u);
          // Roundings of the bounds, 1e-16 of their size, magnified by up to 1e3 where a truncated normal is narrow or
          // far out.
          expect(Math.abs(after - (c + f * (before - c)))).toBeLessThanOrEqual(1e-10 * (1 + Math.abs(before)));
        },
      ),
      RUNS,
    );
  });

  it('halves or doubles the sd of every kind but lognormals and chances, and keeps the mean', () => {
    fc.assert(
      fc.property(anyDistribution, fc.constantFrom(0.5, 2), (d, f) => {
        fc.pre(d.kind !== 'lognormal' && d.kind !== 'chance');
        const [before, after] = [moments(d), moments(scaleSpread(d, f))];
        expect(Math.abs(after.mean - before.mean)).toBeLessThanOrEqual(1e-10 * (1 + Math.abs(before.mean)));
        expect(Math.abs(after.sd - f * before.sd)).toBeLessThanOrEqual(1e-9 * (1 + before.sd));
      }),
      RUNS,
    );
  });

  it('of a lognormal keeps the median and scales the logarithms', () => {
    const d: Distribution = { kind: 'lognormal', median: 0.11, logSd: 0.25 };
    expect(scaleSpread(d, 0.5)).toEqual({ kind: 'lognormal', median: 0.11, logSd: 0.125 });
    expect(centre(d)).toBe(0.11);
  });

  it('of a chance scales the probability, to at most 1', () => {
    const d: Distribution = { kind: 'chance', probability: 0.4 };
    expect(scaleSpread(d, 0.5)).toEqual({ kind: 'chance', probability: 0.2 });
    expect(scaleSpread(d, 5)).toEqual({ kind: 'chance', probability: 1 });
    expect(scaleSpread(d, 0)).toEqual({ kind: 'fixed', value: 0 });
  });

  it.each([-0.1, Number.NaN, Number.POSITIVE_INFINITY])('by %d is refused', (factor) => {
    expect(() => scaleSpread({ kind: 'normal', mean: 0, sd: 1 }, factor)).toThrow(RangeError);
  });
});

describe('a distribution moved', () => {
  it('lies about the value', () => {
    fc.assert(
      fc.property(anyDistribution, fc.double({ min: 0.1, max: 0.9, noNaN: true }), (d, value) => {
        const moved = movedTo(d, value);
        // Rounding of sums of a few numbers of that size and of the distribution's own.
        if (moved.kind === 'chance') expect(moved.probability).toBe(value);
        else expect(Math.abs(centre(moved) - value)).toBeLessThan(1e-9 * (1 + Math.abs(centre(d))));
      }),
      RUNS,
    );
  });

  it('is as wide as before: of a lognormal in its logarithm', () => {
    fc.assert(
      fc.property(anyDistribution, fc.double({ min: 0.1, max: 0.9, noNaN: true }), (d, value) => {
        if (d.kind === 'chance' || d.kind === 'fixed') return;
        const moved = movedTo(d, value);
        const width = (one: Distribution, on: (x: number) => number): number => on(quantile(one)(0.9)) - on(quantile(one)(0.1));
        const scale = d.kind === 'lognormal' ? Math.log : (x: number) => x;
        expect(Math.abs(width(moved, scale) - width(d, scale))).toBeLessThan(1e-8 * (1 + Math.abs(centre(d))));
      }),
      RUNS,
    );
  });

  it('refuses what cannot be', () => {
    expect(() => movedTo({ kind: 'lognormal', median: 1, logSd: 0.1 }, 0)).toThrow(RangeError);
    expect(() => movedTo({ kind: 'chance', probability: 0.1 }, 1.1)).toThrow(RangeError);
  });
});
