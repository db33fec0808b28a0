/**
 * Mass properties against bodies put together piece by piece, and mass flow against the mass that goes. Model section
 * 2.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { curveTable, pieceAfter } from '../../src/maths/thrustCurve.ts';
import { type Burns, loadAt } from '../../src/plant/mass.ts';
import type { PlantParameters, TrueMotor } from '../../src/plant/parameters.ts';
import { Load } from '../../src/plant/state.ts';
import { near } from '../helpers/near.ts';
import { motorForTests, plantForTests } from '../helpers/plantForTests.ts';

const CURVE = curveTable([0, 0.2, 1, 1.5], [0, 20, 12, 0]);
const RADIUS = 0.0145;
const LENGTH = 0.09;

const ascent: TrueMotor = motorForTests({
  curve: CURVE,
  casingMass: 0.03,
  propellantMass: 0.027,
  station: 0.81,
  gyrationAxial: RADIUS ** 2 / 2,
  gyrationTransverse: (3 * RADIUS ** 2 + LENGTH ** 2) / 12,
});
const landing: TrueMotor = { ...ascent, casingMass: 0.028, propellantMass: 0.031, station: 0.71 };
const P = plantForTests({
  airframeMass: 0.93,
  airframeStation: 0.56,
  airframeInertiaAxial: 0.0017,
  airframeInertiaTransverse: 0.043,
  ascent,
  landing,
});

/** Where the burns stand at a time; landing motor lit at `lit`. */
function burnsAt(p: PlantParameters, time: number, lit = Number.POSITIVE_INFINITY, casingAboard = true): Burns {
  const piece = (m: TrueMotor, start: number): number => (start > time ? -1 : pieceAfter(m.curve, (time - start) / m.burnTimeFactor));
  return { ascentStart: 0, landingStart: lit, ascentPiece: piece(p.ascent, 0), landingPiece: piece(p.landing, lit), casingAboard };
}

function loaded(p: PlantParameters, time: number, lit?: number, casingAboard?: boolean): Load {
  const load = new Load();
  loadAt(load, p, burnsAt(p, time, lit, casingAboard), time);
  return load;
}

const near10 = (a: number, b: number): void => near(a, b, 1e-14 + 50 * Number.EPSILON * Math.abs(b));

describe('the load', () => {
  it('on the pad is everything, at its stations, by the parallel-axis rule', () => {
    const parts = [
      { m: 0.93, x: 0.56, ia: 0.0017, it: 0.043 },
      ...[0.03, 0.027].map((m) => ({ m, x: 0.81, ia: (m * RADIUS ** 2) / 2, it: (m * (3 * RADIUS ** 2 + LENGTH ** 2)) / 12 })),
      ...[0.028, 0.031].map((m) => ({ m, x: 0.71, ia: (m * RADIUS ** 2) / 2, it: (m * (3 * RADIUS ** 2 + LENGTH ** 2)) / 12 })),
    ];
    const m = parts.reduce((s, p) => s + p.m, 0);
    // About the nose, then back to the centre of mass: not the way the kernel goes.
    const x = parts.reduce((s, p) => s + p.m * p.x, 0) / m;
    const aboutNose = parts.reduce((s, p) => s + p.it + p.m * p.x ** 2, 0);
    const load = loaded(P, 0);
    near10(load.mass, m);
    near10(load.xcg, x);
    near10(
      load.inertiaAxial,
      parts.reduce((s, p) => s + p.ia, 0),
    );
    near(load.inertiaTransverse, aboutNose - m * x ** 2, 1e-14);
    expect([load.ascentThrust, load.landingThrust, load.ascentFlow, load.landingFlow]).toEqual([0, 0, 0, 0]);
  });

  it('loses propellant with impulse, and keeps the casing', () => {
    // 2 N s of 17.8 to 0.2 s; 12.8 more to 1 s; 3 more to 1.5 s.
    near10(loaded(P, 0.2).mass, loaded(P, 0).mass - (0.027 * 2) / 17.8);
    near10(loaded(P, 1).mass, loaded(P, 0).mass - (0.027 * 14.8) / 17.8);
    near10(loaded(P, 1.5).mass, loaded(P, 0).mass - 0.027);
    expect(loaded(P, 9).mass).toBe(loaded(P, 1.5).mass);
    near10(loaded(P, 9, Number.POSITIVE_INFINITY, false).mass, 0.93 + 0.059);
    near10(loaded(P, 9, 8.8, false).mass, 0.93 + 0.059 - (0.031 * 2) / 17.8);
  });

  it('moves the centre of mass forward as the ascent motor burns and leaves', () => {
    const before = loaded(P, 0).xcg;
    const burnt = loaded(P, 2).xcg;
    const gone = loaded(P, 2, Number.POSITIVE_INFINITY, false).xcg;
    expect(burnt).toBeLessThan(before);
    expect(gone).toBeLessThan(burnt);
  });

  it('scales thrust by impulse over burn time and time by burn time; the propellant does not know the impulse factor', () => {
    const stretched = plantForTests({ ...P, ascent: { ...ascent, thrustScale: 1.1 / 1.25, burnTimeFactor: 1.25 } });
    const load = loaded(stretched, 0.25);
    near10(load.ascentThrust, (1.1 / 1.25) * 20);
    near10(load.mass, loaded(P, 0.2).mass);
    near10(load.ascentFlow, (0.027 * 20) / (1.25 * 17.8));
  });

  it('has a flow that is the fall of mass', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.3, max: 3, noNaN: true }),
        fc.double({ min: 0.3, max: 2, noNaN: true }),
        fc.double({ min: 0.21, max: 0.99, noNaN: true }),
        fc.boolean(),
        (burnTimeFactor, impulseFactor, part, isLanding) => {
          const motor = { ...(isLanding ? landing : ascent), burnTimeFactor, thrustScale: impulseFactor / burnTimeFactor };
          const p = plantForTests({ ...P, [isLanding ? 'landing' : 'ascent']: motor });
          const lit = isLanding ? 5 : Number.POSITIVE_INFINITY;
          const t = part * burnTimeFactor + (isLanding ? 5 : 0);
          const h = 1e-3 * burnTimeFactor;
          // Mass is quadratic in time inside a piece: the central difference is exact.
          const fall = (loaded(p, t - h, lit).mass - loaded(p, t + h, lit).mass) / (2 * h);
          const load = loaded(p, t, lit);
          near(isLanding ? load.landingFlow : load.ascentFlow, fall, 1e-11 / h / 1000 + 1e-12);
          expect(fall).toBeGreaterThan(0);
        },
      ),
      { seed: 5, numRuns: 200 },
    );
  });

  it('burns both motors at once when they overlap', () => {
    const load = loaded(P, 0.5, 0.3);
    near10(load.ascentThrust, 20 - (8 * 0.3) / 0.8);
    near10(load.landingThrust, 20);
  });
});
