/**
 * Simulated feet (model sections 16 and 18) against statics and dynamics in closed form (any mechanics text; own digits): sag,
 * sliding to a stop, standing and sliding on a slope; and the order of the scheme (model section 19).
 */
import { describe, expect, it } from 'vitest';
import { leaningAttitude } from '../../src/maths/quaternion.ts';
import { legShare } from '../../src/plant/contact/legShare.ts';
import type { PlantParameters } from '../../src/plant/parameters.ts';
import type { TrueState } from '../../src/plant/state.ts';
import { near } from '../helpers/near.ts';
import { ARM, OnSprings, springPlant } from '../helpers/springsForTests.ts';

const g = 9.80665;
const LEGS = 4;
const K = 2500;
/** m; the static sag of one kilogram on four legs. */
const SAG = g / (LEGS * K);

/** Set down and left until it is still. */
function standing(p: PlantParameters, state: Partial<TrueState> = {}): OnSprings {
  return new OnSprings(p, 1e-4, { vz: -0.01, ...state }).fly(2);
}

describe('sag', () => {
  it('is m g over N k', () => {
    near((ARM - standing(springPlant()).motion.s.rz) / SAG, 1, 1e-9);
  });

  it('with the ground under each leg in series', () => {
    const under = 8000;
    const stiffness = legShare(K, under) * K;
    near(1 / stiffness, 1 / K + 1 / under, 1e-18);
    near((ARM - standing(springPlant({ footStiffness: stiffness })).motion.s.rz) / (g / LEGS), 1 / K + 1 / under, 1e-9 / K);
    expect(legShare(K, Number.POSITIVE_INFINITY)).toBe(1);
  });
});

describe('sliding to a stop, too heavy to pitch', () => {
  it.each([
    [0.3, 0.5],
    [0.5, 1],
    [0.5, 2],
  ])('at friction %d from %d m/s: v^2/(2 mu g), then drawn back by mu m g/(N k_t)', (friction, speed) => {
    const drop = standing(springPlant({ friction, airframeInertiaTransverse: 1e9 }));
    const { s } = drop.motion;
    const from = s.rx;
    s.vx = speed;
    let farthest = from;
    drop.fly(4, ({ state }) => {
      farthest = Math.max(farthest, state.rx);
    });
    // The farthest of the accepted states: the turn between two of them is missed by mu g h^2/8 at most.
    near(farthest - from, speed ** 2 / (2 * friction * g), 1e-6);
    near(farthest - drop.motion.s.rx, friction * SAG * 2, 1e-6);
    drop.ground.ended(drop.motion.s);
    near(drop.ground.slidPath, speed ** 2 / (2 * friction * g) - 2 * friction * SAG, 2e-6);
  });
});

/** Ground that falls toward east, and a vehicle that stands square on it, just above. */
function onSlope(slope: number, changes: Partial<PlantParameters>): OnSprings {
  const q = new Float64Array(4);
  leaningAttitude(q, 0, slope, Math.PI / 2);
  const normal = { groundX: Math.sin(slope), groundZ: Math.cos(slope) };
  const high = ARM + 1e-4;
  const place = { rx: high * normal.groundX, rz: high * normal.groundZ };
  const p = springPlant({ ...normal, ...changes });
  return new OnSprings(p, 0, { ...place, qw: q[0], qx: q[1], qy: q[2], qz: q[3], vz: -0.01 });
}

describe('on a slope', () => {
  it('below the friction angle it stays where it is, once at rest', () => {
    const drop = onSlope(0.2, { friction: 0.3, legRadius: 0.4 });
    drop.thrustEnd = 1e3;
    drop.fly(6);
    const { s } = drop.motion;
    const place = [s.rx, s.ry, s.rz];
    drop.fly(16);
    const now = drop.motion.s;
    near(Math.hypot(now.rx - place[0], now.ry - place[1], now.rz - place[2]), 0, 1e-9);
    expect(drop.ground.verdict).toBe(0);
  });

  it('above it gains g (sin - mu cos), and has slid five seconds after it touched', () => {
    const [slope, friction] = [0.3, 0.2];
    // Low, so that it does not tip: the feet half a metre out.
    const drop = onSlope(slope, { friction, legRadius: 0.5, airframeInertiaTransverse: 1e9 });
    const speeds: [number, number][] = [];
    drop.fly(8, ({ time, state }) => speeds.push([time, Math.hypot(state.vx, state.vy, state.vz)]));
    const [[t0, v0], [t1, v1]] = [speeds[Math.floor(speeds.length / 2)], speeds[speeds.length - 1]];
    near((v1 - v0) / (t1 - t0), g * (Math.sin(slope) - friction * Math.cos(slope)), 1e-6);
    expect(drop.ground.verdict).toBe(2);
    near(t1 - drop.ground.contactTime, 5, 0.0006);
  });
});

describe('order in the contact step', () => {
  /** The state after so many steps a tick, by the end of a tick. */
  const flown = (contactSteps: number, end: number, state: Partial<TrueState>, changes: Partial<PlantParameters> = {}): TrueState =>
    new OnSprings(springPlant({ contactSteps, ...changes }), 1e-4, state).fly(end).motion.s;

  it('is four while nothing slides and nothing leaves', () => {
    const state = { vz: -0.5 };
    const exact = flown(320, 0.03, state);
    const errors = [5, 10, 20].map((steps) => Math.abs(flown(steps, 0.03, state).vz - exact.vz));
    expect(Math.log2(errors[0] / errors[1])).toBeGreaterThan(3.5);
    expect(Math.log2(errors[1] / errors[2])).toBeGreaterThan(3.5);
  });

  it('is one with sliding: at half a millisecond rates are right to 2e-3', () => {
    const state = { vz: -1, vx: 1, wy: 0.4 };
    const exact = flown(640, 0.1, state);
    const error = (steps: number): number => {
      const s = flown(steps, 0.1, state);
      return Math.hypot(s.wx - exact.wx, s.wy - exact.wy, s.wz - exact.wz);
    };
    expect(error(20)).toBeLessThan(2e-3);
    expect(error(20)).toBeGreaterThan(error(160));
  });
});
