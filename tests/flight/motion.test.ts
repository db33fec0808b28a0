/**
 * The true motion: what vacuum conserves, how a step is split, the rail, standing and hopping. Closed forms are in
 * tests/published. Model sections 1 and 6.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Motion } from '../../src/flight/motion.ts';
import { curveTable } from '../../src/maths/thrustCurve.ts';
import { clearance } from '../../src/plant/contact/clearance.ts';
import type { PlantParameters } from '../../src/plant/parameters.ts';
import { AT_REST, FREE, ON_RAIL, STANDING } from '../../src/plant/rates.ts';
import { near } from '../helpers/near.ts';
import {
  constantMotor,
  flyTo,
  freeMotion,
  inSpace,
  motionOnPad,
  motorForTests,
  plantForTests,
  spaceMomentum,
} from '../helpers/plantForTests.ts';

const number = (low: number, high: number) => fc.double({ min: low, max: high, noNaN: true });
const UPRIGHT = { qw: 0.5, qx: -0.5, qy: -0.5, qz: -0.5 };

describe('in a vacuum, with no motor', () => {
  const p = plantForTests({ airframeInertiaAxial: 0.002, airframeInertiaTransverse: 0.05 });

  it('energy, angular momentum in space and the speed along the ground stay', () => {
    fc.assert(
      fc.property(
        number(-20, 20),
        number(-20, 20),
        number(-20, 20),
        number(-8, 8),
        number(-5, 5),
        number(-5, 5),
        (vx, vy, vz, wx, wy, wz) => {
          const motion = freeMotion(p, { ...UPRIGHT, rz: 2000, vx, vy, vz, wx, wy, wz });
          const spin = (): number => 0.5 * (0.002 * motion.s.wx ** 2 + 0.05 * (motion.s.wy ** 2 + motion.s.wz ** 2));
          const energy = (): number => 0.5 * (motion.s.vx ** 2 + motion.s.vy ** 2 + motion.s.vz ** 2) + p.gravity * motion.s.rz;
          const before = { e: energy(), spin: spin(), h: spaceMomentum(motion.s, 0.002, 0.05) };
          flyTo(motion, p, 3);
          // Uniform gravity is exact: rounding only, at heights of 2 km.
          near(energy(), before.e, 1e-9);
          near(motion.s.vx, vx, 1e-14 * 30);
          near(motion.s.vy, vy, 1e-14 * 30);
          // RK4 at 10 ms and up to 11 rad/s: (w h)^5/120 a step in phase, 300 steps.
          const scale = 4e-5 * Math.hypot(...before.h) + 1e-15;
          near(spin(), before.spin, 1e-5 * before.spin + 1e-15);
          spaceMomentum(motion.s, 0.002, 0.05).forEach((x, i) => {
            near(x, before.h[i], scale);
          });
          near(motion.s.wx, wx, 0);
        },
      ),
      { seed: 11, numRuns: 100 },
    );
  });

  it('what is lost of them falls as the fourth power of the step or faster', () => {
    const lost = (tick: number): number => {
      const motion = freeMotion(p, { ...UPRIGHT, rz: 2000, wx: 8, wy: 4, wz: -3 });
      const h = spaceMomentum(motion.s, 0.002, 0.05);
      flyTo(motion, p, 2, tick);
      const after = spaceMomentum(motion.s, 0.002, 0.05);
      return Math.hypot(...after.map((x, i) => x - h[i]));
    };
    expect(Math.log2(lost(0.02) / lost(0.01))).toBeGreaterThan(3.8);
  });
});

describe('a step that crosses a break', () => {
  // Steep pieces well inside a 0.1 s step, and a casing that leaves in it.
  const p = plantForTests({
    landing: constantMotor(1, 1, { curve: curveTable([0, 0.013, 0.041, 0.087], [0, 40, 5, 20]) }),
    ascent: motorForTests({ ignitionDelay: 1e6, casingMass: 0.05, station: 0.9 }),
    ejectDelay: 0.033,
  });
  const flown = (tick: number) => {
    const motion = freeMotion(p, { ...UPRIGHT, rz: 100, vz: -20 });
    motion.light(p, 0.004);
    flyTo(motion, p, 0.2, tick);
    return motion;
  };

  it('is split there: one step of 0.1 s is as good as many', () => {
    const coarse = flown(0.1);
    const fine = flown(1e-4);
    // The place is a cubic of time in each piece, which RK4 follows exactly: rounding of 2000 steps at 100 m.
    near(coarse.s.vz, fine.s.vz, 1e-11);
    near(coarse.s.rz, fine.s.rz, 1e-11);
    expect([coarse.thrustStartTime, coarse.thrustEndTime, coarse.casingLeftTime]).toEqual([0.004, 0.004 + 0.087, 0.004 + 0.033]);
  });

  it('keeps times and heights of what it passed', () => {
    const motion = flown(0.1);
    near(motion.thrustHeight + motion.padHeight, 100 - 20 * 0.004 - 0.5 * p.gravity * 0.004 ** 2, 1e-12);
    expect(motion.burns.casingAboard).toBe(false);
    expect(motion.landingImpulseLeft(p)).toBe(0);
    expect(motion.landingBurnoutHeight).toBeLessThan(motion.thrustHeight);
  });

  it('the casing’s leaving changes neither place nor speed', () => {
    const motion = freeMotion(p, { ...UPRIGHT, rz: 100, vz: -20, wy: 1 });
    motion.light(p, 0);
    motion.advance(p, 0.033, 1);
    const before = { ...motion.s };
    motion.derive(p);
    expect(motion.burns.casingAboard).toBe(false);
    expect({ ...motion.s }).toEqual(before);
    expect(motion.load.mass).toBeLessThan(1.05);
  });
});

/** A launch: from the pad at time 0 with the ascent motor of the plant, for `end` s or until it has left the rail. */
function launched(p: PlantParameters, end: number, tick = 0.01, held: Partial<Motion['held']> = {}): Motion {
  const motion = motionOnPad(p);
  Object.assign(motion.held, held);
  for (let k = 1; motion.time < end && motion.hold !== FREE; k++) motion.advance(p, Math.min(k * tick, end), 1);
  return motion;
}

