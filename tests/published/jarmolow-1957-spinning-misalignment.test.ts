/**
 * A spinning body under a side torque fixed in it, as from a thrust misalignment: J. Jarmolow, Dynamics of a Spinning
 * Rocket with Varying Inertia and Applied Moment, J. Applied Mechanics (1957); R. S. Armstrong (1959); J. M. Longuski
 * and others, J. Guidance, Control, and Dynamics (2005). Citations from memory; the formula is derived from Euler's
 * equations, the digits recomputed, the nose's place by a high-order integration.
 *
 *     w = M/(i lambda It) (1 - e^(-i lambda t)), lambda = W (It - Ia)/It, exact since the roll is undisturbed
 *
 * I = (0.0008, 0.05, 0.05), W = 12 rad/s, M = 0.01 N m about body y. Judged on the kernel's motion with 0.5 ms steps.
 */
import { describe, expect, it } from 'vitest';
import type { TrueMotor } from '../../src/plant/parameters.ts';
import { near } from '../helpers/near.ts';
import { constantMotor, flyTo, freeMotion, inSpace, plantForTests } from '../helpers/plantForTests.ts';

const LEVEL = { rz: 1000, qw: 1, qx: 0, qy: 0, qz: 0 };

function spun(motor: TrueMotor, t: number) {
  const p = plantForTests({ gravity: 0, airframeInertiaAxial: 0.0008, airframeInertiaTransverse: 0.05, ascent: motor });
  const motion = freeMotion(p, { ...LEVEL, wx: 12 });
  flyTo(motion, p, t, 0.0005);
  return motion.s;
}

/**
 * 10 N beside the axis by 1 mm toward body z; and a thrust slanted toward body z at an arm of 0.5 m. Both: 0.01 N m
 * about body y.
 */
const BESIDE = constantMotor(10, 10, { offsetZ: 0.001 });
const SLANTED = constantMotor(10, 10, { angleZ: Math.asin(0.01 / (10 * 0.5)) });

describe.each([
  ['an offset', BESIDE],
  ['a slant', SLANTED],
])('%s of the thrust', (_, motor) => {
  it.each([
    [0.1, 0.0156658275, -0.0104982212, 0.000378115343, -0.000883754654],
    [0.5, -0.0062697116, -0.0012031417, 0.008850077666, 0.0003500532],
    [1, -0.0116487042, -0.0046416401, 0.017590163189, 0.001400912488],
    [2, -0.0169129299, -0.0160225478, 0.03431979878, 0.005612332429],
  ])('t = %d s: w_y %d, w_z %d, nose at y %d, z %d', (t, wy, wz, noseY, noseZ) => {
    const s = spun(motor, t);
    // Half the last printed digit; RK4 at 0.5 ms turns phases by (0.006)^4/120 per radian: 1e-10 a second of 0.017
    // rad/s.
    near(s.wy, wy, 2e-10);
    near(s.wz, wz, 2e-10);
    expect(s.wx).toBe(12);
    const [, y, z] = inSpace(s, 1, 0, 0);
    near(y, noseY, 2e-11);
    near(z, noseZ, 2e-11);
  });
});

describe('the mirrored misalignment', () => {
  it('turns it the other way about body y, and an offset toward y about body z', () => {
    const other = spun(constantMotor(10, 10, { offsetZ: -0.001 }), 0.1);
    near(other.wy, -0.0156658275, 2e-10);
    // M = 0.01 about -z: the complex rate is turned by -90 degrees, w_y + i w_z times -i.
    const sideways = spun(constantMotor(10, 10, { offsetY: 0.001 }), 0.1);
    near(sideways.wy, -0.0104982212, 2e-10);
    near(sideways.wz, -0.0156658275, 2e-10);
  });
});
