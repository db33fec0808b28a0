import { describe, expect, it } from 'vitest';
import { trialsPerGroup } from '../../../src/statistics/proportions/sampleSize.ts';

const test = { alpha: 0.05, power: 0.8 };

describe('trialsPerGroup', () => {
  it('does not care which is the first, and asks for more with the correction', () => {
    expect(trialsPerGroup(0.4, 0.6, test, false)).toBeCloseTo(trialsPerGroup(0.6, 0.4, test, false), 10);
    // The correction adds about 1/difference: n'= n (1 + 1/(n d) + ...).
    const plain = trialsPerGroup(0.4, 0.6, test, false);
    expect(Math.abs(trialsPerGroup(0.4, 0.6, test, true) - plain - 2 / 0.2)).toBeLessThanOrEqual(0.5);
  });

  it('refuses no difference, and what is no probability', () => {
    expect(() => trialsPerGroup(0.4, 0.4, test, false)).toThrow(RangeError);
    expect(() => trialsPerGroup(0.4, 1.4, test, false)).toThrow(RangeError);
    expect(() => trialsPerGroup(0.4, 0.5, { alpha: 0, power: 0.8 }, false)).toThrow(RangeError);
    expect(() => trialsPerGroup(0.4, 0.5, { alpha: 0.05, power: 1 }, false)).toThrow(RangeError);
  });
});
