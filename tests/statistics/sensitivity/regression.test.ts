import { describe, expect, it } from 'vitest';
import { stream } from '../../../src/maths/streams.ts';
import { normalInterval } from '../../../src/statistics/sensitivity/influence.ts';
import { linearRegression } from '../../../src/statistics/sensitivity/regression.ts';
import { coverageOf, fourErrors } from '../../helpers/coverage.ts';

describe('linearRegression', () => {
  it('gives back a nearly linear function', () => {
    const draw = stream('exact line');
    const a = Float64Array.from({ length: 40 }, draw);
    const b = Float64Array.from({ length: 40 }, draw);
    const y = a.map((v, i) => 5 - 3 * v + 0.25 * b[i] + 1e-3 * (draw() - 0.5));
    const found = linearRegression([a, b], y);
    // noise of sd 2.9e-4 in 40 rows: standard errors about 1.6e-4
    expect(found.coefficients[0]).toBeCloseTo(-3, 3);
    expect(found.coefficients[1]).toBeCloseTo(0.25, 3);
    expect(found.intercept).toBeCloseTo(5, 3);
    expect(found.rSquared.estimate).toBeGreaterThan(1 - 1e-6);
    expect(found.standardised[0].estimate).toBeLessThan(0);
  });

  it('refuses an output that the inputs make up exactly: nothing is left to judge the fit by', () => {
    const a = Float64Array.from({ length: 40 }, (_, i) => i);
    expect(() =>
      linearRegression(
        [a],
        a.map((v) => 2 * v + 1),
      ),
    ).toThrow('column 1 is a linear combination');
  });

  it('covers standardised coefficient and share explained 95 times in 100 with unequal spread, n = 300 (400 repeats, 4 binomial standard errors)', () => {
    // y = 3 a + a-dependent noise, uniform on [0, 1]: Var(3a) = 9/12, Var(noise) = E[a^2]/12 = 1/36
    const share = 0.75 / (0.75 + 1 / 36);
    const sampled = (r: number) => {
      const draw = stream(`unequal/${r}`);
      const a = Float64Array.from({ length: 300 }, draw);
      return linearRegression(
        [a],
        a.map((v) => 3 * v + v * (draw() - 0.5)),
      );
    };
    const results = Array.from({ length: 400 }, (_, r) => sampled(r));
    for (const [truth, pick] of [
      [Math.sqrt(share), (r: number) => results[r].standardised[0]],
      [share, (r: number) => results[r].rSquared],
    ] as const) {
      const found = coverageOf(truth, 400, (r) => ({ ...pick(r), interval: normalInterval(pick(r), 0.95) }));
      expect(Math.abs(found.covered - 0.95)).toBeLessThan(fourErrors(400));
      expect(Math.abs(found.statedOverTrue - 1)).toBeLessThan(0.15);
    }
  });
});
