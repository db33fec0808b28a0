import { describe, expect, test } from 'vitest';
import { aerodynamicsFromGeometry } from '../../src/plant/barrowman.ts';
import { crossflowEfficiency } from '../../src/plant/crossflow.ts';
import { finsNormalForce, finsNormalForceReversed, finsRollDamping } from '../../src/plant/fins.ts';
import type { Fins, Geometry, LegStruts } from '../../src/plant/geometry.ts';
import { strutForces } from '../../src/plant/legStruts.ts';
import { bodySilhouette, finChord, finsInSilhouette } from '../../src/plant/planform.ts';
import type { Aerodynamics } from '../../src/study/study.ts';
import { FINNED, FOUR_FINS, PLAIN_BODY } from './shapes.ts';

const LEGS: LegStruts = { count: 4, hingeStation: 0.75, footStation: 0.9, radius: 0.27, width: 0.012 };

const scaled = (g: Geometry, k: number): Geometry => ({
  ...g,
  nose: { ...g.nose, length: k * g.nose.length },
  body: { length: k * g.body.length, diameter: k * g.body.diameter },
  transitions: g.transitions.map((t) => ({ station: k * t.station, length: k * t.length, aftDiameter: k * t.aftDiameter })),
  fins: g.fins && {
    count: g.fins.count,
    rootChord: k * g.fins.rootChord,
    tipChord: k * g.fins.tipChord,
    span: k * g.fins.span,
    sweep: k * g.fins.sweep,
    station: k * g.fins.station,
  },
  legs: g.legs && {
    count: g.legs.count,
    hingeStation: k * g.legs.hingeStation,
    footStation: k * g.legs.footStation,
    radius: k * g.legs.radius,
    width: k * g.legs.width,
  },
});

