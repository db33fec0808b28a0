/**
 * T. Schwager and T. Poeschel, Coefficient of restitution and linear-dashpot model revisited, Granular Matter 9 (2007)
 * 465-469, equation 21: restitution of a linear spring and dashpot that may not pull (the article's abstract and opening
 * were read; digits recomputed from the equation, and with gravity by integrating the motion).
 */
import { expect, it } from 'vitest';
import { leaving } from '../../src/analysis/measure/rebound.ts';

it.each([
  [0.01, 0.9692647505],
  [0.05, 0.8587581018],
  [0.1, 0.7440793977],
  [0.2, 0.5717400276],
  [0.3, 0.4509754529],
  [0.5, 0.2984360592],
  [Math.SQRT1_2, 0.2078795764],
  [0.9, 0.1552827475],
  [1, 0.1353352832],
  [2, 0.0477687325],
])('a damping ratio of %d without gravity: restitution %d, and 2 zeta e of depth left', (ratio, e) => {
  const left = leaving(ratio, 100, 3, 0);
  // half the last digit
  expect(Math.abs((left?.speed ?? 0) / 3 - e)).toBeLessThanOrEqual(6e-11);
  expect(Math.abs(((left?.depth ?? 0) * 100) / 3 - 2 * ratio * e)).toBeLessThanOrEqual(3e-10);
});

it.each([
  [0.1, 0.2, 0.553680068],
  [0.1, 0.5, 0.701333672],
  [0.1, 1, 0.726368204],
  [0.1, 3, 0.738886066],
  [0.3, 0.5, 0.340798212],
  [0.3, 1, 0.414008838],
  [0.3, 3, 0.441126298],
])('a damping ratio of %d under gravity at %d m/s and 100 rad/s: %d', (ratio, speed, e) => {
  expect(Math.abs((leaving(ratio, 100, speed, 9.80665)?.speed ?? 0) / speed - e)).toBeLessThanOrEqual(1e-9);
});

it('a damping ratio of 0.3 at 0.2 m/s: no rebound', () => {
  expect(leaving(0.3, 100, 0.2, 9.80665)).toBeNull();
});
