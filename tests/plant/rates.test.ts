/**
 * The derivative of the true state: against a second writing in vectors (forces at stations, moments as cross
 * products), and against what must hold whatever the formulas: drag takes energy, stable vehicles turn into the wind,
 * thrust pushes where the gimbal points.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { PlantParameters, TrueMotor } from '../../src/plant/parameters.ts';
import { AT_REST, axialAcceleration, FREE, ON_RAIL, rates, STANDING, servoRate } from '../../src/plant/rates.ts';
import { ForceAndMoment, Held, Load, TrueState } from '../../src/plant/state.ts';
import { near } from '../helpers/near.ts';
import { inSpace, motorForTests, plantForTests } from '../helpers/plantForTests.ts';

type V = readonly [number, number, number];
const plus = (...all: V[]): V => [0, 1, 2].map((i) => all.reduce((s, v) => s + v[i], 0)) as unknown as V;
const times = (k: number, v: V): V => [k * v[0], k * v[1], k * v[2]];
const cross = (a: V, b: V): V => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const length = (v: V): number => Math.hypot(...v);
/** A local vector in body axes. */
const inBody = (s: TrueState, v: V): V => inSpace(Object.assign(new TrueState(), { qw: s.qw, qx: -s.qx, qy: -s.qy, qz: -s.qz }), ...v);

/** Model sections 3, 4 and 5 in vectors. */
function expected(s: TrueState, load: Load, held: Held, p: PlantParameters): { v: V; w: V; force: V } {
  const air = inBody(s, [s.vx - held.windX, s.vy - held.windY, s.vz - held.windZ]);
  const rho = held.density + held.densitySlope * (s.rz - held.z);
  const u = air[0];
  const side: V = [0, air[1], air[2]];
  const V = length(air);
  const nose = u > 0;
  const lateral = [
    { size: p.area * (nose ? p.normalNose : p.normalTail), speed: Math.abs(u), x: nose ? p.normalNoseStation : p.normalTailStation },
    { size: p.crossflow, speed: length(side), x: p.crossflowStation },
    { size: p.area * held.legShare * p.normalLegs, speed: Math.abs(u), x: p.normalLegsStation },
  ];
  let force: V = [-0.5 * rho * p.area * ((nose ? p.axialNose : p.axialTail) + held.legShare * p.axialLegs) * Math.abs(u) * u, 0, 0];
  let moment: V = [
    0.5 * rho * u * Math.abs(u) * p.area * p.diameter * p.rollAsymmetry + 0.25 * rho * V * p.area * p.diameter ** 2 * p.rollDamping * s.wx,
    0,
    0,
  ];
  for (const { size, speed, x } of lateral) {
    const f = times(-0.5 * rho * size * speed, side);
    force = plus(force, f);
    moment = plus(moment, cross([load.xcg - x, 0, 0], f), times(-0.5 * rho * V * size * (x - load.xcg) ** 2, [0, s.wy, s.wz]));
  }
  const push = (m: TrueMotor, thrust: number, flow: number): void => {
    const along: V = [1, Math.tan(s.d1 + m.angleY), Math.tan(s.d2 + m.angleZ)];
    const f = times(thrust / length(along), along);
    const arm = m.nozzleStation - load.xcg;
    force = plus(force, f);
    moment = plus(moment, cross([-arm, m.offsetY, m.offsetZ], f), times(-flow * arm ** 2, [0, s.wy, s.wz]));
  };
  push(p.ascent, load.ascentThrust, load.ascentFlow);
  push(p.landing, load.landingThrust, load.landingFlow);
  const inertia = [load.inertiaAxial, load.inertiaTransverse, load.inertiaTransverse];
  const w: V = [s.wx, s.wy, s.wz];
  const spin: V = [inertia[0] * w[0], inertia[1] * w[1], inertia[2] * w[2]];
  const net = plus(moment, times(-1, cross(w, spin)));
  return {
    force,
    v: plus(times(1 / load.mass, inSpace(s, ...force)), [0, 0, -p.gravity]),
    w: [net[0] / inertia[0], net[1] / inertia[1], net[2] / inertia[2]],
  };
}

