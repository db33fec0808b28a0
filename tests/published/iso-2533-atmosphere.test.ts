/**
 * ISO 2533:1975, Standard Atmosphere, and the identical troposphere of the U.S. Standard Atmosphere, 1976
 * (NOAA/NASA/USAF, NOAA-S/T 76-1562), tables I and II. Printed digits as seen in several public copies, and recomputed.
 * At 11000 m copies print 22632.0 or 22632.1 Pa, as their gas constants differ; ISO's 287.05287 gives 22632.04.
 */
import { expect, test } from 'vitest';
import { density, pressure, temperature } from '../../src/plant/air.ts';

const T0 = 288.15;
const P0 = 101325;

/** Half of the last of so many printed decimals; the part in a billion lets an exact tie pass. */
const half = (decimals: number) => 0.5 * 10 ** -decimals * (1 + 1e-9);

test.each([
  [0, 288.15],
  [500, 284.9],
  [1000, 281.65],
  [2000, 275.15],
  [5000, 255.65],
  [11000, 216.65],
])('temperature at %d m geopotential is %d K', (z, printed) => {
  expect(Math.abs(temperature(T0, z) - printed)).toBeLessThan(half(2));
});

test.each([
  [0, 101325, 0],
  [500, 95460.8, 1],
  [1000, 89874.6, 1],
  [2000, 79495.2, 1],
  [5000, 54019.9, 1],
  [11000, 22632.0, 1],
])('pressure at %d m geopotential is %d Pa', (z, printed, decimals) => {
  expect(Math.abs(pressure(T0, P0, z) - printed)).toBeLessThan(half(decimals));
});

test.each([
  [0, 1.225, 4],
  [1000, 1.11164, 5],
  [2000, 1.00649, 5],
  [5000, 0.73612, 5],
  [11000, 0.36392, 5],
])('density at %d m geopotential is %d kg/m^3', (z, printed, decimals) => {
  expect(Math.abs(density(T0, P0, z) - printed)).toBeLessThan(half(decimals));
});

// A handbook's page of the 1976 table by geometric height Z; H = r0 Z/(r0 + Z), r0 = 6 356 766 m.
test.each([
  [1000, 281.65, 1.1117],
  [5000, 255.68, 0.7364],
  [11000, 216.77, 0.3648],
])('at %d m geometric the table has %d K and %d kg/m^3', (Z, printedT, printedRho) => {
  const H = (6356766 * Z) / (6356766 + Z);
  expect(Math.abs(temperature(T0, H) - printedT)).toBeLessThan(half(2));
  expect(Math.abs(density(T0, P0, H) - printedRho)).toBeLessThan(half(4));
});

// The standard's formulas with other base values, 303.15 K and 95000 Pa: recomputed with numpy, not printed in the
// standard.
test.each([
  [0, 303.15, 95000.0, 1.091702084],
  [50, 302.825, 94465.922749, 1.086729739],
  [100, 302.5, 93934.279346, 1.081774738],
  [300, 301.2, 91831.874641, 1.062127343],
])('a hot, high site, %d m up: %d K, %d Pa, %d kg/m^3', (z, t, p, rho) => {
  expect(temperature(303.15, z)).toBeCloseTo(t, 10);
  expect(Math.abs(pressure(303.15, 95000, z) - p)).toBeLessThan(half(6));
  expect(Math.abs(density(303.15, 95000, z) - rho)).toBeLessThan(half(9));
});
