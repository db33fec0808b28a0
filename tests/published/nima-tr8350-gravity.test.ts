/**
 * NIMA TR8350.2, Department of Defense World Geodetic System 1984, 3rd edition (National Imagery and Mapping Agency,
 * 2000), eq. 4-1 (normal gravity on the ellipsoid) and 4-3 (above it); equatorial and polar gravity as printed there
 * (table 3.4). Constants as quoted in several public codes. Values between equator and pole and above the surface:
 * recomputed from those formulas with numpy, and the three at 1000 m a second time as the exact gradient of the normal
 * potential (ellipsoidal harmonics, 30 digits, from a, 1/f, GM = 3.986004418e14, omega = 7.292115e-5).
 */
import { describe, expect, test } from 'vitest';
import { normalGravity, STANDARD_GRAVITY } from '../../src/plant/gravity.ts';

const DEG = Math.PI / 180;
/** Half of the last printed digit. */
const HALF_10 = 0.5e-10;
const HALF_8 = 0.5e-8;

describe('WGS 84 normal gravity', () => {
  test.each([
    [0, 9.7803253359],
    [28.5, 9.7920924643],
    [30, 9.7932472692],
    [45, 9.8061977693],
    [60, 9.8191769531],
    [75, 9.8286966274],
    [90, 9.8321849378],
    [-30, 9.7932472692],
  ])('on the ellipsoid at latitude %d degrees is %d', (latitude, expected) => {
    // the closed form ends in the polar value through k, printed to 14 digits: 1e-10 covers its rounding beside the
    // last digit
    expect(Math.abs(normalGravity(latitude * DEG, 0) - expected)).toBeLessThan(HALF_10 + 1e-10);
  });

  test.each([
    [0, 100, 9.78001657],
    [0, 500, 9.77878167],
    [0, 1000, 9.77723837],
    [0, 2000, 9.77415284],
    [28.5, 100, 9.7917838],
    [28.5, 500, 9.79054929],
    [28.5, 1000, 9.78900647],
    [28.5, 2000, 9.78592192],
    [30, 100, 9.79293861],
    [30, 500, 9.79170414],
    [30, 1000, 9.79016137],
    [30, 2000, 9.78707691],
    [45, 100, 9.80588922],
    [45, 500, 9.80465518],
    [45, 1000, 9.80311294],
    [45, 2000, 9.80002956],
    [60, 100, 9.81886851],
    [60, 500, 9.8176349],
    [60, 1000, 9.81609321],
    [60, 2000, 9.81301091],
    [75, 100, 9.82838827],
    [75, 500, 9.82715497],
    [75, 1000, 9.82561367],
    [75, 2000, 9.82253217],
    [90, 100, 9.83187661],
    [90, 500, 9.83064342],
    [90, 1000, 9.82910227],
    [90, 2000, 9.82602106],
  ])('at latitude %d degrees, %d m up is %d', (latitude, height, expected) => {
    expect(Math.abs(normalGravity(latitude * DEG, height) - expected)).toBeLessThanOrEqual(HALF_8 * 1.0001);
  });

  test.each([
    [0, 9.77723826],
    [45, 9.8031129],
    [90, 9.82910227],
  ])('at 1000 m and latitude %d degrees is within 1.2e-7 of the exact gradient of the normal potential', (latitude, exact) => {
    expect(Math.abs(normalGravity(latitude * DEG, 1000) - exact)).toBeLessThan(1.2e-7);
  });
});

test('standard gravity is 9.80665 m/s^2 (3rd General Conference on Weights and Measures, 1901)', () => {
  expect(STANDARD_GRAVITY).toBe(9.80665);
});
