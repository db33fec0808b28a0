/**
 * What a simulated touchdown keeps, whatever the flight: energy, symmetry, and what its failures are called (model
 * sections 17, 20, 21 and 23).
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { leaningAttitude } from '../../../src/maths/quaternion.ts';
import { LEG_GAVE_WAY, SANK, STANDS, TIPPED_OVER } from '../../../src/plant/contact/groundContact.ts';
import { survivableSink } from '../../../src/plant/contact/survivableSink.ts';
import type { PlantParameters } from '../../../src/plant/parameters.ts';
import type { TrueState } from '../../../src/plant/state.ts';
import { near } from '../../helpers/near.ts';
import { ARM, OnSprings, springPlant } from '../../helpers/springsForTests.ts';

const g = 9.80665;
const number = (low: number, high: number) => fc.double({ min: low, max: high, noNaN: true });
const DIAGONAL = [1, 3, 5, 7].map((i) => (i * Math.PI) / 4);
const diagonal = { legCos: Float64Array.from(DIAGONAL, Math.cos), legSin: Float64Array.from(DIAGONAL, Math.sin) };

interface Arrival {
  readonly tilt: number;
  /** rad, toward which it leans. */
  readonly azimuth: number;
  readonly slope: number;
  /** rad, toward which the ground falls. */
  readonly falls: number;
  readonly east: number;
  readonly north: number;
  readonly sink: number;
  readonly w: readonly [number, number, number];
}

const arrivals: fc.Arbitrary<Arrival> = fc.record({
  tilt: number(0, 0.3),
  azimuth: number(0, 6.28),
  slope: number(0, 0.2),
  falls: number(0, 6.28),
  east: number(-1, 1),
  north: number(-1, 1),
  sink: number(0.3, 2),
  w: fc.tuple(number(-5, 5), number(-1, 1), number(-1, 1)),
});

const normalOf = ({ slope, falls }: Arrival) => ({
  groundX: Math.sin(slope) * Math.sin(falls),
  groundY: Math.sin(slope) * Math.cos(falls),
  groundZ: Math.cos(slope),
});

/** In the air over the slope, the whole of it above the ground. */
function arriving(a: Arrival, changes: Partial<PlantParameters> = {}, rz = 0.75): OnSprings {
  const q = new Float64Array(4);
  leaningAttitude(q, 0, a.tilt, a.azimuth);
  const [wx, wy, wz] = a.w;
  const state = { rz, vx: a.east, vy: a.north, vz: -a.sink, qw: q[0], qx: q[1], qy: q[2], qz: q[3], wx, wy, wz };
  return new OnSprings(springPlant({ ...normalOf(a), ...diagonal, ...changes }), 0, state);
}

/** J: of motion, of weight, and of springs and bristles of the feet that touch. */
function energyOf(drop: OnSprings, s: TrueState): number {
  const { p, ground } = drop;
  const moving = 0.5 * (s.vx ** 2 + s.vy ** 2 + s.vz ** 2);
  const turning = 0.5 * (p.airframeInertiaAxial * s.wx ** 2 + p.airframeInertiaTransverse * (s.wy ** 2 + s.wz ** 2));
  // The feet's own anchors: private, and no one else's business but this test's.
  const feet = ground.feet as unknown as {
    anchorX: Float64Array;
    anchorY: Float64Array;
    m00: number;
    m01: number;
    m02: number;
    m10: number;
    m11: number;
    m12: number;
    t00: number;
    t01: number;
    t02: number;
    t10: number;
    t11: number;
    t12: number;
  };
  ground.feet.see(s, drop.motion.load.xcg, p);
  let stored = 0;
  for (let i = 0; i < p.legCount; i++) {
    if (ground.feet.touches[i] === 0) continue;
    const d = ground.feet.height(i, s, p);
    const [y, z] = [p.legRadius * p.legCos[i], p.legRadius * p.legSin[i]];
    const x0 = feet.t00 * s.rx + feet.t01 * s.ry + feet.t02 * s.rz + feet.m00 * -ARM + feet.m01 * y + feet.m02 * z - feet.anchorX[i];
    const y0 = feet.t10 * s.rx + feet.t11 * s.ry + feet.t12 * s.rz + feet.m10 * -ARM + feet.m11 * y + feet.m12 * z - feet.anchorY[i];
    stored += 0.5 * p.footStiffness * d * d + 0.25 * p.footStiffness * (x0 * x0 + y0 * y0);
  }
  return moving + turning + g * s.rz + stored;
}

it('energy never rises: leaning, spinning touchdowns on a slope', () => {
  fc.assert(
    fc.property(arrivals, number(5, 30), number(0.05, 1.5), (a, damping, friction) => {
      const drop = arriving(a, { footDamping: damping, friction, airframeInertiaAxial: 0.01 });
      let before = Number.POSITIVE_INFINITY;
      let rise = 0;
      drop.fly(1, ({ state }) => {
        const now = energyOf(drop, state);
        rise = Math.max(rise, now - before);
        before = now;
      });
      expect(rise).toBeLessThanOrEqual(1e-9);
    }),
    { seed: 18, numRuns: 60 },
  );
});

/** Where it is and how it moves, as plain numbers. */
const last = ({ motion: { s } }: OnSprings): number[] => [s.rx, s.ry, s.rz, s.vx, s.vy, s.vz, s.wx, s.wy, s.wz];

/**
 * Stages leave a spinning body's quaternion off unit length by some 1e-7, and its matrix then favours an axis: that much
 * of a step's turn is not the mirror's.
 */
