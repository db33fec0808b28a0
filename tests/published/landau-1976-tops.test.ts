/**
 * Rigid bodies that turn freely. L. D. Landau and E. M. Lifshitz, Mechanics (3rd ed. 1976), sections 33 to 37; W. T.
 * Thomson, Introduction to Space Dynamics (1961) (both from memory). Digits recomputed from the closed forms (the
 * asymmetric body from Jacobi's elliptic functions) and confirmed by a high-order integration. The vehicle is axially
 * symmetric, so the symmetric body is judged on the kernel's motion itself, the asymmetric one on the kernel's RK4 sums
 * with Euler's equations written here.
 */
import { describe, expect, it } from 'vitest';
import { addScaled, addWeighted, TrueState } from '../../src/plant/state.ts';
import { near } from '../helpers/near.ts';
import { constantMotor, flyTo, freeMotion, inSpace, plantForTests } from '../helpers/plantForTests.ts';

/** High up, body x along local x. */
const LEVEL = { rz: 1000, qw: 1, qx: 0, qy: 0, qz: 0 };

describe('a symmetric top: I = (0.0008, 0.05, 0.05), w(0) = (12, 0.6, 0)', () => {
  const p = plantForTests({ gravity: 0, airframeInertiaAxial: 0.0008, airframeInertiaTransverse: 0.05 });
  const at = (t: number) => {
    const motion = freeMotion(p, { ...LEVEL, wx: 12, wy: 0.6 });
    flyTo(motion, p, t, 0.0005);
    return motion.s;
  };

  // w_t turns backward in the body at w_x (It - Ia)/It = 11.808 rad/s. RK4 at 0.5 ms: (0.0059)^4/120 per radian: 1e-10
  // of 0.6 a second.
  it.each([
    [0.1, 0.2281110106, -0.5549462738],
    [0.5, 0.5573799082, 0.222098262],
    [1, 0.4355745401, 0.4126436962],
  ])('t = %d s: w_y %d, w_z %d', (t, wy, wz) => {
    near(at(t).wy, wy, 2e-10);
    near(at(t).wz, wz, 2e-10);
    expect(at(t).wx).toBe(12);
  });

  it('the attitude after 1 s is exp(H^ (H/It) t) exp(x^ lambda t)', () => {
    const s = at(1);
    near(s.qw, 0.918213120227, 2e-10);
    near(s.qx, -0.264238620199, 2e-10);
    near(s.qy, 0.274104344503, 2e-10);
    near(s.qz, 0.109221910636, 2e-10);
    const [x, y, z] = inSpace(s, 1, 0, 0);
    near(x, 0.8258747651, 2e-10);
    near(y, 0.0557200752, 2e-10);
    near(z, -0.5610937048, 2e-10);
  });

  it('its axis keeps 72.2553283749 degrees from the angular momentum, 0.0314985713962 kg m^2/s', () => {
    const h = Math.hypot(0.0008 * 12, 0.05 * 0.6);
    near(h, 0.0314985713962, 5e-14);
    for (const t of [0.3, 0.7, 1]) {
      const [x, y] = inSpace(at(t), 1, 0, 0);
      // The momentum stays where it started: (Ia w_x, It w_y, 0) in space.
      const cosine = (x * 0.0008 * 12 + y * 0.05 * 0.6) / h;
      near((Math.acos(cosine) * 180) / Math.PI, 72.2553283749, 3e-8);
    }
  });

  it('its axis goes round at 0.6299714279 rad/s', () => {
    const h = Math.hypot(0.0096, 0.03);
    const e = [0.0096 / h, 0.03 / h, 0];
    // The axis' part across the momentum, before and after one second, and the angle between them.
    const across = (a: readonly number[]): number[] => {
      const along = a[0] * e[0] + a[1] * e[1] + a[2] * e[2];
      return a.map((x, i) => x - along * e[i]);
    };
    const from = across([1, 0, 0]);
    const to = across(inSpace(at(1), 1, 0, 0));
    const sine =
      e[0] * (from[1] * to[2] - from[2] * to[1]) + e[1] * (from[2] * to[0] - from[0] * to[2]) + e[2] * (from[0] * to[1] - from[1] * to[0]);
    const cosine = from[0] * to[0] + from[1] * to[1] + from[2] * to[2];
    near(Math.atan2(sine, cosine), 0.6299714279, 1e-9);
  });
});

/** One RK4 step of Euler's equations for I = (1, 2, 3), by the kernel's sums. */
function eulerStep(s: TrueState, h: number, k: readonly TrueState[], stage: TrueState): void {
  const rates = (out: TrueState, a: TrueState): void => {
    out.wx = ((2 - 3) / 1) * a.wy * a.wz;
    out.wy = ((3 - 1) / 2) * a.wz * a.wx;
    out.wz = ((1 - 2) / 3) * a.wx * a.wy;
    out.qw = -0.5 * (a.qx * a.wx + a.qy * a.wy + a.qz * a.wz);
    out.qx = 0.5 * (a.qw * a.wx + a.qy * a.wz - a.qz * a.wy);
    out.qy = 0.5 * (a.qw * a.wy + a.qz * a.wx - a.qx * a.wz);
    out.qz = 0.5 * (a.qw * a.wz + a.qx * a.wy - a.qy * a.wx);
  };
  rates(k[0], s);
  addScaled(stage, s, h / 2, k[0]);
  rates(k[1], stage);
  addScaled(stage, s, h / 2, k[1]);
  rates(k[2], stage);
  addScaled(stage, s, h, k[2]);
  rates(k[3], stage);
  addWeighted(s, s, h, k[0], k[1], k[2], k[3]);
}