/** The same, flown again to the instant at which it left the rail and no farther. */
function atExit(p: PlantParameters, tick: number, held: Partial<Motion['held']> = {}): Motion {
  return launched(p, launched(p, 9, tick, held).railExitTime, tick, held);
}

describe('the rail', () => {
  const ramp = (changes: Partial<PlantParameters> = {}) =>
    plantForTests({ ascent: motorForTests({ curve: curveTable([0, 1], [0, 40]) }), railLength: 1.2, ...changes });

  it('lift-off is located inside a step: where the ramp of thrust passes the weight', () => {
    const motion = launched(ramp(), 5, 0.1);
    near(motion.liftoffTime, 9.80665 / 40, 1e-9);
  });

  it('so it is on a tilted rail, where only the weight’s part along it counts', () => {
    const p = ramp({ railTilt: 0.4, railAzimuth: 1 });
    const motion = launched(p, 5, 0.1);
    near(motion.liftoffTime, (9.80665 * Math.cos(0.4)) / 40, 1e-9);
  });

  it('it leaves after the rail’s length, exactly, along the rail, without having turned', () => {
    for (const [railTilt, railAzimuth] of [
      [0, 0],
      [0.3, 2],
    ]) {
      const p = ramp({ railTilt, railAzimuth });
      const pad = motionOnPad(p);
      const motion = atExit(p, 0.1);
      const moved = [motion.s.rx - pad.s.rx, motion.s.ry - pad.s.ry, motion.s.rz - pad.s.rz];
      const axis = [Math.sin(railTilt) * Math.sin(railAzimuth), Math.sin(railTilt) * Math.cos(railAzimuth), Math.cos(railTilt)];
      moved.forEach((x, i) => {
        near(x, 1.2 * axis[i], 1e-9);
      });
      expect([motion.s.qw, motion.s.qx, motion.s.qy, motion.s.qz]).toEqual([pad.s.qw, pad.s.qx, pad.s.qy, pad.s.qz]);
      expect([motion.s.wx, motion.s.wy, motion.s.wz]).toEqual([0, 0, 0]);
    }
  });

  it('time and speed there are those of the cubic: acceleration 40 (t - t0), from rest', () => {
    const motion = launched(ramp(), 5, 0.1);
    const after = Math.cbrt((6 * 1.2) / 40);
    near(motion.railExitTime, 9.80665 / 40 + after, 1e-8);
    near(motion.railExitSpeed, 20 * after ** 2, 1e-7);
  });

  it('the middle of the base stands on the origin, however it leans', () => {
    const p = plantForTests({ railTilt: 0.4, railAzimuth: 5 });
    const motion = motionOnPad(p);
    const base = inSpace(motion.s, -0.5, 0, 0);
    near(base[0] + motion.s.rx, 0, 1e-15);
    near(base[1] + motion.s.ry, 0, 1e-15);
    near(base[2] + motion.s.rz, 0, 1e-15);
    expect(motion.height()).toBe(0);
  });

  it('a side wind does not move it, nor hold it: the rail carries what is across', () => {
    const p = ramp({ area: 0.005, normalNose: 8, crossflow: 0.1 });
    const wind = { density: 1.2, windX: 12 };
    const motion = atExit(p, 0.01, wind);
    near(motion.height(), 1.2, 1e-9);
    near(motion.s.rx, 0, 1e-12);
    near(motion.s.ry, 0, 1e-12);
    // Were it not held, 12 m/s on 0.1 m^2 would have blown it far.
    expect(launched(p, 9, 0.01, wind).s.rx).not.toBe(0);
  });

  it('too weak to lift off it never moves; that falls back before the rail’s end rests again', () => {
    const weak = launched(plantForTests({ ascent: constantMotor(9.8, 2) }), 3);
    expect([weak.hold, weak.height(), weak.liftoffTime]).toEqual([AT_REST, 0, Number.NaN]);
    near(weak.ascentBurnoutTime, 2, 1e-12);
    const brief = launched(plantForTests({ ascent: constantMotor(20, 0.1) }), 3);
    expect([brief.hold, brief.height(), brief.s.vz]).toEqual([AT_REST, 0, 0]);
    expect(brief.liftoffTime).toBe(0);
  });

  it('on the way up it is on the rail', () => {
    expect(launched(ramp(), 0.4).hold).toBe(ON_RAIL);
  });
});