const OFF_UNIT = 1e-5;

it('a mirrored touchdown is the mirror of the touchdown', () => {
  fc.assert(
    fc.property(arrivals, (a) => {
      // Through the plane of east and up: body z and north change sign, and of turning what is across that plane stays.
      const mirrored = arriving({
        ...a,
        azimuth: Math.PI - a.azimuth,
        falls: Math.PI - a.falls,
        north: -a.north,
        w: [-a.w[0], -a.w[1], a.w[2]],
      });
      const seen = last(arriving(a).fly(0.4));
      const signs = [1, -1, 1, 1, -1, 1, -1, -1, 1];
      last(mirrored.fly(0.4)).forEach((x, i) => {
        near(x * signs[i], seen[i], OFF_UNIT);
      });
    }),
    { seed: 19, numRuns: 60 },
  );
});

it('a touchdown turned about the vertical, ground and all, is the same', () => {
  fc.assert(
    fc.property(arrivals, fc.constantFrom(0.5, 1, 1.5), (a, quarters) => {
      // By right angles the legs come to lie where others were, so that the body need not be turned with the rest.
      const turn = quarters * Math.PI;
      const [c, s] = [Math.cos(turn), Math.sin(turn)];
      const [wx, wy, wz] = a.w;
      const turned = arriving({
        ...a,
        azimuth: a.azimuth + turn,
        falls: a.falls + turn,
        east: c * a.east + s * a.north,
        north: c * a.north - s * a.east,
        w: [wx, c * wy + s * wz, c * wz - s * wy],
      });
      const [x, y, z, vx, vy, vz, ux, uy, uz] = last(arriving(a).fly(0.4));
      const seen = [c * x + s * y, c * y - s * x, z, c * vx + s * vy, c * vy - s * vx, vz, ux, c * uy + s * uz, c * uz - s * uy];
      last(turned.fly(0.4)).forEach((value, i) => {
        near(value, seen[i], OFF_UNIT);
      });
    }),
    { seed: 20, numRuns: 60 },
  );
});

it('legs that lock and have no limit of strength never give way', () => {
  fc.assert(
    fc.property(arrivals, number(1, 15), (a, sink) => {
      const drop = arriving({ ...a, sink }).fly(3);
      expect(drop.ground.verdict).not.toBe(LEG_GAVE_WAY);
      if (drop.ground.verdict === SANK) {
        expect(drop.ground.lastSink).toBeGreaterThan(survivableSink(0.25, 2500, 20, Number.POSITIVE_INFINITY, 0.1));
      }
    }),
    { seed: 21, numRuns: 100 },
  );
});

describe('what ends a flight', () => {
  const level: Arrival = { tilt: 0, azimuth: 0, slope: 0, falls: 0, east: 0, north: 0, sink: 1, w: [0, 0, 0] };

  it('soft, it comes to rest after 0.2 s of quiet, and has bounced as often as its feet all left', () => {
    const drop = arriving(level, { footDamping: 10 });
    let rested = Number.NaN;
    drop.fly(3, ({ time }) => {
      if (Number.isNaN(rested) && drop.ground.rests) rested = time;
    });
    expect(drop.ground.verdict).toBe(STANDS);
    expect(drop.ground.rebounds).toBeGreaterThan(0);
    expect(drop.ground.contacts).toBe(drop.ground.rebounds + 1);
    expect(rested).toBeGreaterThan(drop.ground.lastContactTime + 0.2);
    near(drop.ground.leanCos, 1, 1e-12);
  });

  it.each([[40], [Number.POSITIVE_INFINITY]])(
    'legs of strength %d: upright above what they stand it sinks, below it stands',
    (strength) => {
      const limit = survivableSink(0.25, 2500, 20, strength, 0.1);
      const fallen = (sink: number): number => arriving({ ...level, sink }, { footStrength: strength }, ARM + 1e-3).fly(2).ground.verdict;
      // What gravity adds while the legs give is left out of the limit, hence the tenth.
      expect(fallen(1.03 * limit)).toBe(SANK);
      expect(fallen(0.9 * limit)).toBe(STANDS);
    },
  );

  it('on a missing leg it falls toward it: that leg gave way; with all of them it tips over', () => {
    const pushed = { ...level, east: 1.6, north: 1.6, sink: 0.1 };
    const fallen = (...fails: number[]): number =>
      arriving(pushed, { friction: 2, footDamping: 30, legFails: Float64Array.from(fails) }, ARM + 1e-3).fly(4).ground.verdict;
    expect(fallen(0, 0, 0, 0)).toBe(TIPPED_OVER);
    // The first leg points to north and east, where it is pushed.
    expect(fallen(1, 0, 0, 0)).toBe(LEG_GAVE_WAY);
    // Away from a missing leg it tips over like any other.
    expect(fallen(0, 0, 1, 0)).toBe(TIPPED_OVER);
    expect(fallen(1, 1, 1, 1)).toBe(LEG_GAVE_WAY);
  });

  it('a foot pressed beyond its strength by other than the sink gave way', () => {
    // It leans on one foot, slowly.
    const drop = arriving({ ...level, tilt: 0.25, azimuth: Math.PI / 4, sink: 0.5 }, { footStrength: 60 }).fly(2);
    expect(drop.ground.verdict).toBe(LEG_GAVE_WAY);
    expect(drop.ground.peakFootForce).toBeGreaterThan(60);
  });
});
