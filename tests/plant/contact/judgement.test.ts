/**
 * Feet, nose and ground, and the order of the checks at a contact. The tipping formula's digits are judged in
 * tests/published.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { leaningAttitude } from '../../../src/maths/quaternion.ts';
import { clearance, reach } from '../../../src/plant/contact/clearance.ts';
import { Contact, LEANED, LEG_GAVE_WAY, SANK, SLID, STANDS, TIPPED_OVER } from '../../../src/plant/contact/groundContact.ts';
import { judgeContact } from '../../../src/plant/contact/judgement.ts';
import type { PlantParameters } from '../../../src/plant/parameters.ts';
import { Load, TrueState } from '../../../src/plant/state.ts';
import { near } from '../../helpers/near.ts';
import { inSpace, plantForTests } from '../../helpers/plantForTests.ts';

const DEG = Math.PI / 180;
const LIMITS = { sink: 3, slide: 1.5, tilt: 15 * DEG };
const XCG = 0.55;
const LOAD = Object.assign(new Load(), { mass: 1, xcg: XCG, inertiaTransverse: 0.05 });

function slope(angle: number, falls: number): Partial<PlantParameters> {
  return { groundX: Math.sin(angle) * Math.sin(falls), groundY: Math.sin(angle) * Math.cos(falls), groundZ: Math.cos(angle) };
}

const P = plantForTests({ bodyLength: 0.9, footStation: 0.95, legRadius: 0.3 });

/** A vehicle leaning toward a compass direction. */
function leaning(tilt: number, azimuth: number, changes: Partial<TrueState> = {}): TrueState {
  const q = new Float64Array(4);
  leaningAttitude(q, 0, tilt, azimuth);
  return Object.assign(new TrueState(), { qw: q[0], qx: q[1], qy: q[2], qz: q[3] }, changes);
}

const judged = (s: TrueState, p = P, share = 1) => {
  const contact = new Contact();
  return { verdict: judgeContact(contact, s, LOAD, share, p, LIMITS), contact };
};
const failing = (...legs: number[]): PlantParameters => ({
  ...P,
  legFails: Float64Array.from([0, 1, 2, 3], (i) => (legs.includes(i) ? 1 : 0)),
});

describe('clearance', () => {
  it('is that of the lowest of feet and nose tip, for any attitude, slope and deployment', () => {
    const number = (low: number, high: number) => fc.double({ min: low, max: high, noNaN: true });
    fc.assert(
      fc.property(
        number(0, 3.14),
        number(0, 7),
        number(0, 0.5),
        number(0, 7),
        number(0, 1),
        number(-2, 5),
        (tilt, azimuth, angle, falls, share, rz) => {
          const p = { ...P, ...slope(angle, falls) };
          const s = leaning(tilt, azimuth, { rx: 1.3, ry: -0.4, rz });
          const foot = 0.9 + share * 0.05;
          // Point by point in the local frame; undeployed feet are at the middle of the base.
          const points = [
            [XCG, 0, 0],
            ...[0, 1, 2, 3].map((i) => [XCG - foot, share * 0.3 * Math.cos((i * Math.PI) / 2), share * 0.3 * Math.sin((i * Math.PI) / 2)]),
          ];
          const heights = points.map(([x, y, z]) => {
            const r = inSpace(s, x, y, z);
            return (r[0] + 1.3) * p.groundX + (r[1] - 0.4) * p.groundY + (r[2] + rz) * p.groundZ;
          });
          near(clearance(s, XCG, share, p), Math.min(...heights), 1e-14 * 10);
          const centre = 1.3 * p.groundX - 0.4 * p.groundY + rz * p.groundZ;
          expect(centre - clearance(s, XCG, share, p)).toBeLessThanOrEqual(reach(XCG, p) + 1e-14);
        },
      ),
      { seed: 10, numRuns: 500 },
    );
  });

  it('upright on its feet: the foot station decides; upside down: the nose', () => {
    near(clearance(leaning(0, 0, { rz: 1 }), XCG, 1, P), 1 - 0.4, 1e-15);
    near(clearance(leaning(0, 0, { rz: 1 }), XCG, 0, P), 1 - 0.35, 1e-15);
    near(clearance(leaning(Math.PI, 0, { rz: 1 }), XCG, 1, P), 1 - 0.55, 1e-15);
  });
});

describe('what is measured', () => {
  it('on level ground: sink, slide, tilt and the rate across the axis', () => {
    const { contact } = judged(leaning(0.1, 1, { vx: 0.3, vy: -0.4, vz: -1.2, wx: 9, wy: 0.3, wz: 0.4 }));
    near(contact.sink, 1.2, 1e-15);
    near(contact.slide, 0.5, 1e-15);
    near(contact.tilt, 0.1, 1e-15);
    near(contact.tiltRate, 0.5, 1e-15);
    expect(contact.legsLocked).toBe(4);
  });

  it('on a slope by its normal: an upright fall slides downhill', () => {
    const p = { ...P, ...slope(10 * DEG, 90 * DEG) };
    const { contact } = judged(leaning(0, 0, { vz: -2 }), p);
    near(contact.sink, 2 * Math.cos(10 * DEG), 1e-15);
    near(contact.slide, 2 * Math.sin(10 * DEG), 1e-15);
    near(contact.tilt, 10 * DEG, 1e-15);
    // Leaning with the ground's normal, toward where it falls, is upright.
    near(judged(leaning(10 * DEG, 90 * DEG), p).contact.tilt, 0, 1e-8);
  });

  it('a rising centre of mass has a negative sink', () => {
    const { contact, verdict } = judged(leaning(0, 0, { vz: 0.2 }));
    expect(contact.sink).toBe(-0.2);
    expect(verdict).toBe(STANDS);
  });
});