describe('contact and standing', () => {
  // Twice the weight from 1 s after lighting on, a tenth of it before.
  const p = plantForTests({ landing: motorForTests({ curve: curveTable([0, 1, 1.2, 2], [1, 1, 20, 20]), nozzleStation: 1 }) });

  it('stops at the contact with the foot still clear of the ground, by less than is resolved', () => {
    const motion = freeMotion(p, { ...UPRIGHT, rz: 3, vz: -4, vx: 1, wy: 0.5 });
    expect(flyTo(motion, p, 9)).toBe(true);
    motion.derive(p);
    const gap = clearance(motion.s, motion.load.xcg, 0, p);
    expect(gap).toBeGreaterThanOrEqual(0);
    expect(gap).toBeLessThan(1e-8);
  });

  it('the nose touches too, when it comes first', () => {
    const motion = freeMotion(p, { qw: 0.5, qx: 0.5, qy: 0.5, qz: -0.5, rz: 3 });
    expect(inSpace(motion.s, 1, 0, 0)[2]).toBe(-1);
    expect(flyTo(motion, p, 9)).toBe(true);
    near(motion.s.rz, 0.5, 1e-8);
  });

  it('stands still until thrust along the normal exceeds the weight, and lifts off inside the step', () => {
    const motion = freeMotion(p, { ...UPRIGHT, rz: 0.5 });
    motion.light(p, 0);
    motion.stand();
    for (let k = 1; motion.hold === STANDING; k++) motion.advance(p, k * 0.25, 1);
    expect(motion.hops).toBe(1);
    // 1 + 95 (t - 1) = 9.80665: what was flown of the step began there, from rest.
    const off = 1 + 8.80665 / 95;
    // Acceleration 95 s to the end of the ramp, whatever is left of the step then is at most flown with constant pull.
    const s = Math.min(1.2, motion.time) - off;
    const rest = motion.time - Math.min(1.2, motion.time);
    const pull = 20 - 9.80665;
    near(motion.s.vz, 47.5 * s ** 2 + pull * rest, 1e-7);
  });

  it('leaning, thrust must be the greater', () => {
    const lean = 0.2;
    const leaningPlant = plantForTests({ ...p, railTilt: lean });
    const motion = motionOnPad(leaningPlant);
    motion.light(leaningPlant, 0);
    motion.stand();
    while (motion.hold === STANDING) motion.advance(leaningPlant, motion.time + 1e-4, 1);
    near(motion.time, 1 + (9.80665 / Math.cos(lean) - 1) / 95, 1.01e-4);
  });
});
