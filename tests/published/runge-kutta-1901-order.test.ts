/**
 * The classical fourth-order method: W. Kutta, Zeitschrift fuer Mathematik und Physik 46 (1901) 435-453 (from memory).
 * Exact facts, recomputed: one step multiplies y' = z y by 1 + z + z^2/2 + z^3/6 + z^4/24; on y'' = -y over one period
 * in n steps |y|^2 = (1 - h^6/72 + h^8/576)^n, so the error is n^-4 times a constant that tends to (2 pi)^5/120. Judged
 * on the kernel's RK4 sums, and the order on its motion.
 */
import { describe, expect, it } from 'vitest';
import type { Motion } from '../../src/flight/motion.ts';
import { addScaled, addWeighted, TrueState } from '../../src/plant/state.ts';
import { near } from '../helpers/near.ts';
import { freeMotion, plantForTests } from '../helpers/plantForTests.ts';

function steps(s: TrueState, h: number, count: number, rates: (out: TrueState, a: TrueState) => void): void {
  const k = Array.from({ length: 4 }, () => new TrueState());
  // A new state's attitude is 1, a derivative's must be 0.
  for (const derivative of k) derivative.qw = 0;
  const stage = new TrueState();
  for (let i = 0; i < count; i++) {
    rates(k[0], s);
    addScaled(stage, s, h / 2, k[0]);
    rates(k[1], stage);
    addScaled(stage, s, h / 2, k[1]);
    rates(k[2], stage);
    addScaled(stage, s, h, k[2]);
    rates(k[3], stage);
    addWeighted(s, s, h, k[0], k[1], k[2], k[3]);
  }
}

const FIELDS = Object.keys(new TrueState()) as (keyof TrueState)[];

describe('one step', () => {
  it("of y' = -0.1 y, h = 1, in every field of the state: 0.9048375", () => {
    for (const field of FIELDS) {
      const s = Object.assign(new TrueState(), { qw: 0, [field]: 1 });
      steps(s, 1, 1, (out, a) => {
        for (const f of FIELDS) out[f] = -0.1 * a[f];
      });
      near(s[field], 0.9048375, 4 * Number.EPSILON);
      for (const other of FIELDS) if (other !== field) expect(s[other]).toBe(0);
    }
  });
});

describe('an oscillator over one period', () => {
  it.each([
    [16, 1.243061361e-3, 81.46527],
    [32, 7.779459495e-5, 81.57355],
    [64, 4.863585885e-6, 81.59743],
    [128, 3.039959752e-7, 81.6033],
    [256, 1.900008994e-8, 81.60476],
  ])('in %d steps is off by %d', (n, error, constant) => {
    const s = Object.assign(new TrueState(), { rx: 1 });
    const h = (2 * Math.PI) / n;
    steps(s, h, n, (out, a) => {
      out.rx = a.vx;
      out.vx = -a.rx;
    });
    const off = Math.hypot(s.rx - 1, s.vx);
    // Half the last printed digit; rounding of n steps.
    near(off, error, 0.5 * 10 ** (Math.floor(Math.log10(error)) - 9) + n * Number.EPSILON);
    near(off * n ** 4, constant, 5e-6 + n ** 5 * Number.EPSILON);
    near(s.rx ** 2 + s.vx ** 2, (1 - h ** 6 / 72 + h ** 8 / 576) ** n, n * Number.EPSILON);
  });
});

describe('the motion of a vehicle that tumbles through air that thins with height, pushed by its gimbal', () => {
  const p = plantForTests({
    area: 0.007,
    axialNose: 0.5,
    axialTail: 0.9,
    normalNose: 6,
    normalNoseStation: 0.62,
    normalTail: 4,
    normalTailStation: 0.42,
    normalLegs: 1.2,
    normalLegsStation: 0.8,
    axialLegs: 0.7,
    crossflow: 0.1,
    crossflowStation: 0.45,
    rollAsymmetry: 0.02,
    rollDamping: -0.6,
    servoLag: 0.2,
    servoRate: 1000,
  });

  /** 0.64 s of a fast nose-first flight: the flow stays on the nose, so that the forces are smooth. */
  function flown(count: number): Motion {
    const motion = freeMotion(p, { rz: 500, qw: 0.8, qx: 0, qy: -0.6, qz: 0, vx: 30, vy: 5, vz: 60, wx: 2, wy: 1.5, wz: -1 }, 1.2);
    Object.assign(motion.held, { densitySlope: -1e-4, z: 500, windX: 3, windY: -2, legShare: 0.5, command1: 0.05, command2: -0.03 });
    for (let i = 1; i <= count; i++) motion.advance(p, (0.64 * i) / count, 1);
    return motion;
  }

  it('converges with order 4 +- 0.2 in every part of the state', () => {
    const exact = flown(1 << 13).s;
    const [coarse, fine] = [64, 128].map((n) => flown(n).s);
    for (const parts of [
      ['rx', 'ry', 'rz'],
      ['vx', 'vy', 'vz'],
      ['qw', 'qx', 'qy', 'qz'],
      ['wx', 'wy', 'wz'],
      ['d1', 'd2'],
    ] as const) {
      const error = (s: TrueState): number => Math.hypot(...parts.map((f) => s[f] - exact[f]));
      const order = Math.log2(error(coarse) / error(fine));
      expect(order, parts.join(' ')).toBeGreaterThan(3.8);
      expect(order, parts.join(' ')).toBeLessThan(4.2);
    }
  });
});
