/** Lines along a gain, and where the best of one lies, from shares made up. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bestAlong, freeGains, GAIN_ROWS, heldWithin, lineAlong } from '../../../src/analysis/tune/gains.ts';

const kp = { key: 'kp', low: 0, high: 100 } as const;
const present = { kp: 0.5, kd: 0.12, ki: 0, driftDamping: 0, driftTilt: 0.1 };

describe('a line along a gain', () => {
  it('goes by equal factors to either side of the present value', () => {
    const { values, places } = lineAlong(kp, 0.5, 4, 7);
    expect(values).toHaveLength(7);
    expect(values[0]).toBeCloseTo(0.125, 12);
    expect(values[3]).toBe(0.5);
    expect(values[6]).toBeCloseTo(2, 12);
    expect(places[0]).toBe(-1);
  });

  it('lies about what is usual where the gain is 0', () => {
    expect(lineAlong({ ...kp, key: 'ki' }, 0, 4, 7).values[3]).toBe(GAIN_ROWS.ki.usual);
  });

  it('keeps within the bounds, and ascends', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 1, noNaN: true }), fc.double({ min: 1.5, max: 5, noNaN: true }), (low, reach) => {
        const { values } = lineAlong({ key: 'kp', low, high: 2 * low }, 1.5 * low, reach, 9);
        expect(values.every((value) => value >= low && value <= 2 * low)).toBe(true);
        expect([...values].sort((a, b) => a - b)).toEqual(values);
      }),
    );
  });
});

describe('the best along a line', () => {
  const line = lineAlong(kp, 1, 4, 9);
  /** Good flights of 1,000 whose log odds are a parabola in the logarithm of the gain. */
  const parabola = (best: number): number[] =>
    line.values.map((value) => Math.round(1000 / (1 + Math.exp(-0.5 + Math.log(value / best) ** 2))));

  it('is where a parabola has its top, also between the values', () => {
    // Rounded to whole flights, the fit misses the top by a per cent or two.
    for (const best of [0.5, 1, 1.4]) expect(bestAlong(line, parabola(best), 1000)).toBeCloseTo(best, 1);
  });

  it('is the end of the line where it still rises there', () => {
    expect(bestAlong(line, parabola(20), 1000)).toBe(line.values[8]);
  });

  it('leaves out what lies beyond a cliff', () => {
    const cliff = [300, 310, 320, 330, 340, 350, 0, 0, 0];
    // Flat up to the cliff: the best is beside it, not thrown far off by the zeros.
    expect(bestAlong(line, cliff, 1000)).toBeGreaterThanOrEqual(line.values[4]);
    expect(bestAlong(line, cliff, 1000)).toBeLessThanOrEqual(line.values[5]);
  });

  it('is the value flown where one stands alone', () => {
    expect(bestAlong(line, [0, 0, 0, 0, 0, 200, 0, 0, 0], 1000)).toBe(line.values[5]);
    expect(bestAlong(line, [0, 0, 0, 0, 0, 0, 0, 0, 0], 1000)).toBe(line.values[0]);
  });
});

describe('bounds', () => {
  it('hold a gain, or keep it within', () => {
    const bounds = { ki: { low: 0.2, high: 0.2 }, kp: { low: 1, high: 2 } };
    expect(freeGains(bounds).map(({ key }) => key)).toEqual(['kp', 'kd', 'driftDamping', 'driftTilt']);
    expect(heldWithin(present, bounds)).toEqual({ ...present, kp: 1, ki: 0.2 });
  });

  it('are refused in plain words', () => {
    expect(() => freeGains({ kq: { low: 0, high: 1 } })).toThrow(
      '--bounds: read "kq"; expected one of kp, kd, ki, driftDamping, driftTilt. Did you mean "kp"',
    );
    expect(() => freeGains({ kp: { low: 2, high: 1 } })).toThrow('--bounds kp: read 2..1; expected low..high within 0 to 100');
    const held = { low: 0, high: 0 };
    expect(() => freeGains({ kp: held, kd: held, ki: held, driftDamping: held, driftTilt: held })).toThrow('leave at least one free');
  });
});
