/**
 * A fall with quadratic drag: v = v_t tanh(g t/v_t), h = (v_t^2/g) ln cosh(g t/v_t), v(h) = v_t sqrt(1 - e^(-2 g
 * h/v_t^2)), v_t = sqrt(2 m g/(rho Cd S)). Any mechanics text; the pages on terminal velocity of NASA Glenn's
 * educational site print the same forms (from memory). Digits recomputed, confirmed by a high-order integration. m =
 * 0.5 kg, Cd = 1.3, S = 0.02 m^2, rho = 1.225: v_t = 17.547110841990452 m/s. The one-throw case without air is uniform
 * acceleration. Judged on the kernel's motion; contacts also judge how an instant is located.
 */
import { describe, expect, it } from 'vitest';
import { near } from '../helpers/near.ts';
import { flyTo, freeMotion, plantForTests } from '../helpers/plantForTests.ts';

const UPRIGHT = { qw: 0.5, qx: -0.5, qy: -0.5, qz: -0.5 };
const p = plantForTests({ airframeMass: 0.5, axialNose: 99, axialTail: 1.3, area: 0.02 });
const FEET = 0.5;

describe('speed and depth of the fall', () => {
  it.each([
    [0.5, 4.779563056394, 1.210202496943],
    [1, 8.898887572029, 4.667501856361],
    [2, 14.156749428699, 16.521250362221],
    [3, 16.361319003484, 31.957679794104],
    [5, 17.41635859843, 66.089887830731],
  ])('after %d s: %d m/s, %d m', (t, v, h) => {
    const motion = freeMotion(p, { ...UPRIGHT, rz: 100 }, 1.225);
    flyTo(motion, p, t, 0.005);
    // RK4's error at 5 ms, from halving the step: 2e-11.
    near(-motion.s.vz, v, 4e-11);
    near(100 - motion.s.rz, h, 4e-11);
  });
});

describe('the instant of contact', () => {
  it.each([
    [10, 1.5049626669549, 12.0440603212471],
    [50, 4.070921683139, 17.1802413122861],
    [120, 8.0787717314834, 17.5429086043324],
  ])('after a drop of %d m: %d s, %d m/s', (drop, t, v) => {
    const motion = freeMotion(p, { ...UPRIGHT, rz: drop + FEET }, 1.225);
    expect(flyTo(motion, p, 10)).toBe(true);
    // The model asks for 1e-6 s; the kernel locates to 1e-10 s and RK4 at 10 ms adds 3e-10 m.
    near(motion.time, t, 2e-10);
    near(-motion.s.vz, v, 1e-9);
    expect(motion.s.rz).toBeGreaterThanOrEqual(FEET);
  });

  it('of a throw from 30 m at 5 m/s upward: 3.0353783631 s, 24.7668932246 m/s', () => {
    const motion = freeMotion(p, { ...UPRIGHT, rz: 30 + FEET, vz: 5 }, 0);
    expect(flyTo(motion, p, 10)).toBe(true);
    near(motion.time, 3.0353783631, 1.5e-10);
    near(-motion.s.vz, 24.7668932246, 1.1e-9);
  });
});
