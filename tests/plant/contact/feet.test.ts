/** The force on one foot (model section 18), for any state: it never pulls, and keeps to its friction cone. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { leaningAttitude } from '../../../src/maths/quaternion.ts';
import { Feet } from '../../../src/plant/contact/feet.ts';
import { Load, TrueState } from '../../../src/plant/state.ts';
import { near } from '../../helpers/near.ts';
import { springPlant } from '../../helpers/springsForTests.ts';

const number = (low: number, high: number) => fc.double({ min: low, max: high, noNaN: true });
const LOAD = Object.assign(new Load(), { mass: 1.3, xcg: 0.5, inertiaAxial: 0.002, inertiaTransverse: 0.05 });

function stateOf(tilt: number, azimuth: number, changes: Partial<TrueState>): TrueState {
  const q = new Float64Array(4);
  leaningAttitude(q, 0, tilt, azimuth);
  return Object.assign(new TrueState(), { qw: q[0], qx: q[1], qy: q[2], qz: q[3], ...changes });
}

/** One leg of four bears; its foot touches where the first state has it, and is asked about at the second. */
function pushed(slope: number, falls: number, friction: number, touch: TrueState, s: TrueState) {
  const p = springPlant({
    groundX: Math.sin(slope) * Math.sin(falls),
    groundY: Math.sin(slope) * Math.cos(falls),
    groundZ: Math.cos(slope),
    friction,
    legFails: Float64Array.of(0, 1, 1, 1),
  });
  const feet = new Feet();
  feet.reset(p);
  // Lifted out of the ground it locks; where it is, it touches.
  const above = Object.assign(new TrueState(), touch, { rz: 10 });
  feet.see(above, LOAD.xcg, p);
  feet.lock(above, p);
  feet.see(touch, LOAD.xcg, p);
  feet.touch(Number.POSITIVE_INFINITY, touch, p);
  const out = Object.assign(new TrueState(), { qw: 0 });
  feet.push(out, s, LOAD, p);
  const force = [out.vx, out.vy, out.vz].map((a) => a * LOAD.mass);
  const along = force[0] * p.groundX + force[1] * p.groundY + force[2] * p.groundZ;
  const across = Math.hypot(force[0] - along * p.groundX, force[1] - along * p.groundY, force[2] - along * p.groundZ);
  return { feet, p, out, along, across };
}

it('never pulls, and friction is at most its coefficient times what presses', () => {
  fc.assert(
    fc.property(
      number(0, 0.5),
      number(0, 6.3),
      number(0.01, 3),
      number(0, 1),
      number(0, 6.3),
      number(-0.1, 0.1),
      number(-3, 3),
      number(-3, 3),
      number(-3, 3),
      number(-5, 5),
      (slope, falls, friction, tilt, azimuth, moved, vx, vy, vz, w) => {
        const place = stateOf(tilt, azimuth, { rx: 1, ry: -2, rz: 0.45 });
        const s = stateOf(tilt, azimuth + 0.1 * moved, { rx: 1 + moved, ry: -2, rz: 0.45, vx, vy, vz, wx: w, wy: -w, wz: 0.5 * w });
        const { along, across } = pushed(slope, falls, friction, place, s);
        expect(along).toBeGreaterThanOrEqual(-1e-12);
        expect(across).toBeLessThanOrEqual(friction * along * (1 + 1e-12) + 1e-12);
      },
    ),
    { seed: 18, numRuns: 1000 },
  );
});

describe('by hand, upright on level ground', () => {
  const still = { rz: 0.49 };

  it('spring and dashpot along the normal, and the moment about the centre of mass', () => {
    const s = stateOf(0, 0, { ...still, vz: -0.2 });
    const { out, along, across } = pushed(0, 0, 0.5, stateOf(0, 0, still), s);
    // 2,500 N/m over 1 cm, and 20 N s/m at 0.2 m/s; the foot is 0.2 m out along body y, so that it turns about body z.
    near(along, 29, 1e-9);
    near(across, 0, 1e-9);
    near(out.wz, -(0.2 * 29) / LOAD.inertiaTransverse, 1e-6);
  });

  it('a bristle half as stiff as the leg along the ground, until friction gives', () => {
    const place = stateOf(0, 0, still);
    near(pushed(0, 0, 0.5, place, stateOf(0, 0, { ...still, rx: 0.005 })).across, 1250 * 0.005, 1e-9);
    near(pushed(0, 0, 0.5, place, stateOf(0, 0, { ...still, rx: 0.5 })).across, 12.5, 1e-9);
  });

  it('a foot in the air, or rising fast out of the ground, does nothing', () => {
    expect(pushed(0, 0, 0.5, stateOf(0, 0, still), stateOf(0, 0, { rz: 0.51, rx: 0.1 })).along).toBe(0);
    expect(pushed(0, 0, 0.5, stateOf(0, 0, still), stateOf(0, 0, { ...still, vz: 2 })).along).toBe(0);
  });

  it('an accepted state drags the anchor until the bristle can hold it: that far it has slid', () => {
    const s = stateOf(0, 0, { ...still, rx: 0.5 });
    const { feet, p, across } = pushed(0, 0, 0.5, stateOf(0, 0, still), s);
    feet.settle(s, p, true);
    near(feet.slid[0], 0.5 - 12.5 / 1250, 1e-12);
    near(feet.greatest, Math.hypot(25, across), 1e-9);
    // Dragged once, it needs no more.
    feet.settle(s, p, true);
    near(feet.slid[0], 0.5 - 12.5 / 1250, 1e-12);
  });
});

it('a leg whose foot is at or below the ground as it comes out cannot lock, nor one that fails', () => {
  const p = springPlant({ legFails: Float64Array.of(0, 0, 0, 1) });
  const feet = new Feet();
  feet.reset(p);
  const s = stateOf(0.2, Math.PI / 2, { rz: 0.5 });
  feet.see(s, LOAD.xcg, p);
  feet.lock(s, p);
  // It leans toward east, body y, over the first leg: that foot is in the ground.
  expect([...feet.bears].slice(0, 4)).toEqual([0, 1, 1, 0]);
  expect(feet.bearing(p)).toBe(2);
});
