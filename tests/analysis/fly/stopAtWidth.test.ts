/** Stopping at a width keeps the interval's level: exact sums over all ways a run can go, no simulation. */
import { describe, expect, it } from 'vitest';
import { LOOK_EVERY, narrowEnough, STOPPED_NOMINAL } from '../../../src/analysis/fly/stopAtWidth.ts';
import { binomialProbability } from '../../../src/maths/binomial.ts';
import { clopperPearson } from '../../../src/statistics/proportions/binomial.ts';

/** Chance that the interval at the stop, or at `most` flights, holds the truth. Paths under 1e-12 are left out. */
function coverage(p: number, halfWidth: number, most: number, nominal: number): number {
  const reach = 7.5 * Math.sqrt(LOOK_EVERY * p * (1 - p)) + 3;
  const from = Math.max(0, Math.floor(LOOK_EVERY * p - reach));
  const to = Math.min(LOOK_EVERY, Math.ceil(LOOK_EVERY * p + reach));
  const more = Array.from({ length: to - from + 1 }, (_, i) => binomialProbability(from + i, LOOK_EVERY, p));
  let flying = new Map([[0, 1]]);
  let covered = 0;
  for (let n = LOOK_EVERY; flying.size > 0; n += LOOK_EVERY) {
    const reached = new Map<number, number>();
    for (const [k, chance] of flying) {
      more.forEach((step, i) => {
        reached.set(k + from + i, (reached.get(k + from + i) ?? 0) + chance * step);
      });
    }
    flying = new Map();
    for (const [k, chance] of reached) {
      if (chance < 1e-12) continue;
      if (n < most && !narrowEnough(k, n, halfWidth)) {
        flying.set(k, chance);
        continue;
      }
      const [low, high] = clopperPearson(k, n, nominal);
      if (low <= p && p <= high) covered += chance;
    }
  }
  return covered;
}

describe('the interval of a run stopped at a width', () => {
  // where it is worst, of probabilities 0.0025 apart
  it.each([
    [0.03, 0.3225],
    [0.03, 0.3775],
    [0.02, 0.265],
    [0.02, 0.1325],
    [0.015, 0.13],
  ])('covers at least 95 % at half-width %d, probability %d', (halfWidth, p) => {
    expect(coverage(p, halfWidth, 6000, STOPPED_NOMINAL)).toBeGreaterThanOrEqual(0.95);
  });

  it('looks at nothing before a flight has a result', () => {
    expect(narrowEnough(0, 0, 0.5)).toBe(false);
    expect(narrowEnough(500, 1000, 0.04)).toBe(true);
    expect(narrowEnough(500, 1000, 0.03)).toBe(false);
  });
});
