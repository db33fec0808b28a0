/** Directions drawn in: the same however they are written, and nothing where there is no middle. */
import { describe, expect, it } from 'vitest';
import { middleDirection, scaleCircularSpread } from '../../src/inputs/circularSpread.ts';
import type { Distribution } from '../../src/inputs/distributions.ts';
import { quantile } from '../../src/inputs/distributions.ts';

const DEG = Math.PI / 180;
const TURN = 360 * DEG;
const uniform = (low: number, high: number): Distribution => ({ kind: 'uniform', low: low * DEG, high: high * DEG });
const list = (...degrees: number[]): Distribution => ({
  kind: 'discrete',
  values: degrees.map((d) => d * DEG),
  weights: degrees.map(() => 1 / degrees.length),
});
/** Whether two angles are one direction, to rounding. */
const same = (a: number, b: number): boolean => Math.abs(Math.sin((a - b) / 2)) < 1e-12;

describe('a direction that may be any', () => {
  it.each([
    [0, 360],
    [-180, 180],
    [90, 450],
  ])('written %i to %i degrees has no middle, and no spread to scale', (low, high) => {
    expect(middleDirection(uniform(low, high))).toBeNull();
    expect(scaleCircularSpread(uniform(low, high), 0)).toBeNull();
    expect(scaleCircularSpread(uniform(low, high), 0.5)).toBeNull();
    expect(scaleCircularSpread(uniform(low, high), 1)).toEqual(uniform(low, high));
  });

  it('from a list of opposite directions has none either', () => {
    expect(middleDirection(list(0, 90, 180, 270))).toBeNull();
    expect(middleDirection(list(10, 190))).toBeNull();
  });

  it('nor has a normal spread over more than the whole circle', () => {
    expect(middleDirection({ kind: 'normal', mean: 0, sd: 3 })).toBeNull();
  });
});

describe('directions about north', () => {
  it('from a list have north for their middle, whichever side of a turn they are written on', () => {
    for (const d of [list(350, 0, 10), list(-10, 0, 10), list(350, 360, 370)]) {
      const middle = middleDirection(d);
      expect(middle).not.toBeNull();
      expect(same(middle ?? Number.NaN, 0)).toBe(true);
      const half = scaleCircularSpread(d, 0.5);
      const values = half?.kind === 'discrete' ? half.values : [];
      expect([...values].map((v, i) => same(v, [-5, 0, 5][i] * DEG))).toEqual([true, true, true]);
    }
  });

  it('over an arc keep the middle of the arc and half its width, whatever turn it is written on', () => {
    for (const turn of [0, 360]) {
      expect(scaleCircularSpread(uniform(turn - 40, turn + 40), 0)).toEqual({ kind: 'fixed', value: turn * DEG });
      const half = scaleCircularSpread(uniform(turn - 40, turn + 40), 0.5);
      expect(half).not.toBeNull();
      if (half === null) return;
      expect(quantile(half)(0.25)).toBeCloseTo((turn - 10) * DEG, 12);
    }
  });

  it('can be held at their middle, not halved, where they reach beyond half a turn from it', () => {
    const wide: Distribution = { kind: 'normal', mean: TURN, sd: 80 * DEG };
    expect(scaleCircularSpread(wide, 0)).toEqual({ kind: 'fixed', value: TURN });
    expect(scaleCircularSpread(wide, 0.5)).toBeNull();
    expect(() => scaleCircularSpread(wide, 2)).toThrow(RangeError);
  });
});