const P = plantForTests({
  area: 0.007,
  diameter: 0.094,
  axialNose: 0.55,
  axialTail: 0.95,
  axialLegs: 0.7,
  normalNose: 6,
  normalNoseStation: 0.63,
  normalTail: 4,
  normalTailStation: 0.42,
  normalLegs: 1.2,
  normalLegsStation: 0.8,
  crossflow: 0.1,
  crossflowStation: 0.45,
  rollAsymmetry: 0.02,
  rollDamping: -0.6,
  ascent: motorForTests({ nozzleStation: 0.865, angleY: 0.01, angleZ: -0.02, offsetY: 0.0004, offsetZ: -0.0007 }),
  landing: motorForTests({ nozzleStation: 0.765, angleY: -0.015, angleZ: 0.005, offsetY: -0.0002, offsetZ: 0.0009 }),
});

const number = (low: number, high: number) => fc.double({ min: low, max: high, noNaN: true });
const anyState = fc
  .record({
    rz: number(0, 500),
    vx: number(-30, 30),
    vy: number(-30, 30),
    vz: number(-60, 60),
    wx: number(-15, 15),
    wy: number(-8, 8),
    wz: number(-8, 8),
    d1: number(-0.09, 0.09),
    d2: number(-0.09, 0.09),
    turn: fc.tuple(number(-1, 1), number(-1, 1), number(-1, 1), number(-1, 1)),
  })
  .filter(({ turn }) => Math.hypot(...turn) > 0.1)
  .map(({ turn, ...rest }) => {
    const [qw, qx, qy, qz] = turn.map((x) => x / Math.hypot(...turn));
    return Object.assign(new TrueState(), rest, { qw, qx, qy, qz });
  });
const anyHeld = fc
  .record({
    windX: number(-8, 8),
    windY: number(-8, 8),
    windZ: number(-3, 3),
    density: number(0.8, 1.3),
    densitySlope: number(-2e-4, 0),
    z: number(0, 500),
    legShare: number(0, 1),
    command1: number(-0.1, 0.1),
    command2: number(-0.1, 0.1),
  })
  .map((h) => Object.assign(new Held(), h));
const anyLoad = fc
  .record({
    ascentThrust: number(0, 30),
    landingThrust: number(0, 40),
    ascentFlow: number(0, 0.02),
    landingFlow: number(0, 0.02),
    mass: number(0.5, 2),
    xcg: number(0.4, 0.7),
    inertiaAxial: number(5e-4, 3e-3),
    inertiaTransverse: number(0.02, 0.08),
  })
  .map((l) => Object.assign(new Load(), l));
const unlit = Object.assign(new Load(), { mass: 1.04, xcg: 0.58, inertiaAxial: 0.0017, inertiaTransverse: 0.05 });

function derived(
  s: TrueState,
  load: Load,
  held: Held,
  p: PlantParameters,
  hold: typeof FREE | typeof ON_RAIL | typeof AT_REST | typeof STANDING = FREE,
): TrueState {
  const out = new TrueState();
  rates(out, s, load, held, p, hold, new ForceAndMoment());
  return out;
}

