/**
 * Rockets that grow lighter, in closed form: the rocket equation of K. E. Tsiolkovsky (1903), with gravity, and with
 * drag. Any text has them, e.g. W. T. Thomson, Introduction to Space Dynamics (1961), chapter 8 (from memory); digits
 * recomputed from the formulas beside each check, those with gravity or drag a second time by a high-order integration.
 * Judged on the kernel's own motion.
 */
import { describe, expect, it } from 'vitest';
import { curveTable, impulseIn, pieceAfter, thrustAt } from '../../src/maths/thrustCurve.ts';
import type { PlantParameters } from '../../src/plant/parameters.ts';
import { near } from '../helpers/near.ts';
import { constantMotor, flyTo, freeMotion, plantForTests } from '../helpers/plantForTests.ts';

/** m; high enough that no foot is near the ground. */
const START = 1000;
const UPRIGHT = { rz: START, qw: 0.5, qx: -0.5, qy: -0.5, qz: -0.5 };

/** 30 N for `duration` s at 1000 m/s of exhaust speed: 0.03 kg/s. */
function rocket(full: number, propellant: number, duration: number, changes: Partial<PlantParameters> = {}): PlantParameters {
  return plantForTests({
    airframeMass: full - propellant,
    ascent: constantMotor(30, duration, { propellantMass: propellant }),
    ...changes,
  });
}

describe('the rocket equation', () => {
  it('v = v_e ln(m0/m): from 1.2 to 0.9 kg gains 287.68207245178 m/s', () => {
    const p = rocket(1.2, 0.3, 10, { gravity: 0 });
    const motion = freeMotion(p, UPRIGHT);
    flyTo(motion, p, 10);
    // A thousand steps that each round to eps of the speed: 1000 eps 288 = 6e-11.
    near(motion.s.vz, 287.68207245178, 6e-11);
    expect(motion.load.mass).toBeGreaterThan(0.9);
  });
});

describe('0.60 kg with 0.06 kg of propellant, 30 N for 2 s, against gravity: v = v_e ln(m0/m) - g t, y = (v_e/mdot)((m0 - m) - m ln(m0/m)) - g t^2/2', () => {
  const p = rocket(0.6, 0.06, 2);
  const motion = freeMotion(p, UPRIGHT);
  flyTo(motion, p, 2);
  const { vz, rz } = motion.s;
  flyTo(motion, p, 10.7437826024);
  const apogee = { ...motion.s };

  // Half the last printed digit, and 200 or 1000 steps at heights of 1000 m and more: 1e-10.
  it('has 85.7472156578 m/s at burnout', () => near(vz, 85.7472156578, 1.5e-10));
  it('has 83.8974181591 m at burnout', () => near(rz - START, 83.8974181591, 1.5e-10));
  it('has 458.7749243957 m at apogee', () => near(apogee.rz - START, 458.7749243957, 5e-10));
  // Half the last digit of the time, times g.
  it('is at apogee at 10.7437826024 s', () => near(apogee.vz, 0, 6e-10));
});

describe('the same with quadratic drag and no gravity: v = v_T (1 - u^p)/(1 + u^p), u = m/m0, v_T = sqrt(T/k), p = 2 sqrt(T k)/mdot', () => {
  // k = rho Cd A/2 = 0.0012572889419115371 kg/m.
  const p = rocket(0.6, 0.06, 2, { gravity: 0, axialNose: 0.6, area: (Math.PI / 4) * 0.066 ** 2 });
  const motion = freeMotion(p, UPRIGHT, 1.225);
  flyTo(motion, p, 2, 0.005);

  // RK4's own error at 5 ms, from halving the step: 1.5e-11; half the last printed digit; rounding of 400 steps at 1000
  // m.
  it('has 91.5803163185 m/s at burnout', () => near(motion.s.vz, 91.5803163185, 1.5e-10));
  it('has gone 96.4541355240 m', () => near(motion.s.rz - START, 96.454135524, 1.5e-10));
});

describe('the impulse of (0,0) (0.1,20) (0.3,12) (1.5,10) (1.6,0) s, N: areas of trapezoids', () => {
  const curve = curveTable([0, 0.1, 0.3, 1.5, 1.6], [0, 20, 12, 10, 0]);
  const burnt = (t: number): number => impulseIn(curve, pieceAfter(curve, t), t);

  it('is 17.9 N s in all', () => near(curve.total, 17.9, 50 * Number.EPSILON * 17.9));
  it.each([
    [0.05, 0.25],
    [0.2, 2.8],
    [1.55, 17.775],
  ])('is exact at %d s', (t, expected) => near(burnt(t), expected, 50 * Number.EPSILON * 17.9));
  it('is 12.1916666667 N s at 1 s', () => near(burnt(1), 12.1916666667, 5e-11));
  it('does not grow outside', () => {
    expect(burnt(-1)).toBe(0);
    expect(burnt(5)).toBe(curve.total);
    expect(thrustAt(curve, -0.01)).toBe(0);
    expect(thrustAt(curve, 1.61)).toBe(0);
  });
});
