/**
 * A descent braked by constant thrust against gravity and quadratic drag, in closed form (separation of variables; own
 * derivation, no source; confirmed by a high-order integration). With F = T - m g > 0, falling at v0:
 *
 *     stops within    h = (m/2k) ln(1 + k v0^2/F)    after    t = (m/sqrt(k F)) atan(v0 sqrt(k/F))
 *     after falling h it has    v^2 = (v0^2 + F/k) e^(-2 k h/m) - F/k
 *
 * T = 14 N, m = 0.52 kg, v0 = 22 m/s, k = 1.225 x 0.6 x (pi/4) 0.066^2/2 kg/m. Judged on the kernel's motion with 10 ms
 * steps.
 */
import { describe, expect, it } from 'vitest';
import { near } from '../helpers/near.ts';
import { constantMotor, flyTo, freeMotion, plantForTests } from '../helpers/plantForTests.ts';

const UPRIGHT = { qw: 0.5, qx: -0.5, qy: -0.5, qz: -0.5 };
const p = plantForTests({ airframeMass: 0.52, landing: constantMotor(14, 10), axialTail: 0.6, area: (Math.PI / 4) * 0.066 ** 2 });
const STOP = 13.676101717;
/** Feet below the centre of mass, m. */
const FEET = 0.5;

/** Falling at 22 m/s with the motor lit, the feet `height` above the ground. */
function lit(height: number, density: number) {
  const motion = freeMotion(p, { ...UPRIGHT, rz: height + FEET, vz: -22 }, density);
  motion.light(p, 0);
  return motion;
}

describe('a constant braking burn', () => {
  it('stops within 13.6761017170 m after 1.2571686568 s', () => {
    const motion = lit(100, 1.225);
    flyTo(motion, p, 1.2571686568);
    // Half the last digit of the time, times the net deceleration of 17 m/s^2.
    near(motion.s.vz, 0, 1e-9);
    near(100 + FEET - motion.s.rz, STOP, 1e-10);
  });

  it('without drag 14.1384648261 m, 1.2853149842 s', () => {
    const motion = lit(100, 0);
    flyTo(motion, p, 1.2853149842);
    near(motion.s.vz, 0, 1e-9);
    near(100 + FEET - motion.s.rz, 14.1384648261, 1e-10);
  });

  it.each([
    [0.5, 4.1397024291],
    [1, 5.8579653284],
    [2, 8.2944474846],
  ])('lit %d m too low touches down at %d m/s', (low, speed) => {
    const motion = lit(STOP - low, 1.225);
    expect(flyTo(motion, p, 2)).toBe(true);
    // Half the last digit of speed and of the stop distance, the latter times 34/v: dv/dh = a/v.
    near(-motion.s.vz, speed, 1e-9);
  });
});
