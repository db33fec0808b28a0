/**
 * The model knows neither left from right nor east from north. A flight mirrored in the plane of body x and z (upright:
 * the local plane x = 0, since body y is east) must be the mirror image, and one turned by a quarter about the vertical
 * the turned one.
 *
 * Under the mirror, vectors along y change sign; turning about x and z, which are the products of two axes, do too, and
 * turning about y does not.
 */
import { describe, expect, it } from 'vitest';
import type { Study } from '../../src/study/study.ts';
import { near } from '../helpers/near.ts';
import { type Flown, flyOne, outputsOf, smoothStudy } from '../helpers/oneFlight.ts';

const BASE = smoothStudy();
/** No symmetry of its own: everything off, spin, slope, an odd leg azimuth and one leg that fails to lock. */
const SKEW: Readonly<Record<string, number>> = {
  'ascent.misalignmentY': 0.005,
  'ascent.misalignmentZ': -0.003,
  'ascent.offsetY': 0.0003,
  'ascent.offsetZ': 0.0002,
  'landing.misalignmentY': -0.004,
  'landing.misalignmentZ': 0.006,
  'landing.offsetY': -0.0002,
  'landing.offsetZ': 0.0003,
  'gimbal.trimY': 0.002,
  'gimbal.trimZ': -0.003,
  'air.rollAsymmetry': 0.02,
  'rail.tilt': 0.01,
  'rail.azimuth': 1.1,
  'wind.speed': 3,
  'wind.direction': 4,
  'accelerometer.biasX': 0.03,
  'accelerometer.biasY': -0.04,
  'accelerometer.biasZ': 0.02,
  'accelerometer.scaleX': 0.001,
  'accelerometer.scaleY': 0.002,
  'accelerometer.scaleZ': -0.002,
  'imu.offsetY': 0.006,
  'imu.offsetZ': -0.004,
  'gyro.biasX': 0.001,
  'gyro.biasY': 0.0008,
  'gyro.biasZ': -0.0009,
  'gyro.scaleX': 0.003,
  'gyro.scaleY': -0.003,
  'gyro.scaleZ': 0.002,
  'alignment.y': 0.004,
  'alignment.z': -0.006,
  'ground.slope': 0.03,
  'ground.azimuth': 2.2,
};

const MIRRORED: Readonly<Record<string, (x: number) => number>> = Object.fromEntries([
  ...[
    'ascent.misalignmentY',
    'ascent.offsetY',
    'landing.misalignmentY',
    'landing.offsetY',
    'gimbal.trimY',
    'accelerometer.biasY',
    'imu.offsetY',
    // Turning about x and z.
    'air.rollAsymmetry',
    'gyro.biasX',
    'gyro.biasZ',
    'alignment.z',
    // Compass angles: east for west.
    'rail.azimuth',
    'wind.direction',
    'ground.azimuth',
  ].map((key) => [key, (x: number) => -x]),
]);

const legsAt = (azimuth: number): Study => smoothStudy({ vehicle: { ...BASE.vehicle, legs: { ...BASE.vehicle.legs, azimuth } } });

/** Outputs that a reflection or a turn leaves, compared to rounding; the rest are named apart. */
function same(a: Flown, b: Flown, apart: readonly string[]): void {
  const [x, y] = [outputsOf(a.row), outputsOf(b.row)];
  for (const key of Object.keys(x)) {
    if (apart.includes(key)) continue;
    if (Number.isNaN(x[key])) expect(y[key], key).toBeNaN();
    // Rail exit and contact are located to 1e-10 s, and rounding decides where within; the flight makes up to 1e-7 of
    // it (measured), taken tenfold.
    else expect(Math.abs(x[key] - y[key]), key).toBeLessThanOrEqual(1e-6 * (1 + Math.abs(x[key])));
  }
}

describe('the mirror', () => {
  const original = flyOne(legsAt(0.3), SKEW);
  // An azimuth from body y toward z becomes pi less itself. Legs 1 to 4 then come in the other order: none fails here.
  const mirrored = flyOne(
    legsAt(Math.PI - 0.3),
    Object.fromEntries(Object.entries(SKEW).map(([key, x]) => [key, (MIRRORED[key] ?? ((same: number) => same))(x)])),
  );

  it('the skew flight lives long enough to be told by', () => {
    expect(original.out('ignitionCommanded')).toBe(1);
    expect(original.out('contacts')).toBeGreaterThan(0);
    expect(Math.abs(original.out('landingEast'))).toBeGreaterThan(1);
    expect(original.out('rollRate')).toBeGreaterThan(0.5);
  });

  it('leaves every output but east, which changes sign', () => {
    same(original, mirrored, ['landingEast']);
    near(mirrored.out('landingEast'), -original.out('landingEast'), 1e-6);
  });

  it.each(Object.keys(MIRRORED))('a mirror that forgets %s is found out', (key) => {
    const wrong = Object.fromEntries(
      Object.entries(SKEW).map(([k, x]) => [k, k === key ? x : (MIRRORED[k] ?? ((same: number) => same))(x)]),
    );
    const f = flyOne(legsAt(Math.PI - 0.3), wrong);
    const [x, y] = [outputsOf(original.row), outputsOf(f.row)];
    expect(Object.keys(x).some((k) => k !== 'landingEast' && Math.abs(x[k] - y[k]) > 1e-4 * (1 + Math.abs(x[k])))).toBe(true);
  });
});

describe('a quarter turn about the vertical', () => {
  // With an upright rail the vehicle’s own y looks east whatever the azimuth: here the rail leans, nothing of the
  // vehicle is skew, and its four legs come over each other.
  const plain: Readonly<Record<string, number>> = {
    'rail.tilt': 0.02,
    'rail.azimuth': 1.1,
    'wind.speed': 3,
    'wind.direction': 4,
    'ground.slope': 0.03,
    'ground.azimuth': 2.2,
    'imu.offsetY': 0,
    'imu.offsetZ': 0,
  };
  const turned = { ...plain, 'rail.azimuth': 1.1 + Math.PI / 2, 'wind.direction': 4 + Math.PI / 2, 'ground.azimuth': 2.2 + Math.PI / 2 };
  const a = flyOne(legsAt(0.3), plain);
  const b = flyOne(legsAt(0.3), turned);

  it('turns the place of landing clockwise and leaves everything else', () => {
    same(a, b, ['landingEast', 'landingNorth']);
    near(b.out('landingEast'), a.out('landingNorth'), 1e-6);
    near(b.out('landingNorth'), -a.out('landingEast'), 1e-6);
    expect(a.out('landingDistance')).toBeGreaterThan(1);
  });
});