describe('the checks, in order', () => {
  it('sink, slide, tilt, legs, rocking: the first that fails is named, at its limit none', () => {
    const all = { vz: -3.001, vx: 1.501 };
    // Leaning 16 degrees toward east, over leg 1 (body y), which failed; and fast enough to tip.
    expect(judged(leaning(16 * DEG, 90 * DEG, all), failing(0)).verdict).toBe(SANK);
    expect(judged(leaning(16 * DEG, 90 * DEG, { ...all, vz: -3 }), failing(0)).verdict).toBe(SLID);
    expect(judged(leaning(16 * DEG, 90 * DEG, { ...all, vz: -3, vx: 1.5 }), failing(0)).verdict).toBe(LEANED);
    expect(judged(leaning(14.99 * DEG, 90 * DEG, { ...all, vz: -3, vx: 1.5 }), failing(0)).verdict).toBe(LEG_GAVE_WAY);
    expect(judged(leaning(14.99 * DEG, 90 * DEG, { ...all, vz: -3, vx: 1.5 })).verdict).toBe(TIPPED_OVER);
    expect(judged(leaning(5 * DEG, 90 * DEG, { vz: -3, vx: 0.2 })).verdict).toBe(STANDS);
  });

  it('a failed leg gives way when the vehicle slides its way, not when it slides away', () => {
    // Upright: leg 1 points to body y, east; leg 2 to body z, north.
    const slides = { east: { vx: 0.1 }, west: { vx: -0.1 }, north: { vy: 0.1 } };
    expect(judged(leaning(0, 0, slides.east), failing(0)).verdict).toBe(LEG_GAVE_WAY);
    expect(judged(leaning(0, 0, slides.west), failing(0)).verdict).toBe(STANDS);
    expect(judged(leaning(0, 0, slides.west), failing(2)).verdict).toBe(LEG_GAVE_WAY);
    expect(judged(leaning(0, 0, slides.north), failing(1)).verdict).toBe(LEG_GAVE_WAY);
    expect(judged(leaning(0, 0, slides.north), failing(0)).contact.legsLocked).toBe(3);
  });

  it('without a slide of more than 1e-6 m/s the lean decides which way it goes', () => {
    const lean = (azimuth: number, vx: number) => judged(leaning(0.05, azimuth, { vx }), failing(0)).verdict;
    expect(lean(Math.PI / 2, 0)).toBe(LEG_GAVE_WAY);
    expect(lean(-Math.PI / 2, 0)).toBe(STANDS);
    expect(lean(-Math.PI / 2, 0.9e-6)).toBe(STANDS);
    expect(lean(-Math.PI / 2, 1.1e-6)).toBe(LEG_GAVE_WAY);
  });

  it('still and upright it stands on any leg left', () => {
    expect(judged(leaning(0, 0), failing(0, 1, 2, 3)).verdict).toBe(STANDS);
  });

  it('legs not fully out count as not locked', () => {
    const { verdict, contact } = judged(leaning(0, 0, { vx: 0.1 }), P, 0.999);
    expect(verdict).toBe(LEG_GAVE_WAY);
    expect(contact.legsLocked).toBe(0);
  });

  it('rocking: downhill it tips sooner than uphill', () => {
    const p = { ...P, ...slope(10 * DEG, 90 * DEG) };
    // Its own velocity along the slope, so that nothing sinks; upright by the vertical.
    const along = (v: number): Partial<TrueState> => ({ vx: v * Math.cos(10 * DEG), vz: -v * Math.sin(10 * DEG) });
    const tipsFrom = (sign: number): number => {
      let [low, high] = [0.01, 1.5];
      for (let i = 0; i < 50; i++) {
        const v = (low + high) / 2;
        if (judged(leaning(0, 0, along(sign * v)), p).verdict === TIPPED_OVER) high = v;
        else low = v;
      }
      return low;
    };
    // Slope and an upright axis cancel in the body's angle to the ground, but gravity acts: th = atan2(a.u, a.n) +
    // atan2(-u_z, n_z). Upright on ground that falls to the east, the axis leans 10 degrees uphill of the normal going
    // down: -10 + 10 = 0 either way.
    near(tipsFrom(1), tipsFrom(-1), 1e-9);
    // Square to the ground instead, the slope alone tips it downhill.
    const square = (v: number) => judged(leaning(10 * DEG, 90 * DEG, along(v)), p).verdict;
    const v = tipsFrom(1);
    expect(square(v * 0.99)).toBe(TIPPED_OVER);
    expect(square(-v * 1.01)).toBe(STANDS);
  });

  it('more legs of the same radius stand more', () => {
    const withLegs = (n: number): PlantParameters => {
      const turns = Array.from({ length: n }, (_, i) => (2 * Math.PI * i) / n);
      return {
        ...P,
        legCount: n,
        legCos: Float64Array.from(turns, Math.cos),
        legSin: Float64Array.from(turns, Math.sin),
        legFails: new Float64Array(n),
      };
    };
    const verdicts = [3, 4, 6, 8].map((n) => judged(leaning(0, 0, { vx: 1.4 }), withLegs(n)).verdict);
    expect(verdicts).toEqual([TIPPED_OVER, TIPPED_OVER, STANDS, STANDS]);
  });
});
