/**
 * L. H. Jorgensen, Prediction of Static Aerodynamic Characteristics for Space-Shuttle-Like and Other Bodies at Angles
 * of Attack From 0 to 180 Degrees, NASA TN D-6996 (1973), and NASA TR R-474 (1977), eq. 2.12 (C_N), table 1 (crossflow
 * drag), fig. 4 (efficiency of finite cylinders). Equations, table 1 and a fit to fig. 4 as seen in public copies and
 * code; C_m beyond 90 degrees from memory; digits recomputed with numpy for a body of ours: cone of 0.24 m on a
 * cylinder, d = 0.08, length 1, moments about 0.5 m, eta 0.7.
 */
import { describe, expect, test } from 'vitest';
import { aerodynamicsFromGeometry } from '../../src/plant/barrowman.ts';
import { crossflowEfficiency } from '../../src/plant/crossflow.ts';
import { CYLINDER_CROSSFLOW_DRAG } from '../../src/plant/geometry.ts';
import { bodySilhouette } from '../../src/plant/planform.ts';
import { PLAIN_BODY } from '../plant/shapes.ts';

const D = 0.08;
const A = (Math.PI / 4) * D * D;
const XM = 0.5;
const ours = aerodynamicsFromGeometry(PLAIN_BODY);
const body = bodySilhouette(PLAIN_BODY);

/** Jorgensen's eta Cdn A_p/A with the table's eta. */
const CROSS = 0.7 * CYLINDER_CROSSFLOW_DRAG * (ours.planformArea / A);

/** His coefficients, with the slopes, stations and silhouette that our program finds. */
function jorgensen(degrees: number): { CN: number; Cm: number; station: number } {
  const a = ((degrees <= 90 ? degrees : 180 - degrees) * Math.PI) / 180;
  const end = degrees <= 90 ? ours.normalNose : ours.normalTail;
  const potential = (end.slope / 2) * Math.sin(2 * a) * Math.cos(a / 2);
  const across = CROSS * Math.sin(a) ** 2;
  const CN = potential + across;
  const Cm = (potential * (XM - end.station) + across * (XM - ours.planformStation)) / D;
  return { CN, Cm, station: XM - (D * Cm) / CN };
}

describe('the body', () => {
  test('volume 0.00422230052642 m^3, V/A = 0.84 m', () => {
    expect(Math.abs(body.volume - 0.00422230052642)).toBeLessThan(0.5e-14);
    expect(body.volume / A).toBeCloseTo(0.84, 14);
  });
  test('planform 14.0056349921 cross-sections, centroid 0.5572727273 m', () => {
    expect(Math.abs(ours.planformArea / A - 14.0056349921)).toBeLessThan(0.5e-10);
    expect(Math.abs(ours.planformStation - 0.5572727273)).toBeLessThan(0.5e-10);
  });
  test('from the nose: slope 2 at l - V/A = 0.16 m', () => {
    expect(ours.normalNose.slope).toBe(2);
    expect(ours.normalNose.station).toBeCloseTo(0.16, 14);
  });
  test('from the tail: slope 2 at V/A = 0.84 m', () => {
    expect(ours.normalTail.slope).toBe(2);
    expect(ours.normalTail.station).toBeCloseTo(0.84, 14);
  });
});

// degrees, C_N, C_m, x_ac: each to half of its last digit
test.each([
  [2, 0.084075, 0.28616149, 0.22770836],
  [5, 0.26284927, 0.67332414, 0.29506912],
  [10, 0.69546877, 1.19408544, 0.36264396],
  [20, 2.0092346, 1.70510149, 0.43210941],
  [30, 3.77769965, 1.44957439, 0.4693025],
  [45, 6.80624623, -0.28475178, 0.50334695],
  [60, 9.57355005, -3.12935969, 0.52615005],
  [90, 11.76473339, -8.42247959, 0.55727273],
  [120, 9.57355005, -9.50435969, 0.57942182],
  [135, 6.80624623, -8.13772781, 0.59565011],
  [150, 3.77769965, -5.66081419, 0.61987854],
  [170, 0.69546877, -1.70202311, 0.69578427],
  [178, 0.084075, -0.30667823, 0.79181396],
])('at %d degrees C_N = %d, C_m = %d, x_ac = %d m', (degrees, CN, Cm, station) => {
  const got = jorgensen(degrees);
  expect(Math.abs(got.CN - CN)).toBeLessThanOrEqual(0.5e-8);
  expect(Math.abs(got.Cm - Cm)).toBeLessThanOrEqual(0.5e-8);
  expect(Math.abs(got.station - station)).toBeLessThanOrEqual(0.5e-8);
});

// The flight's model writes the first term as slope sin a |cos a|, without his cos(a'/2).
test.each([
  [10, 0.4],
  [30, 3.5],
  [45, 8.2],
])('at %d degrees the flight’s first term is %d per cent more than his', (degrees, percent) => {
  const a = (degrees * Math.PI) / 180;
  const his = (ours.normalNose.slope / 2) * Math.sin(2 * a) * Math.cos(a / 2);
  const flown = ours.normalNose.slope * Math.sin(a) * Math.abs(Math.cos(a));
  expect(Math.abs(100 * (flown / his - 1) - percent)).toBeLessThan(0.05);
});

describe('efficiency of finite cylinders', () => {
  test.each([
    [2, 0.572],
    [4, 0.608],
    [5, 0.624],
    [6, 0.638],
    [8, 0.663],
    [10, 0.683],
    [12, 0.701],
    [15, 0.724],
    [20, 0.753],
    [30, 0.792],
    [40, 0.818],
  ])('at a fineness of %d: %d', (fineness, eta) => {
    expect(Math.abs(crossflowEfficiency(fineness) - eta)).toBeLessThan(0.0005);
  });

  // Drag of circular cylinders across the flow, Re 1e4 to 2e5: S. F. Hoerner, Fluid-Dynamic Drag (1965), from memory.
  // Read with 0.02 of 1.2.
  test.each([
    [2, 0.68],
    [3, 0.72],
    [5, 0.74],
    [10, 0.82],
    [20, 0.91],
    [40, 0.98],
  ])('a cylinder of fineness %d has a drag of %d', (fineness, drag) => {
    expect(Math.abs(crossflowEfficiency(fineness) - drag / CYLINDER_CROSSFLOW_DRAG)).toBeLessThan(0.02);
  });
});
