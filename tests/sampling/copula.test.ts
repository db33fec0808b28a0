/** The Gaussian copula: uniforms made dependent stay uniform, each of them. */
import { describe, expect, it } from 'vitest';
import type { InputKey } from '../../src/inputs/catalogue.ts';
import { type Correlation, correlatedGroups } from '../../src/inputs/correlations.ts';
import { stream } from '../../src/maths/streams.ts';
import { correlate } from '../../src/sampling/copula.ts';

const pair = (a: InputKey, b: InputKey, rank: number): Correlation => ({ a, b, rank });

describe('uniforms made dependent', () => {
  it('stay uniform, each of them', () => {
    const [{ factor }] = correlatedGroups([pair('wind.speed', 'rail.tilt', 0.8), pair('wind.speed', 'site.temperature', -0.5)]);
    const next = stream('marginals');
    const n = 20_000;
    const cells = 20;
    const counts = [0, 1, 2].map(() => new Float64Array(cells));
    const u = new Float64Array(3);
    for (let i = 0; i < n; i++) {
      u.set([next(), next(), next()]);
      correlate(u, Int32Array.of(0, 1, 2), factor, new Float64Array(3));
      u.forEach((v, k) => {
        counts[k][Math.floor(v * cells)]++;
      });
    }
    for (const c of counts) {
      const chiSquare = c.reduce((sum, v) => sum + (v - n / cells) ** 2 / (n / cells), 0);
      // 19 degrees of freedom: 4.5 sd above the mean, false alarm about 1e-3 with this seed.
      expect(chiSquare).toBeLessThanOrEqual(19 + 4.5 * Math.sqrt(38));
    }
  });

  it('never reach 1, however strong the tie', () => {
    const [{ factor }] = correlatedGroups([pair('wind.speed', 'rail.tilt', 0.7)]);
    const u = Float64Array.of(1 - 2 ** -53, 1 - 2 ** -53);
    correlate(u, Int32Array.of(0, 1), factor, new Float64Array(2));
    expect(Math.max(...u)).toBeLessThan(1);
    expect(u[1]).toBeGreaterThan(1 - 1e-15);
    const low = Float64Array.of(2 ** -54, 2 ** -54);
    correlate(low, Int32Array.of(0, 1), factor, new Float64Array(2));
    expect(Math.min(...low)).toBeGreaterThan(0);
  });
});
