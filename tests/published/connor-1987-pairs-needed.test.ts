/**
 * R. J. Connor, Sample size for testing differences in proportions for the paired-sample design, Biometrics 43 (1987) 207-211.
 * n = [z sqrt(psi) + z' sqrt(psi - d^2)]^2/d^2, power 80 %. The first three were seen worked by hand in a public test; the rest and
 * all decimals were recomputed with scipy 1.17.1.
 */
import { expect, it } from 'vitest';
import { pairsNeeded } from '../../src/statistics/proportions/sampleSize.ts';

it.each([
  [0.1, 0.2, 0.05, 154.59857, 5e-6],
  [0.1, 0.1, 0.05, 76.08748, 5e-6],
  [0.1, 0.2, 0.01, 230.67537, 5e-6],
  [0.02, 0.06, 0.05, 1174.97, 5e-3],
  [0.01, 0.05, 0.05, 3922.08, 5e-3],
])('difference %d, discordant share %d, alpha %d: %d pairs', (difference, discordant, alpha, expected, halfDigit) => {
  expect(Math.abs(pairsNeeded(difference, discordant, { alpha, power: 0.8 }) - expected)).toBeLessThanOrEqual(halfDigit);
  expect(pairsNeeded(-difference, discordant, { alpha, power: 0.8 })).toBe(pairsNeeded(difference, discordant, { alpha, power: 0.8 }));
});
