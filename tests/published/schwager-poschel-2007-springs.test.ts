/**
 * T. Schwager and T. Poeschel, Coefficient of restitution and linear-dashpot model revisited, Granular Matter 9, 2007,
 * 465-469 (abstract and opening read; their eqs. 15, 21 and 22 as a public contact code quotes them by number): a spring
 * and dashpot whose force may not pull. Judged on a vehicle that drops upright on its legs (model section 18), without
 * gravity as they have it and, by the same oscillator solved here, with it.
 */
import { describe, expect, it } from 'vitest';
import { depthPerSink, forcePerSink } from '../../src/plant/contact/survivableSink.ts';
import { near } from '../helpers/near.ts';
import { ARM, OnSprings, springPlant, TICK } from '../helpers/springsForTests.ts';

const LEGS = 4;
const STIFFNESS = 2500;
/** kg on each leg; the vehicle for tests weighs one. */
const EACH = 1 / LEGS;
const OMEGA = Math.sqrt(STIFFNESS / EACH);
const SINK = 1.5;
/** Contact steps of 0.1 ms at 100 rad/s turn the oscillator by 0.01: peaks between two of them are missed by 1e-4/8. */
const TOLERANCE = 2e-5;

const plant = (zeta: number, gravity: number) =>
  springPlant({ gravity, footStiffness: STIFFNESS, footDamping: 2 * zeta * Math.sqrt(STIFFNESS * EACH), contactSteps: 100 });

interface Drop {
  readonly force: number;
  readonly depth: number;
  readonly drop: OnSprings;
}

function dropped(zeta: number, gravity: number, end: number): Drop {
  const start = 1e-4;
  const speed = Math.sqrt(SINK * SINK - 2 * gravity * start);
  const drop = new OnSprings(plant(zeta, gravity), start, { vz: -speed });
  let depth = 0;
  drop.fly(end, ({ state }) => {
    depth = Math.max(depth, ARM - state.rz);
  });
  return { force: drop.ground.peakFootForce, depth, drop };
}

/** zeta, restitution, contact time times w0, greatest depth times w0 over the sink, without gravity. */
const TABLE = [
  [0.01, 0.9692647505, 3.121748412, 0.984512443],
  [0.05, 0.8587581018, 3.045360022, 0.926692021],
  [0.1, 0.7440793977, 2.956075325, 0.8626003697],
  [0.3, 0.4509754529, 2.654474564, 0.6715470593],
  [0.5, 0.2984360592, 2.418399152, 0.5462930159],
  [Math.SQRT1_2, Math.exp(-Math.PI / 2), Math.PI / Math.SQRT2, 0.4559381278],
  [0.9, 0.1552827475, 2.06945294, 0.3940593198],
  [1, 0.1353352832, 2, 0.3678794412],
  [2, 0.0477687325, 1.520691993, 0.2185605923],
] as const;

describe('without gravity', () => {
  it.each(TABLE)('zeta %d: restitution, contact time and depth', (zeta, restitution, contactTime, deepest) => {
    const { drop, depth } = dropped(zeta, 0, 0.2);
    const { motion, ground } = drop;
    const out = motion.s.vz;
    near(out / SINK, restitution, TOLERANCE);
    near((depth * OMEGA) / SINK, deepest, TOLERANCE);
    // It leaves from a depth of 2 zeta e over w0 at a steady speed: from where it is now, when that was.
    const left = (2 * zeta * restitution * SINK) / OMEGA;
    const time = motion.time - (motion.s.rz - ARM + left) / out - ground.contactTime;
    near(time * OMEGA, contactTime, 10 * TOLERANCE);
    expect([ground.contacts, ground.rebounds, ground.verdict]).toEqual([1, 1, 0]);
  });

  it.each(TABLE)('zeta %d: force and depth per sink, in closed form', (zeta, _e, _t, deepest) => {
    const damping = 2 * zeta * Math.sqrt(STIFFNESS * EACH);
    const { force } = dropped(zeta, 0, 0.1);
    near(force / SINK / forcePerSink(EACH, STIFFNESS, damping), 1, TOLERANCE);
    near(depthPerSink(EACH, STIFFNESS, damping) * OMEGA, deepest, 1e-9);
  });
});

/** The oscillator with gravity, x down from the touch: x'' = g - 2 zeta w0 x' - w0^2 x. */
function oscillator(zeta: number, gravity: number): (t: number) => readonly [x: number, v: number] {
  const sag = gravity / (OMEGA * OMEGA);
  const b = zeta * OMEGA;
  // x = sag + exp(-b t) (-sag C + (SINK - b sag) S), C and S the cosine and sine, or their hyperbolic kin.
  const square = OMEGA * OMEGA - b * b;
  const w = Math.sqrt(Math.abs(square));
  return (t) => {
    const C = square > 0 ? Math.cos(w * t) : Math.cosh(w * t);
    const S = w === 0 ? t : square > 0 ? Math.sin(w * t) / w : Math.sinh(w * t) / w;
    const B = SINK - b * sag;
    const decay = Math.exp(-b * t);
    const x = sag + decay * (-sag * C + B * S);
    const v = decay * (-b * (-sag * C + B * S) + sag * square * S + B * C);
    return [x, v];
  };
}

describe('with gravity', () => {
  const g = 9.80665;

  it.each([[0], [0.1], [0.3], [0.5], [0.7]])('zeta %d: depth, force, and where it is later', (zeta) => {
    const at = oscillator(zeta, g);
    const press = (t: number): number => {
      const [x, v] = at(t);
      return STIFFNESS * x + 2 * zeta * Math.sqrt(STIFFNESS * EACH) * v;
    };
    // It leaves where the force is zero.
    let [low, high] = [Math.PI / 2 / OMEGA, Math.PI / 2 / OMEGA];
    while (press(high) > 0) high += 1e-4;
    low = high - 1e-4;
    for (let i = 0; i < 60; i++) {
      const middle = (low + high) / 2;
      if (press(middle) > 0) low = middle;
      else high = middle;
    }
    const [x, v] = at(high);
    let [most, deepest] = [0, 0];
    for (let t = 0; t < high; t += 1e-6) {
      most = Math.max(most, press(t));
      deepest = Math.max(deepest, at(t)[0]);
    }
    // A tick later it is in the air.
    const { drop, force, depth } = dropped(zeta, g, TICK * Math.ceil((high + TICK) / TICK));
    near(force / most, 1, TOLERANCE);
    near(depth / deepest, 1, TOLERANCE);
    const free = drop.motion.time - drop.ground.contactTime - high;
    expect(free).toBeGreaterThan(0);
    near(drop.motion.s.vz, -v - g * free, TOLERANCE * SINK);
    near(drop.motion.s.rz - ARM, -x - v * free - 0.5 * g * free * free, TOLERANCE * SINK * (1 / OMEGA + free));
  });

  it.each([[1], [1.5]])('zeta %d: slow, it never leaves, and sinks to its sag', (zeta) => {
    const drop = new OnSprings(plant(zeta, g), 1e-4, { vz: -0.02 }).fly(1);
    expect(drop.ground.rebounds).toBe(0);
    near(ARM - drop.motion.s.rz, g / (OMEGA * OMEGA), 1e-9);
  });
});