describe('rates in free flight', () => {
  it('are those of the model written in vectors', () => {
    fc.assert(
      fc.property(anyState, anyLoad, anyHeld, (s, load, held) => {
        const out = derived(s, load, held, P);
        const { v, w } = expected(s, load, held, P);
        // 100 eps of the largest force over mass or moment over inertia.
        [out.vx, out.vy, out.vz].forEach((x, i) => {
          near(x, v[i], 1e-13 * (1 + length(v)));
        });
        [out.wx, out.wy, out.wz].forEach((x, i) => {
          near(x, w[i], 1e-12 * (1 + length(w)));
        });
        expect([out.rx, out.ry, out.rz]).toEqual([s.vx, s.vy, s.vz]);
      }),
      { seed: 6, numRuns: 500 },
    );
  });

  it('turn the attitude as the body rate says: each body axis moves by w x axis, and the length stays', () => {
    fc.assert(
      fc.property(anyState, (s) => {
        const out = derived(s, unlit, new Held(), P);
        near(s.qw * out.qw + s.qx * out.qx + s.qy * out.qy + s.qz * out.qz, 0, 1e-14);
        const h = 1e-6;
        const moved = (sign: number): TrueState =>
          Object.assign(new TrueState(), {
            qw: s.qw + sign * h * out.qw,
            qx: s.qx + sign * h * out.qx,
            qy: s.qy + sign * h * out.qy,
            qz: s.qz + sign * h * out.qz,
          });
        const rate = inSpace(s, ...cross([s.wx, s.wy, s.wz], [1, 0, 0]));
        const [after, before] = [inSpace(moved(1), 1, 0, 0), inSpace(moved(-1), 1, 0, 0)];
        // Central difference: rounding eps/h.
        rate.forEach((x, i) => {
          near((after[i] - before[i]) / (2 * h), x, 2e-9);
        });
      }),
      { seed: 7, numRuns: 200 },
    );
  });

  it('take energy from a vehicle without motors in still air, moving and turning', () => {
    const plain = plantForTests({ ...P, rollAsymmetry: 0, gravity: 0 });
    fc.assert(
      fc.property(anyState, number(0, 1), (s, legShare) => {
        const held = Object.assign(new Held(), { density: 1.2, legShare });
        const still = Object.assign(new TrueState(), s, { wx: 0, wy: 0, wz: 0 });
        const out = derived(still, unlit, held, plain);
        expect(s.vx * out.vx + s.vy * out.vy + s.vz * out.vz).toBeLessThanOrEqual(0);
        // What damping adds opposes the rate.
        const turning = derived(s, unlit, held, plain);
        expect((turning.wx - out.wx) * s.wx).toBeLessThanOrEqual(0);
        const gyroscopic = ((unlit.inertiaTransverse - unlit.inertiaAxial) / unlit.inertiaTransverse) * s.wx;
        expect((turning.wy - out.wy - gyroscopic * s.wz) * s.wy + (turning.wz - out.wz + gyroscopic * s.wy) * s.wz).toBeLessThanOrEqual(
          1e-12,
        );
      }),
      { seed: 8, numRuns: 300 },
    );
  });

  /** Body along local x, as good as level: what comes from the side shows in one body axis. */
  const level = (changes: Partial<TrueState>): TrueState => Object.assign(new TrueState(), changes);
  const air = Object.assign(new Held(), { density: 1.2 });

  it('turn the nose of a vehicle whose force acts aft of its centre of mass into the flow, and the tail when flow comes from there', () => {
    const aft = plantForTests({ ...P, ascent: motorForTests(), crossflow: 0, rollAsymmetry: 0 });
    // Moving toward +y too: the nose must turn toward +y, about +z.
    expect(derived(level({ vx: 30, vy: 2 }), unlit, air, aft).wz).toBeGreaterThan(0);
    expect(derived(level({ vx: 30, vz: 2 }), unlit, air, aft).wy).toBeLessThan(0);
    // Falling tail first with the force ahead of the centre of mass, toward the nose: the nose trails, so the tail
    // leads toward +y.
    expect(derived(level({ vx: -30, vy: 2 }), unlit, air, aft).wz).toBeLessThan(0);
    // Legs alone, at the tail, pull the tail back: unstable tail first, so the nose turns toward +y.
    const legs = plantForTests({ ...aft, normalTail: 0 });
    expect(derived(level({ vx: -30, vy: 2 }), unlit, Object.assign(new Held(), { density: 1.2, legShare: 1 }), legs).wz).toBeGreaterThan(0);
  });

  it('spin with a canted surface one way going up and the other way coming down', () => {
    expect(derived(level({ vx: 30 }), unlit, air, P).wx).toBeGreaterThan(0);
    expect(derived(level({ vx: -30 }), unlit, air, P).wx).toBeLessThan(0);
  });

  it('use the axial coefficient of the side the flow comes from, and the legs by their share', () => {
    const side = (vx: number, legShare: number): number =>
      derived(level({ vx }), unlit, Object.assign(new Held(), { density: 1.2, legShare }), P).vx;
    const q = (0.5 * 1.2 * 0.007 * 900) / 1.04;
    near(side(30, 0), -q * 0.55, 1e-14);
    near(side(-30, 0), q * 0.95, 1e-14);
    near(side(-30, 0.5), q * (0.95 + 0.35), 1e-14);
  });

  it('push along the gimbal: deflected toward y, the tail is pushed toward y and the nose turns away from it', () => {
    const lit = Object.assign(new Load(), unlit, { landingThrust: 20 });
    const straight = plantForTests({ ...P, landing: motorForTests({ nozzleStation: 0.765 }), gravity: 0 });
    const toY = derived(level({ d1: 0.05 }), lit, new Held(), straight);
    expect(toY.vy).toBeGreaterThan(0);
    expect(toY.wz).toBeLessThan(0);
    const toZ = derived(level({ d2: 0.05 }), lit, new Held(), straight);
    expect(toZ.vz).toBeGreaterThan(0);
    expect(toZ.wy).toBeGreaterThan(0);
    near(Math.hypot(toY.vx, toY.vy) * 1.04, 20, 1e-13);
  });

  it('damp by the jet: flow times arm squared', () => {
    const lit = Object.assign(new Load(), unlit, { landingThrust: 1e-9, landingFlow: 0.01 });
    const out = derived(level({ wy: 2 }), lit, new Held(), plantForTests({ landing: motorForTests({ nozzleStation: 0.78 }) }));
    near(out.wy, (-0.01 * 0.2 ** 2 * 2) / 0.05, 1e-15);
  });
});