describe('whole vehicles', () => {
  const everything: Geometry = {
    ...FINNED,
    body: { length: 1.1, diameter: 0.066 },
    transitions: [{ station: 1.03, length: 0.05, aftDiameter: 0.05 }],
    legs: LEGS,
  };

  test('the result is what a study holds, with the given coefficients in it', () => {
    const aerodynamics: Aerodynamics = aerodynamicsFromGeometry({ ...everything, axialNose: 0.61, axialTail: 1.07, rollAsymmetry: -0.02 });
    expect(aerodynamics.axialNose).toBe(0.61);
    expect(aerodynamics.axialTail).toBe(1.07);
    expect(aerodynamics.rollAsymmetry).toBe(-0.02);
  });

  test('coefficients do not change with size; stations and areas do', () => {
    const one = aerodynamicsFromGeometry(everything);
    const two = aerodynamicsFromGeometry(scaled(everything, 2));
    expect(two.normalNose.slope).toBeCloseTo(one.normalNose.slope, 12);
    expect(two.normalNose.station).toBeCloseTo(2 * one.normalNose.station, 12);
    expect(two.normalTail.slope).toBeCloseTo(one.normalTail.slope, 12);
    expect(two.normalTail.station).toBeCloseTo(2 * one.normalTail.station, 12);
    expect(two.crossflowDrag).toBeCloseTo(one.crossflowDrag, 12);
    expect(two.planformArea).toBeCloseTo(4 * one.planformArea, 12);
    expect(two.planformStation).toBeCloseTo(2 * one.planformStation, 12);
    expect(two.rollDamping).toBeCloseTo(one.rollDamping, 10);
    expect(two.legsAxial).toBeCloseTo(one.legsAxial, 12);
    expect(two.legsNormal.slope).toBeCloseTo(one.legsNormal.slope, 12);
    expect(two.legsNormal.station).toBeCloseTo(2 * one.legsNormal.station, 12);
  });

  test('from the tail: the body’s base and the fins reversed, moments added', () => {
    const { normalTail } = aerodynamicsFromGeometry(FINNED);
    const body = aerodynamicsFromGeometry({ ...FINNED, fins: null }).normalTail;
    const fins = finsNormalForceReversed(FOUR_FINS, 0.033, 0.066);
    expect(normalTail.slope).toBeCloseTo(body.slope + fins.slope, 12);
    expect(normalTail.slope * normalTail.station).toBeCloseTo(body.slope * body.station + fins.slope * fins.station, 12);
  });

  test('a boat tail leaves from the tail twice the base’s share, with the body’s volume as its moment', () => {
    const { fins: _, ...rest } = everything;
    const g: Geometry = { ...rest, fins: null };
    const { normalTail } = aerodynamicsFromGeometry(g);
    expect(normalTail.slope).toBeCloseTo(2 * (0.05 / 0.066) ** 2, 12);
    expect(normalTail.slope * normalTail.station).toBeCloseTo((2 * bodySilhouette(g).volume) / ((Math.PI / 4) * 0.066 ** 2), 12);
  });

  test('whatever a body’s changes of diameter, from the nose their sum is 2 A_b/A with the moment 2 (A_b l - V)/A', () => {
    const g: Geometry = {
      ...PLAIN_BODY,
      transitions: [
        { station: 0.4, length: 0.1, aftDiameter: 0.12 },
        { station: 0.6, length: 0.1, aftDiameter: 0.1 },
        { station: 0.9, length: 0.05, aftDiameter: 0.06 },
      ],
    };
    const { normalNose } = aerodynamicsFromGeometry(g);
    const A = (Math.PI / 4) * 0.08 ** 2;
    const base = (Math.PI / 4) * 0.06 ** 2;
    expect(normalNose.slope).toBeCloseTo((2 * base) / A, 12);
    expect(normalNose.slope * normalNose.station).toBeCloseTo((2 * (base * 1 - bodySilhouette(g).volume)) / A, 12);
  });

  test('legs hinge on the body’s surface where they are', () => {
    const legs: LegStruts = { ...LEGS, hingeStation: 1.09, footStation: 1.2 };
    const a = aerodynamicsFromGeometry({ ...everything, legs });
    const expected = strutForces(legs, 0.025, 0.066, 1.2);
    expect(a.legsAxial).toBeCloseTo(expected.axial, 12);
    expect(a.legsNormal).toEqual(expected.normal);
  });

  test('across the flow: eta on the body, the fins unreduced, and the force at their common centre', () => {
    const a = aerodynamicsFromGeometry(FINNED);
    const body = bodySilhouette(FINNED);
    const fins = finsInSilhouette(4) * finChord(FOUR_FINS).area;
    const eta = crossflowEfficiency(1.02 / 0.066);
    expect(a.planformArea).toBeCloseTo(body.area + fins, 14);
    expect(a.crossflowDrag * a.planformArea).toBeCloseTo(1.2 * (eta * body.area + fins), 14);
    // middle of the fins' mean aerodynamic chord
    const middle = 0.9 + (0.05 * 0.0311111111) / 0.07 + 0.0933333333 / 2;
    expect(a.crossflowDrag * a.planformArea * a.planformStation).toBeCloseTo(1.2 * (eta * body.area * body.centroid + fins * middle), 10);
  });

  test('without legs there is nothing to add', () => {
    const a = aerodynamicsFromGeometry(PLAIN_BODY);
    expect(a.legsAxial).toBe(0);
    expect(a.legsNormal.slope).toBe(0);
  });

  test('a plain body hardly damps a roll: skin friction, -2 x 0.005 l/d', () => {
    expect(aerodynamicsFromGeometry(PLAIN_BODY).rollDamping).toBeCloseTo(-0.125, 14);
  });
});

