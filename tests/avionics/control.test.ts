/** Thrust-vector control: laws by hand, and its signs against the moments the plant makes of them. Model section 12. */
import { describe, expect, it } from 'vitest';
import { AttitudeControl, torqueFactor } from '../../src/avionics/control.ts';
import type { ComputerParameters } from '../../src/avionics/parameters.ts';
import { leaningAttitude, turnBy } from '../../src/maths/quaternion.ts';
import { FREE, rates } from '../../src/plant/rates.ts';
import { ForceAndMoment, Held, Load, TrueState } from '../../src/plant/state.ts';
import { computerForTests } from '../helpers/computerForTests.ts';
import { near } from '../helpers/near.ts';
import { inSpace, motorForTests, plantForTests } from '../helpers/plantForTests.ts';

const DEG = Math.PI / 180;
/** +-5 degrees is a usual gimbal limit: common practice, no source. */
const LIMIT = 5 * DEG;

interface Asked {
  readonly q: Float64Array;
  readonly v?: readonly number[];
  readonly rateY?: number;
  readonly rateZ?: number;
  readonly factor?: number;
}

function commanded(
  p: ComputerParameters,
  { q, v = [0, 0, 0], rateY = 0, rateZ = 0, factor = 1 }: Asked,
  control = new AttitudeControl(),
  integrate = false,
) {
  control.step(p, q, Float64Array.from(v), rateY, rateZ, factor, integrate);
  return control;
}

/** Upright, then turned about its own axis by `roll`, then about body y and z. */
function attitude(y: number, z: number, roll = 0): Float64Array {
  const q = new Float64Array(4);
  leaningAttitude(q, 0, 0, 0);
  turnBy(q, roll, 0, 0);
  turnBy(q, 0, y, z);
  return q;
}

/** Rate of change of the cosine of the tilt a moment later, from rest: positive is upright again. */
function righting(q: Float64Array, d1: number, d2: number): number {
  const plant = plantForTests({ landing: motorForTests({ nozzleStation: 0.9 }) });
  const s = Object.assign(new TrueState(), { qw: q[0], qx: q[1], qy: q[2], qz: q[3], d1, d2 });
  const load = Object.assign(new Load(), { mass: 1, xcg: 0.5, inertiaAxial: 1e-3, inertiaTransverse: 0.05, landingThrust: 20 });
  const out = new TrueState();
  rates(out, s, load, new Held(), plant, FREE, new ForceAndMoment());
  // d(axis)/dt gains (w' x axis) dt in body axes: w' x (1,0,0) = (0, w'z, -w'y).
  return inSpace(s, 0, out.wz, -out.wy)[2];
}

describe('signs against the plant', () => {
  it('a leaning vehicle is steered upright, whichever way it leans and however it is rolled', () => {
    const p = computerForTests({ kp: 0.5, gimbalLimit: LIMIT });
    for (let i = 0; i < 12; i++) {
      for (const roll of [0, 0.7, 2.5, -1.9]) {
        const q = attitude(0.08 * Math.cos(i / 2), 0.08 * Math.sin(i / 2), roll);
        const { command1, command2 } = commanded(p, { q });
        expect(righting(q, command1, command2)).toBeGreaterThan(0);
        expect(righting(q, -command1, -command2)).toBeLessThan(0);
        near(Math.hypot(command1, command2), 0.5 * 0.08, 1e-12);
      }
    }
  });

  it('a rate is opposed by its moment', () => {
    const p = computerForTests({ kd: 0.1, gimbalLimit: LIMIT });
    const q = attitude(0, 0);
    const plant = plantForTests({ landing: motorForTests({ nozzleStation: 0.9 }) });
    const load = Object.assign(new Load(), { xcg: 0.5, inertiaTransverse: 0.05, landingThrust: 20 });
    for (const [wy, wz] of [
      [0.3, 0],
      [0, 0.3],
      [-0.2, 0.1],
    ]) {
      const { command1, command2 } = commanded(p, { q, rateY: wy, rateZ: wz });
      const s = Object.assign(new TrueState(), { qw: q[0], qx: q[1], qy: q[2], qz: q[3], d1: command1, d2: command2 });
      const out = new TrueState();
      rates(out, s, load, new Held(), plant, FREE, new ForceAndMoment());
      expect(out.wy * wy + out.wz * wz).toBeLessThan(0);
      // Along the rate, but for the tangent of the deflection: d^2/3 of it.
      near((out.wy * wz - out.wz * wy) / (Math.hypot(out.wy, out.wz) * Math.hypot(wy, wz)), 0, 0.03 ** 2 / 3);
    }
  });

  it('a drift is leaned against, and the thrust then pushes back', () => {
    const p = computerForTests({ kp: 0.5, gimbalLimit: LIMIT, driftDamping: 0.06, driftTilt: 8 * DEG });
    for (const v of [
      [1, 0, -5],
      [-0.5, 1, -5],
    ]) {
      // The lean it asks for: the one at which its command is zero.
      const azimuth = Math.atan2(-v[0], -v[1]);
      const q = new Float64Array(4);
      leaningAttitude(q, 0, Math.atan(0.06 * Math.hypot(v[0], v[1])), azimuth);
      const { command1, command2 } = commanded(p, { q, v });
      near(command1, 0, 1e-15);
      near(command2, 0, 1e-15);
    }
    // At most 8 degrees "in radians" of the horizontal part: the angle is its arc tangent.
    const q = new Float64Array(4);
    leaningAttitude(q, 0, Math.atan(8 * DEG), -Math.PI / 2);
    near(commanded(p, { q, v: [50, 0, 0] }).command1, 0, 1e-15);
    near(commanded(p, { q: attitude(0, 0), v: [50, 0, 0] }).command1, 0.5 * Math.atan(8 * DEG), 1e-15);
  });
});

