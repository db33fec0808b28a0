import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Fins, NoseShape } from '../../src/plant/geometry.ts';
import {
  bodySilhouette,
  diameterAt,
  finCentroid,
  finChord,
  finsInSilhouette,
  frustumSilhouette,
  noseSilhouette,
} from '../../src/plant/planform.ts';
import { FINNED, PLAIN_BODY } from './shapes.ts';

const fine = (low: number, high: number) => fc.double({ min: low, max: high, noNaN: true });

/** Midpoint sums over n slices of a profile. */
function slices(L: number, radius: (x: number) => number): { volume: number; area: number; centroid: number } {
  const n = 20000;
  let volume = 0;
  let area = 0;
  let moment = 0;
  for (let i = 0; i < n; i++) {
    const x = ((i + 0.5) * L) / n;
    const y = radius(x);
    volume += (Math.PI * y * y * L) / n;
    area += (2 * y * L) / n;
    moment += (2 * x * y * L) / n;
  }
  return { volume, area, centroid: moment / area };
}

const PROFILES: Record<NoseShape, (x: number, L: number, R: number) => number> = {
  cone: (x, L, R) => (R * x) / L,
  paraboloid: (x, L, R) => R * Math.sqrt(x / L),
  ellipsoid: (x, L, R) => R * Math.sqrt(1 - ((L - x) / L) ** 2),
  ogive: (x, L, R) => {
    const rho = (R * R + L * L) / (2 * R);
    return Math.sqrt(rho * rho - (L - x) ** 2) + R - rho;
  },
};

describe('noses agree with their profile in 20000 slices', () => {
  test.each(Object.keys(PROFILES) as NoseShape[])('%s', (shape) => {
    for (const [L, R] of [
      [0.22, 0.033],
      [0.05, 0.049],
      [0.3, 0.01],
    ] as const) {
      const got = noseSilhouette(shape, L, R);
      const expected = slices(L, (x) => PROFILES[shape](x, L, R));
      // midpoint rule where the profile starts like a root: 1e-6 of the whole
      expect(Math.abs(got.volume / expected.volume - 1)).toBeLessThan(2e-6);
      expect(Math.abs(got.area / expected.area - 1)).toBeLessThan(2e-6);
      expect(Math.abs(got.centroid / expected.centroid - 1)).toBeLessThan(2e-6);
    }
  });

  test('an ogive as long as its radius is half a sphere', () => {
    const got = noseSilhouette('ogive', 0.04, 0.04);
    expect(got.volume).toBeCloseTo((2 / 3) * Math.PI * 0.04 ** 3, 15);
    expect(got.area).toBeCloseTo((Math.PI / 2) * 0.04 ** 2, 15);
    expect(got.centroid).toBeCloseTo(noseSilhouette('ellipsoid', 0.04, 0.04).centroid, 15);
  });

  test('a shorter ogive is refused', () => {
    expect(() => noseSilhouette('ogive', 0.03, 0.04)).toThrow(RangeError);
  });
});

test('a frustum to a point is a cone seen from behind', () => {
  const frustum = frustumSilhouette(0, 0.3, 0, 0.1);
  const cone = noseSilhouette('cone', 0.3, 0.05);
  expect(frustum.volume).toBeCloseTo(cone.volume, 15);
  expect(frustum.area).toBeCloseTo(cone.area, 15);
  expect(frustum.centroid).toBeCloseTo(cone.centroid, 15);
});

describe('bodies', () => {
  const stepped = {
    ...PLAIN_BODY,
    transitions: [
      { station: 0.4, length: 0.1, aftDiameter: 0.12 },
      { station: 0.9, length: 0.05, aftDiameter: 0.06 },
    ],
  };

  test('diameter along a body that widens and narrows', () => {
    expect(diameterAt(stepped, 0.3)).toBe(0.08);
    expect(diameterAt(stepped, 0.45)).toBeCloseTo(0.1, 15);
    expect(diameterAt(stepped, 0.7)).toBe(0.12);
    expect(diameterAt(stepped, 0.925)).toBeCloseTo(0.09, 15);
    expect(diameterAt(stepped, 1)).toBe(0.06);
  });

  test('silhouette agrees with 20000 slices', () => {
    const got = bodySilhouette(stepped);
    const expected = slices(1, (x) => (x < 0.24 ? (0.04 * x) / 0.24 : diameterAt(stepped, x) / 2));
    expect(Math.abs(got.volume / expected.volume - 1)).toBeLessThan(1e-7);
    expect(Math.abs(got.area / expected.area - 1)).toBeLessThan(1e-7);
    expect(Math.abs(got.centroid / expected.centroid - 1)).toBeLessThan(1e-7);
  });

  test('a change of diameter to the same diameter changes nothing', () => {
    const same = bodySilhouette({ ...FINNED, transitions: [{ station: 0.5, length: 0.1, aftDiameter: 0.066 }] });
    const plain = bodySilhouette(FINNED);
    expect(same.volume).toBeCloseTo(plain.volume, 15);
    expect(same.area).toBeCloseTo(plain.area, 15);
    expect(same.centroid).toBeCloseTo(plain.centroid, 14);
  });
});

test('fins: area, mean aerodynamic chord and centroid agree with strips', () => {
  fc.assert(
    fc.property(fine(0.01, 0.3), fine(0, 0.3), fine(0.01, 0.2), fine(-0.1, 0.2), (rootChord, tipChord, span, sweep) => {
      const f: Fins = { count: 3, rootChord, tipChord, span, sweep, station: 0.5 };
      const n = 2000;
      let area = 0;
      let square = 0;
      let leading = 0;
      let middle = 0;
      for (let i = 0; i < n; i++) {
        const share = (i + 0.5) / n;
        const c = rootChord + (tipChord - rootChord) * share;
        const edge = f.station + sweep * share;
        area += (c * span) / n;
        square += (c * c * span) / n;
        leading += (c * edge * span) / n;
        middle += (c * (edge + c / 2) * span) / n;
      }
      const got = finChord(f);
      // midpoint rule of quadratics with 2000 strips: 1e-7
      expect(got.area).toBeCloseTo(area, 12);
      expect(Math.abs(got.chord - square / area)).toBeLessThan(1e-6 * got.chord);
      expect(Math.abs(got.leadingEdge - leading / area)).toBeLessThan(1e-6);
      expect(Math.abs(finCentroid(f) - middle / area)).toBeLessThan(1e-6);
    }),
    { seed: 2, numRuns: 50 },
  );
});

test.each([3, 4, 5, 8])('%d fins show, on the mean over the roll angle, the furthest of each side', (count) => {
  const n = 100000;
  let sum = 0;
  for (let i = 0; i < n; i++) {
    const roll = (2 * Math.PI * (i + 0.5)) / n;
    let left = 0;
    let right = 0;
    for (let k = 0; k < count; k++) {
      const out = Math.sin(roll + (2 * Math.PI * k) / count);
      right = Math.max(right, out);
      left = Math.max(left, -out);
    }
    sum += (left + right) / n;
  }
  expect(Math.abs(finsInSilhouette(count) - sum)).toBeLessThan(1e-6);
});