describe('what holds the vehicle', () => {
  const lit = Object.assign(new Load(), unlit, { ascentThrust: 20 });
  it('at rest or standing nothing moves but the servos', () => {
    for (const hold of [AT_REST, STANDING] as const) {
      const out = derived(
        Object.assign(new TrueState(), { vx: 3, wx: 1 }),
        lit,
        Object.assign(new Held(), { command1: 0.01, command2: -1 }),
        P,
        hold,
      );
      near(out.d1, 0.01 / 0.025, 1e-15);
      expect(out.d2).toBe(-P.servoRate);
      expect(Object.entries(out).filter(([key, x]) => !key.startsWith('d') && x !== 0)).toEqual([]);
    }
  });

  it('on the rail it moves along the axis only, by what pulls along it', () => {
    fc.assert(
      fc.property(anyState, anyLoad, anyHeld, (s, load, held) => {
        const out = derived(s, load, held, P, ON_RAIL);
        const axis = inSpace(s, 1, 0, 0);
        const along = expected(s, load, held, P).force[0] / load.mass - P.gravity * axis[2];
        [out.vx, out.vy, out.vz].forEach((x, i) => {
          near(x, along * axis[i], 1e-13 * (1 + Math.abs(along)));
        });
        expect([out.wx, out.wy, out.wz, out.qw, out.qx, out.qy, out.qz]).toEqual([0, 0, 0, 0, 0, 0, 0]);
        near(axialAcceleration(s, load, held, P, new TrueState(), new ForceAndMoment()), along, 1e-13 * (1 + Math.abs(along)));
      }),
      { seed: 9, numRuns: 100 },
    );
  });
});

describe('the servo', () => {
  it('moves toward its command, first order, no faster than its limit', () => {
    expect(servoRate(0.1, 0.05, 0.025, 5.2)).toBe(2);
    expect(servoRate(0, 0.05, 0.025, 5.2)).toBe(-2);
    expect(servoRate(1, 0, 0.025, 5.2)).toBe(5.2);
    expect(servoRate(-1, 0, 0.025, 5.2)).toBe(-5.2);
  });
});