describe('fins', () => {
  test('reversed, they keep their slope and act half a mean aerodynamic chord further aft', () => {
    const fore = finsNormalForce(FOUR_FINS, 0.033, 0.066);
    const aft = finsNormalForceReversed(FOUR_FINS, 0.033, 0.066);
    expect(aft.slope).toBe(fore.slope);
    expect(aft.station - fore.station).toBeCloseTo(0.0933333333 / 2, 10);
  });

  test('the mirror image in the flow from the nose is the fin in the flow from the tail', () => {
    // same fin seen from behind: its trailing edge leads
    const mirrored: Fins = { ...FOUR_FINS, sweep: 0.12 - 0.05 - 0.06, station: 1 - (0.9 + 0.12) };
    const forward = finsNormalForce(mirrored, 0.033, 0.066);
    const reversed = finsNormalForceReversed(FOUR_FINS, 0.033, 0.066);
    expect(forward.slope).toBeCloseTo(reversed.slope, 12);
    expect(1 - forward.station).toBeCloseTo(reversed.station, 12);
  });

  test('each fin beyond the fourth adds less, and does add', () => {
    const slopes = [3, 4, 5, 6, 7, 8].map((count) => finsNormalForce({ ...FOUR_FINS, count }, 0.033, 0.066).slope);
    const gains = slopes.slice(1).map((slope, i) => slope - Number(slopes[i]));
    for (const gain of gains) expect(gain).toBeGreaterThan(0);
    for (const [i, gain] of gains.slice(1).entries()) expect(gain).toBeLessThan(Number(gains[i]));
  });

  test('eight slender fins without a body have sqrt 2 times the slope of four (slender-body theory)', () => {
    const slope = (count: number) => finsNormalForce({ ...FOUR_FINS, count }, 0, 0.066).slope;
    expect(slope(8) / slope(4)).toBeCloseTo(Math.SQRT2, 12);
  });

  test('roll damping of four slender pointed fins: pi^2/12 of slender-body theory', () => {
    const s = 0.01;
    const d = 0.066;
    const f: Fins = { count: 4, rootChord: 10, tipChord: 0, span: s, sweep: 5, station: 0 };
    // moment (2/pi) rho V p s^4, per 1/2 rho V^2 A d and p d/(2V)
    const slender = -((2 / Math.PI) * s ** 4) / (((Math.PI / 4) * d ** 4) / 4);
    // mid-chord line straight out, aspect ratio 0.002: 1e-6 from the limit
    expect(finsRollDamping(f, 0, d) / slender / (Math.PI ** 2 / 12)).toBeCloseTo(1, 5);
  });

  test('roll damping of narrow long fins: strips with the slope 2 pi', () => {
    const f: Fins = { count: 3, rootChord: 1e-4, tipChord: 1e-4, span: 0.1, sweep: 0, station: 0 };
    const integral = (1e-4 * (0.15 ** 3 - 0.05 ** 3)) / 3;
    const strips = (-2 * 3 * 2 * Math.PI * integral) / ((Math.PI / 4) * 0.1 ** 4);
    // aspect ratio 1000: the slope is 0.2 per cent short of 2 pi
    expect(finsRollDamping(f, 0.05, 0.1) / strips).toBeGreaterThan(0.99);
    expect(finsRollDamping(f, 0.05, 0.1) / strips).toBeLessThan(1);
  });
});

describe('legs as struts', () => {
  /**
   * The crossflow principle written out in vectors: force and moment about station 0 of every strut, flow from the tail
   * with a small side wind.
   */
  function added(side: number): { axial: number; normal: number; moment: number } {
    const hingeRadius = 0.033;
    const out = LEGS.radius - hingeRadius;
    const along = LEGS.footStation - LEGS.hingeStation;
    const l = Math.hypot(out, along);
    const A = (Math.PI / 4) * 0.066 ** 2;
    const size = (1.2 * crossflowEfficiency(l / LEGS.width) * l * LEGS.width) / A;
    let axial = 0;
    let normal = 0;
    let moment = 0;
    for (let k = 0; k < LEGS.count; k++) {
      const azimuth = 0.3 + (2 * Math.PI * k) / LEGS.count;
      // x toward the nose, as this air flows
      const t = [-along / l, (out / l) * Math.cos(azimuth), (out / l) * Math.sin(azimuth)] as const;
      const along_t = t[0] + side * t[1];
      const n = [1 - along_t * t[0], side - along_t * t[1], -along_t * t[2]] as const;
      const speed = Math.hypot(...n);
      const x = -(LEGS.hingeStation + LEGS.footStation) / 2;
      const y = ((hingeRadius + LEGS.radius) / 2) * Math.cos(azimuth);
      axial += size * speed * n[0];
      normal += size * speed * n[1];
      moment += size * speed * (x * n[1] - y * n[0]);
    }
    return { axial, normal, moment };
  }

  test('axial coefficient, slope and station agree with the forces on each strut', () => {
    const got = strutForces(LEGS, 0.033, 0.066, 1.2);
    const step = 1e-5;
    const right = added(step);
    const left = added(-step);
    const slope = (right.normal - left.normal) / (2 * step);
    const moment = (right.moment - left.moment) / (2 * step);
    expect(got.axial).toBeCloseTo(added(0).axial, 12);
    expect(got.normal.slope).toBeCloseTo(slope, 7);
    expect(got.normal.station).toBeCloseTo(-moment / slope, 7);
    // and not by chance: beyond the struts' middle, toward the feet
    expect(got.normal.station).toBeGreaterThan(0.85);
  });

  test('struts straight out: drag of cylinders across the flow, and half of it as the slope', () => {
    const flat = strutForces({ ...LEGS, footStation: LEGS.hingeStation }, 0.033, 0.066, 1.2);
    const l = 0.27 - 0.033;
    const drag = (4 * 1.2 * crossflowEfficiency(l / 0.012) * l * 0.012) / ((Math.PI / 4) * 0.066 ** 2);
    expect(flat.axial).toBeCloseTo(drag, 12);
    expect(flat.normal.slope).toBeCloseTo(drag / 2, 12);
    expect(flat.normal.station).toBeCloseTo(0.75, 12);
  });
});