/** Turns from w(0) with q = 1; `seen` is shown the state before and after each step. */
function turned(
  w: readonly number[],
  end: number,
  steps: number,
  seen: (before: TrueState, after: TrueState, t: number) => void = () => undefined,
): TrueState {
  const s = Object.assign(new TrueState(), { wx: w[0], wy: w[1], wz: w[2] });
  const k = Array.from({ length: 4 }, () => new TrueState());
  const stage = new TrueState();
  const before = new TrueState();
  for (let i = 0; i < steps; i++) {
    Object.assign(before, s);
    eulerStep(s, end / steps, k, stage);
    seen(before, s, (end * i) / steps);
  }
  return s;
}

describe('an asymmetric body, I = (1, 2, 3), w(0) = (1, 0, 1): w = (cn, sn, dn)(t) with k^2 = 1/3', () => {
  // Half the last printed digit; RK4 at 0.5 ms: 1e-13 (from halving the step).
  const TOLERANCE = 7e-13;

  it.each([
    [0.5, [0.880719811078, 0.473637640369, 0.961884848553], [0.939568176174, 0.230039744571, 0.058741133569, 0.246663409255]],
    [1, [0.577802471812, 0.81617663748, 0.882015815511], [0.779039602588, 0.358209265957, 0.195829970695, 0.475850861047]],
    [2, [-0.216378369067, 0.976309582765, 0.825998304801], [0.314710454312, 0.232694071169, 0.37018177393, 0.842482197699]],
    [5, [-0.164350429765, -0.986402015527, 0.821991699829], [-0.892059380238, 0.345719957007, -0.246102924411, 0.155374142165]],
  ])('t = %d s: w and q', (t, w, q) => {
    const s = turned([1, 0, 1], t, t * 2000);
    [s.wx, s.wy, s.wz].forEach((x, i) => {
      near(x, w[i], TOLERANCE);
    });
    [s.qw, s.qx, s.qy, s.qz].forEach((x, i) => {
      near(x, q[i], TOLERANCE);
    });
  });

  it('repeats after 4K = 6.9356675410 s', () => {
    const s = turned([1, 0, 1], 6.935667541, 7000);
    near(s.wx, 1, 5e-11);
    near(s.wy, 0, 1e-10);
    near(s.wz, 1, 5e-11);
  });

  it('keeps twice its energy, 4, and the square of its angular momentum, 10', () => {
    const { wx, wy, wz } = turned([1, 0, 1], 5, 5000);
    near(wx ** 2 + 2 * wy ** 2 + 3 * wz ** 2, 4, 1e-11);
    near(wx ** 2 + 4 * wy ** 2 + 9 * wz ** 2, 10, 1e-11);
  });
});

describe('the flip about the middle axis', () => {
  it.each([
    [[0.01, 1, 0.01], 10.9169134942, 19.5528670986],
    [[0.02, 1, 0], 9.1762105441, 18.3524210881],
    [[0.1, 1, 0], 6.3777444692, 12.7554889383],
    [[0, 1, 0.1], 5.4105305861, 10.8210611723],
  ])('w(0) = %o: first at %d s, then every %d s', (w, first, interval) => {
    const flips: number[] = [];
    turned(w, 45, 45_000, (before, after, t) => {
      if (before.wy > 0 === after.wy > 0) return;
      // Zero of the straight line between two steps: w2 is so nearly straight there that 1 ms leaves 1e-10 s.
      flips.push(t + (1e-3 * before.wy) / (before.wy - after.wy));
    });
    near(flips[0], first, 5e-9);
    near(flips[1] - flips[0], interval, 5e-9);
  });
});

describe('a constant rate: q = (cos(|w|t/2), w/|w| sin(|w|t/2))', () => {
  it('w = (0.3, -0.5, 0.8) for 2 s', () => {
    const p = plantForTests({ gravity: 0, airframeInertiaAxial: 1, airframeInertiaTransverse: 1 });
    const motion = freeMotion(p, { ...LEVEL, wx: 0.3, wy: -0.5, wz: 0.8 });
    flyTo(motion, p, 2, 0.001);
    const { s } = motion;
    near(s.qw, 0.548732084493, 1e-12);
    near(s.qx, 0.253345732455, 1e-12);
    near(s.qy, -0.422242887426, 1e-12);
    near(s.qz, 0.675588619881, 1e-12);
    const [x, y, z] = inSpace(s, 1, 0, 0);
    near(x, -0.26941808, 5e-9);
    near(y, 0.52748744, 5e-9);
    near(z, 0.80571143, 5e-9);
  });
});

describe('a side force that turns with the body: v = (a/W)(sin Wt, 1 - cos Wt), r = (a/W^2)(1 - cos Wt, Wt - sin Wt)', () => {
  // The nozzle at the centre of mass: a slanted thrust is a side force without a moment. a = 2 m/s^2, W = 12 rad/s.
  const p = plantForTests({ gravity: 0, ascent: constantMotor(Math.hypot(1, 2), 10, { nozzleStation: 0.5, angleY: Math.atan(2) }) });

  it.each([
    [0.5, -0.0465692497, 0.0066382856, 0.0005531905, 0.0872141041],
    [1, -0.0894288197, 0.0260243402, 0.002168695, 0.1741190683],
  ])('t = %d s', (t, vy, vz, ry, rz) => {
    const motion = freeMotion(p, { ...LEVEL, wx: 12 });
    flyTo(motion, p, t, 0.001);
    // RK4 at 1 ms: 1e-10; half the last printed digit.
    near(motion.s.vy, vy, 1.5e-10);
    near(motion.s.vz, vz, 1.5e-10);
    near(motion.s.ry, ry, 1.5e-10);
    near(motion.s.rz - 1000, rz, 1.5e-10);
  });
});