describe('the law', () => {
  const gains = { kp: 0.5, kd: 0.12, ki: 0.25, gimbalLimit: 1, integralLimit: 0.1 };
  it('d2 = kp e_y - kd w_y + ki int e_y, d1 = -(kp e_z - kd w_z + ki int e_z), times the factor', () => {
    const p = computerForTests(gains);
    // Turned by +0.1 about body y: the error is -0.1 about y.
    const control = commanded(p, { q: attitude(0.1, 0), rateY: 0.2, rateZ: -0.3, factor: 1.5 }, new AttitudeControl(), true);
    near(control.command2, 1.5 * (0.5 * -0.1 - 0.12 * 0.2 + 0.25 * -0.001), 1e-14);
    near(control.command1, -1.5 * (0.12 * 0.3), 1e-14);
    const other = commanded(p, { q: attitude(0, 0.1) }, new AttitudeControl(), true);
    near(other.command1, -(0.5 * -0.1 + 0.25 * -0.001), 1e-14);
    near(other.command2, 0, 1e-15);
  });

  it('the error is the whole angle, also beyond a right angle and upside down', () => {
    const p = computerForTests({ kp: 0.1, gimbalLimit: 1 });
    for (const angle of [0.01, 0.411, 0.412, 0.5, 1.5, 2.5, 3.1])
      near(commanded(p, { q: attitude(angle, 0) }).command2, -0.1 * angle, 1e-14);
    near(commanded(p, { q: attitude(0, 0) }).command2, 0, 1e-15);
  });

  it('the integral runs only when asked, is bounded, and is reset', () => {
    const p = computerForTests(gains);
    const control = new AttitudeControl();
    for (let k = 0; k < 50; k++) commanded(p, { q: attitude(-0.1, 0.05) }, control, false);
    expect([control.integralY, control.integralZ]).toEqual([0, 0]);
    for (let k = 0; k < 50; k++) commanded(p, { q: attitude(-0.1, 0.05) }, control, true);
    near(control.integralY, 0.05, 1e-12);
    near(control.integralZ, -0.025, 1e-12);
    for (let k = 0; k < 500; k++) commanded(p, { q: attitude(-0.1, 0.05) }, control, true);
    expect([control.integralY, control.integralZ]).toEqual([0.1, -0.1]);
    control.resetIntegral();
    expect([control.integralY, control.integralZ]).toEqual([0, 0]);
  });

  it('commands are cut at the gimbal limit, each axis alone, and said to be', () => {
    const p = computerForTests({ kp: 0.5, gimbalLimit: LIMIT });
    const cut = commanded(p, { q: attitude(0.5, 0.1) });
    expect(cut.command2).toBe(-LIMIT);
    expect(Math.abs(cut.command1)).toBeLessThan(LIMIT);
    expect(cut.saturated).toBe(true);
    expect(commanded(p, { q: attitude(0.1, 0.1) }).saturated).toBe(false);
  });
});

describe('torque scheduling', () => {
  // 10 N for 3 s at an arm of 0.2 m.
  const p = computerForTests({ referenceTorque: 3, leastFactor: 0.4, mostFactor: 2.5 });
  it('reference torque over expected torque, bounded; the greatest without thrust; 1 when off', () => {
    near(torqueFactor(p, p.expectedAscent, 1), 1.5, 1e-15);
    expect(torqueFactor(p, p.expectedAscent, 3.1)).toBe(2.5);
    expect(torqueFactor(p, p.expectedAscent, -0.1)).toBe(2.5);
    expect(torqueFactor({ ...p, referenceTorque: 0.1 }, p.expectedAscent, 1)).toBe(0.4);
    expect(torqueFactor({ ...p, referenceTorque: 30 }, p.expectedAscent, 1)).toBe(2.5);
    expect(torqueFactor({ ...p, referenceTorque: 0 }, p.expectedAscent, 9)).toBe(1);
  });
});
