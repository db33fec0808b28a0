/** The air a flight goes through, at the ground and above it. Model section 4. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { density, densitySlope, meanWind, pressure, temperature } from '../../src/plant/air.ts';

test('the density slope is the derivative of the density', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 220, max: 330, noNaN: true }),
      fc.double({ min: 40000, max: 110000, noNaN: true }),
      fc.double({ min: -50, max: 3000, noNaN: true }),
      (t, p, z) => {
        const step = 1;
        const difference = (density(t, p, z + step) - density(t, p, z - step)) / (2 * step);
        const slope = densitySlope(density(t, p, z), temperature(t, z));
        // central difference: error of second order, under 1e-8 of the slope at 1 m; rounding 1e-11
        expect(Math.abs(slope / difference - 1)).toBeLessThan(1e-7);
      },
    ),
    { seed: 1, numRuns: 200 },
  );
});

test('near the ground and above it the density is what pressure and temperature make it', () => {
  // The few terms end where a hundredth of the temperature is lost, at 443 m of 288.15 K and as far below the ground.
  for (let z = -600; z <= 600; z++) {
    const [t, p] = [288.15, 98_700];
    expect(Math.abs((density(t, p, z) * 287.05287 * temperature(t, z)) / pressure(t, p, z) - 1)).toBeLessThan(2e-15);
  }
});

test('the mean wind is the one measured at 10 m, there', () => {
  expect(meanWind(10, 3.7, 1 / 7)).toBe(3.7);
});

// (z/10)^(1/7), recomputed with numpy; the exponent is common practice, no source
test.each([
  [2, 0.7945974047],
  [6.096, 0.9317344146],
  [20, 1.1040895137],
  [50, 1.2584989506],
  [100, 1.3894954944],
  [300, 1.6256135931],
])('the one-seventh power law at %d m gives %d of the wind at 10 m', (z, share) => {
  expect(Math.abs(meanWind(z, 1, 1 / 7) - share)).toBeLessThan(0.5e-10);
});

test.each([0.5, 0.2, 0, -3])('at %d m the wind is that of half a metre', (z) => {
  expect(Math.abs(meanWind(z, 1, 1 / 7) - 0.6518363449)).toBeLessThan(0.5e-10);
});

test('no exponent, no profile', () => {
  expect(meanWind(120, 5, 0)).toBe(5);
});
