import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { stream } from '../../../src/maths/streams.ts';
import { effectiveSize, logMeanWeight, nextExponent, systematicResample } from '../../../src/statistics/learning/weights.ts';

describe('effective sample size', () => {
  it('of weights 1 to 10 is 55^2/385', () => {
    expect(effectiveSize(Float64Array.from({ length: 10 }, (_, i) => Math.log(i + 1)))).toBeCloseTo(55 / 7, 12);
  });

  it('does not underflow, and is 0 where nothing weighs anything', () => {
    expect(effectiveSize(Float64Array.of(-1000, -1001, -1002))).toBeCloseTo(1.95869865341, 10);
    expect(logMeanWeight(Float64Array.of(-1000, -1001, -1002))).toBeCloseTo(-1000.69100632, 8);
    expect(effectiveSize(Float64Array.of(Number.NEGATIVE_INFINITY))).toBe(0);
    expect(logMeanWeight(Float64Array.of(Number.NEGATIVE_INFINITY))).toBe(Number.NEGATIVE_INFINITY);
  });
});

describe('the next exponent', () => {
  it('leaves the effective size asked for', () => {
    const logs = Float64Array.from({ length: 500 }, (_, i) => -0.5 * 1e4 * ((i - 250) / 100) ** 2);
    const next = nextExponent(logs, 0.1, 0.5);
    expect(next).toBeGreaterThan(0.1);
    // To the bisection's last bits.
    expect(effectiveSize(logs.map((log) => (next - 0.1) * log))).toBeCloseTo(250, 6);
  });

  it('goes to the end where that leaves enough', () => {
    expect(nextExponent(Float64Array.of(-1, -1.1, -0.9), 0.3, 0.5)).toBe(1);
  });

  it('goes on, by the smallest step, also where one particle outweighs all others whatever the step', () => {
    expect(nextExponent(Float64Array.of(0, -1e300), 0.25, 0.9)).toBeGreaterThan(0.25);
  });
});

it('systematic resampling keeps each particle as often as its weight says, up to less than one', () => {
  fc.assert(
    fc.property(fc.array(fc.double({ min: -30, max: 0, noNaN: true }), { minLength: 1, maxLength: 60 }), fc.integer(), (logs, seed) => {
      const kept = systematicResample(Float64Array.from(logs), stream(`${seed}`));
      const total = logs.reduce((sum, log) => sum + Math.exp(log), 0);
      const counts = logs.map((_, i) => kept.reduce((n, place) => n + (place === i ? 1 : 0), 0));
      for (const [i, n] of counts.entries()) expect(Math.abs(n - (logs.length * Math.exp(logs[i])) / total)).toBeLessThan(1 + 1e-9);
      expect(kept).toEqual(kept.toSorted());
    }),
  );
});
