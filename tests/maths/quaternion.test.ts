/** Attitudes: where the axes point after a lean or a turn, whatever the formulas. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { leaningAttitude, turnBy } from '../../src/maths/quaternion.ts';
import { TrueState } from '../../src/plant/state.ts';
import { near } from '../helpers/near.ts';
import { inSpace } from '../helpers/plantForTests.ts';

const asState = (q: Float64Array): TrueState => Object.assign(new TrueState(), { qw: q[0], qx: q[1], qy: q[2], qz: q[3] });
const axes = (q: Float64Array) => [inSpace(asState(q), 1, 0, 0), inSpace(asState(q), 0, 1, 0), inSpace(asState(q), 0, 0, 1)];
const close = (a: readonly number[], b: readonly number[]): void => {
  a.forEach((x, i) => {
    near(x, b[i], 8 * Number.EPSILON);
  });
};

describe('leaningAttitude', () => {
  it('upright has x up, y east, z north', () => {
    const q = new Float64Array(6);
    leaningAttitude(q, 1, 0, 2);
    expect([...q]).toEqual([0, 0.5, -0.5, -0.5, -0.5, 0]);
    const [x, y, z] = axes(q.subarray(1, 5));
    close(x, [0, 0, 1]);
    close(y, [1, 0, 0]);
    close(z, [0, 1, 0]);
  });

  it('leans the axis toward the compass direction, turning about the level line across it', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 3, noNaN: true }), fc.double({ min: -7, max: 7, noNaN: true }), (tilt, azimuth) => {
        const q = new Float64Array(4);
        leaningAttitude(q, 0, tilt, azimuth);
        const [x, y, z] = axes(q);
        close(x, [Math.sin(tilt) * Math.sin(azimuth), Math.sin(tilt) * Math.cos(azimuth), Math.cos(tilt)]);
        // The level line (-cos, sin, 0) is the same body direction before and after.
        const line = -Math.cos(azimuth);
        const across = Math.sin(azimuth);
        close(
          y.map((v, i) => line * v + across * z[i]),
          [line, across, 0],
        );
        near(Math.hypot(...q), 1, 4 * Number.EPSILON);
      }),
      { seed: 1, numRuns: 300 },
    );
  });
});

describe('turnBy', () => {
  it('turns about a body axis by the right-hand rule', () => {
    const q = Float64Array.of(1, 0, 0, 0);
    turnBy(q, 0, Math.PI / 2, 0);
    close(inSpace(asState(q), 1, 0, 0), [0, 0, -1]);
    turnBy(q, 0, 0, Math.PI / 2);
    // Then about the body's new z, which points to local x: the nose goes from -z to body y, still local y.
    close(inSpace(asState(q), 1, 0, 0), [0, 1, 0]);
  });

  it('two turns about one axis are their sum, on both sides of its series', () => {
    for (const angle of [1e-9, 3e-5, 0.02, 0.0499, 0.0501, 0.0999, 0.1001, 1.5]) {
      const once = Float64Array.of(0.5, -0.5, -0.5, -0.5);
      const twice = Float64Array.from(once);
      turnBy(once, 2 * angle * 0.6, 0, 2 * angle * 0.8);
      turnBy(twice, angle * 0.6, 0, angle * 0.8);
      turnBy(twice, angle * 0.6, 0, angle * 0.8);
      close([...twice], [...once]);
      near(2 * Math.atan2(Math.hypot(...undone(once)), 1), 2 * angle, 2e-16 + 8 * Number.EPSILON * angle);
    }
  });

  it('keeps the length', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: -4, max: 4, noNaN: true }), { minLength: 3, maxLength: 3 }), ([x, y, z]) => {
        const q = Float64Array.of(0.6, 0, -0.8, 0);
        turnBy(q, x, y, z);
        near(Math.hypot(...q), 1, 4 * Number.EPSILON);
      }),
      { seed: 2, numRuns: 300 },
    );
  });
});

/** Vector part over scalar part of the turn from upright to q: the tangent of half its angle, along its axis. */
function undone(q: Float64Array): [number, number, number] {
  // conj(upright) (x) q with upright = (1, -1, -1, -1)/2.
  const [w, x, y, z] = q;
  const scalar = 0.5 * (w - x - y - z);
  return [(0.5 * (x + w + z - y)) / scalar, (0.5 * (y + w + x - z)) / scalar, (0.5 * (z + w + y - x)) / scalar];
}
