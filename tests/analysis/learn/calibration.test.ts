/**
 * Simulation-based calibration, small (tests/bench/calibration.mjs does 200 logbooks): ranks of true standing values
 * among particles are uniform.
 * Source: S. Talts, M. Betancourt, D. Simpson, A. Vehtari and A. Gelman, arXiv 1804.06788.
 */
import { spawnSync } from 'node:child_process';
import { expect, it } from 'vitest';

/** chi-square of 3 degrees of freedom, upper 0.1 %: the seed is fixed, so a failure is a change. */
const MOST = 16.266;

it('ranks of simulated logbooks’ true values are uniform', () => {
  const size = ['--logbooks', '12', '--particles', '40', '--rounds', '8', '--rate', '25'];
  const ran = spawnSync(process.execPath, ['tests/bench/calibration.mjs', ...size], { encoding: 'utf8' });
  expect([ran.status, ran.stderr]).toEqual([0, '']);
  const { chiSquare, ranks } = JSON.parse(ran.stdout);
  expect(Object.keys(chiSquare)).toEqual([
    'ascent.impulseFactor (batch)',
    'air.axialFactor (airframe)',
    'accelerometer.biasX (electronics)',
  ]);
  for (const [name, { chiSquare: value }] of Object.entries<{ chiSquare: number }>(chiSquare))
    expect([name, value < MOST]).toEqual([name, true]);
  // Of 36 ranks from 0 to 19 neither end takes more than a fifth, as it would of particles too narrow.
  const all = Object.values<number[]>(ranks).flat();
  for (const end of [0, 19]) expect(all.filter((rank) => rank === end).length).toBeLessThan(all.length / 5);
});
