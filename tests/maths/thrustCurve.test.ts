/**
 * Thrust curves: what holds in and between their pieces, and the impulse against a sum over thin slices. Model section
 * 3.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type CurveTable, curveTable, impulseIn, impulseOf, pieceAfter, thrustAt, thrustIn } from '../../src/maths/thrustCurve.ts';
import { near } from '../helpers/near.ts';

const anyCurve = fc
  .array(fc.tuple(fc.double({ min: 0.01, max: 1, noNaN: true }), fc.double({ min: 0, max: 50, noNaN: true })), {
    minLength: 2,
    maxLength: 8,
  })
  .map((steps) => {
    let t = -0.01;
    return curveTable(
      steps.map(([dt]) => {
        t += dt;
        return t;
      }),
      steps.map(([, f]) => f),
    );
  });

const impulseAt = (c: CurveTable, t: number): number => impulseIn(c, pieceAfter(c, t), t);

describe('a thrust curve', () => {
  it('passes through its points and is linear between them', () => {
    const c = curveTable([0.5, 1, 3], [4, 10, 2]);
    expect([0.5, 0.75, 1, 2].map((t) => thrustAt(c, t))).toEqual([4, 7, 10, 6]);
    expect(c.total).toBe(3.5 + 12);
    expect(impulseOf([0.5, 1, 3], [4, 10, 2])).toBe(3.5 + 12);
  });

  it('is zero before its first point and from its last on, though it jumps there', () => {
    const c = curveTable([0.5, 1], [4, 10]);
    expect([-1, 0.4999, 1, 2].map((t) => thrustAt(c, t))).toEqual([0, 0, 0, 0]);
    // Each piece is extended to its end, so that the last instant of a burn still has its thrust.
    expect(thrustIn(c, 0, 1)).toBe(10);
    expect(thrustIn(c, 1, 1)).toBe(0);
    expect(thrustIn(c, -1, 0.5)).toBe(0);
  });

  it('names the piece that holds just after a time', () => {
    const c = curveTable([0, 1, 2], [1, 1, 1]);
    expect([-0.1, 0, 0.9, 1, 1.9, 2, 9].map((t) => pieceAfter(c, t))).toEqual([-1, 0, 0, 1, 1, 2, 2]);
  });

  it('has an impulse whose slices are its thrust', () => {
    fc.assert(
      fc.property(anyCurve, fc.double({ min: -0.5, max: 9, noNaN: true }), (c, t) => {
        // The middle of a slice is exact on a straight line; only a slice that a point or a jump falls into is off, by
        // its width times 50 N.
        const slices = 2000;
        let sum = 0;
        for (let i = 0; i < slices; i++) sum += thrustAt(c, -0.5 + ((t + 0.5) * (i + 0.5)) / slices) * ((t + 0.5) / slices);
        near(impulseAt(c, t), sum, 50 * c.points * ((t + 0.5) / slices) + 1e-9);
      }),
      { seed: 3, numRuns: 60 },
    );
  });

  it('has an impulse without jumps at its points, from 0 to its total', () => {
    fc.assert(
      fc.property(anyCurve, (c) => {
        for (let k = 1; k < c.points; k++) near(impulseIn(c, k - 1, c.time[k]), impulseIn(c, k, c.time[k]), 1e-12 * (1 + c.total));
        expect(impulseAt(c, c.time[0] - 1)).toBe(0);
        expect(impulseAt(c, c.time[c.points - 1])).toBe(c.total);
      }),
      { seed: 4, numRuns: 100 },
    );
  });

  it('refuses times that do not increase', () => {
    expect(() => curveTable([0, 1, 1], [1, 1, 1])).toThrow(RangeError);
    expect(() => curveTable([0, Number.NaN], [1, 1])).toThrow(RangeError);
  });
});
