/**
 * J. S. Barrowman, The Practical Calculation of the Aerodynamic Characteristics of Slender Finned Vehicles, M.S.
 * thesis, Catholic University of America, 1967; J. S. and J. A. Barrowman, The Theoretical Prediction of the Center of
 * Pressure, 1966. The formulas are from memory, the document was not opened; digits recomputed from them with numpy.
 * Three rows do not depend on memory: the fin alone by Diederich's formula, the centre of pressure by the mean
 * aerodynamic chord, and nose stations by volume.
 */
import { describe, expect, test } from 'vitest';
import { aerodynamicsFromGeometry } from '../../src/plant/barrowman.ts';
import { chordSecondMoment, finsNormalForce } from '../../src/plant/fins.ts';
import type { Geometry, NoseShape } from '../../src/plant/geometry.ts';
import { finChord, noseSilhouette } from '../../src/plant/planform.ts';
import { FINNED, FOUR_FINS } from '../plant/shapes.ts';

const D = 0.066;
const R = D / 2;
const AREA = Math.PI * R * R;
/** A few roundings of a double, relative. */
const EXACT = 50 * Number.EPSILON;

const relative = (got: number, expected: number) => Math.abs(got / expected - 1);
const noseStation = (shape: NoseShape, length: number) => length - noseSilhouette(shape, length, R).volume / AREA;

describe('fins', () => {
  test.each([
    [4, 10.394769798721384],
    [3, 7.796077349041037],
  ])('%d fins: C_Na = %d', (count, slope) => {
    expect(relative(finsNormalForce({ ...FOUR_FINS, count }, R, D).slope, slope)).toBeLessThan(EXACT);
  });

  test('their force acts at 0.9455555555555556 m', () => {
    expect(relative(finsNormalForce(FOUR_FINS, R, D).station, 0.9455555555555556)).toBeLessThan(EXACT);
  });

  test('that is the quarter point of the mean aerodynamic chord, 0.0933333333 m long from 0.0222222222 m aft of the root', () => {
    const { chord, leadingEdge } = finChord(FOUR_FINS);
    expect(Math.abs(chord - 0.0933333333)).toBeLessThan(0.5e-10);
    // sweep at the chord's distance out, 0.0311111111 of a span of 0.07
    expect(Math.abs(leadingEdge - (0.9 + (0.05 * 0.0311111111) / 0.07))).toBeLessThan(1e-10);
  });

  test('four fins are twice the pair-wise slope of one (Diederich: 3.9362547400) times the body’s carry-over 1.320388349514563', () => {
    expect(relative(finsNormalForce(FOUR_FINS, R, D).slope, 2 * 3.93625474 * 1.320388349514563)).toBeLessThan(1e-9);
  });

  test('with no body between them there is no carry-over', () => {
    expect(relative(finsNormalForce(FOUR_FINS, 0, D).slope, 2 * 3.93625474)).toBeLessThan(1e-9);
  });

  test('integral of chord times distance squared: 2.83717e-5 m^4', () => {
    expect(Math.abs(chordSecondMoment(FOUR_FINS, R) - 2.83717e-5)).toBeLessThan(0.5e-10);
  });

  test('six fins: within one per cent of 1.5 times four with half the carry-over (the 1966 report, from memory)', () => {
    const four = finsNormalForce(FOUR_FINS, R, D).slope / 1.320388349514563;
    expect(relative(finsNormalForce({ ...FOUR_FINS, count: 6 }, R, D).slope, 1.5 * four * (1 + 0.320388349514563 / 2))).toBeLessThan(0.01);
  });
});

describe('noses', () => {
  test.each([
    [2, 0.4572398743],
    [3, 0.4624532634],
    [5, 0.4651453876],
    [10, 0.4662858729],
  ])('tangent ogive of fineness %d: at %d of its length', (fineness, share) => {
    expect(Math.abs(noseStation('ogive', fineness * D) / (fineness * D) - share)).toBeLessThan(0.5e-10);
  });

  test('slender ogives tend to 7/15; the printed 0.466 holds within half its last digit from a fineness of 6 to 11', () => {
    expect(noseStation('ogive', 100 * D) / (100 * D)).toBeCloseTo(7 / 15, 5);
    for (const fineness of [6, 8, 11]) expect(Math.abs(noseStation('ogive', fineness * D) / (fineness * D) - 0.466)).toBeLessThan(0.0005);
  });

  test('cone: two thirds', () => {
    expect(relative(noseStation('cone', 0.22), (2 / 3) * 0.22)).toBeLessThan(EXACT);
  });

  test('paraboloid: one half', () => {
    expect(relative(noseStation('paraboloid', 0.22), 0.11)).toBeLessThan(EXACT);
  });
});

describe('whole vehicle', () => {
  const cone: Geometry = { ...FINNED, nose: { shape: 'cone', length: 0.22 } };
  test.each([
    [4, 12.394769798721384, 0.816648137],
    [3, 9.796077349041038, 0.7824517211],
  ])('cone and %d fins: C_Na = %d at %d m', (count, slope, station) => {
    const { normalNose } = aerodynamicsFromGeometry({ ...cone, fins: { ...FOUR_FINS, count } });
    expect(relative(normalNose.slope, slope)).toBeLessThan(EXACT);
    expect(Math.abs(normalNose.station - station)).toBeLessThan(0.5e-10);
  });

  test.each([
    [4, 0.8095247023],
    [3, 0.7734385896],
  ])('ogive and %d fins: at %d m with the rounded 0.466; ours, by volume, is apart by the nose’s difference alone', (count, station) => {
    const { normalNose } = aerodynamicsFromGeometry({ ...FINNED, fins: { ...FOUR_FINS, count } });
    const apart = (2 / normalNose.slope) * (noseStation('ogive', 0.22) - 0.466 * 0.22);
    expect(Math.abs(normalNose.station - apart - station)).toBeLessThan(0.5e-10);
    expect(Math.abs(apart)).toBeLessThan(2e-4);
  });

  test('boat tail 66 to 50 mm: C_Na = -0.8521579431 at 1.0438505747 m', () => {
    const straight = aerodynamicsFromGeometry({ ...FINNED, body: { length: 1.1, diameter: D } }).normalNose;
    const { normalNose } = aerodynamicsFromGeometry({
      ...FINNED,
      body: { length: 1.1, diameter: D },
      transitions: [{ station: 1.02, length: 0.05, aftDiameter: 0.05 }],
    });
    const slope = normalNose.slope - straight.slope;
    const station = (normalNose.slope * normalNose.station - straight.slope * straight.station) / slope;
    // half of the last digit, and of the station what the subtraction loses
    expect(Math.abs(slope + 0.8521579431)).toBeLessThan(0.5e-10);
    expect(Math.abs(station - 1.0438505747)).toBeLessThan(1e-10);
  });
});
