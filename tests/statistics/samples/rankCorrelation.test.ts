import { describe, expect, it } from 'vitest';
import { normalQuantile } from '../../../src/maths/normal.ts';
import { stream } from '../../../src/maths/streams.ts';
import { type KeptRanks, keptRanks } from '../../../src/statistics/samples/keptRanks.ts';
import { spearman } from '../../../src/statistics/samples/rankCorrelation.ts';
import { ranked } from '../../../src/statistics/samples/ranks.ts';
import { correlationInterval } from '../../../src/statistics/sensitivity/influence.ts';
import { partialRankCorrelations } from '../../../src/statistics/sensitivity/partialCorrelation.ts';
import { coverageOf, fourErrors } from '../../helpers/coverage.ts';

const kept = (column: Float64Array): KeptRanks => keptRanks(ranked(column));
const draw = stream('rank correlation test');
const x = Float64Array.from({ length: 500 }, draw);
const y = x.map((v) => v + draw());

describe('spearman', () => {
  it('is the same after any rising change of either column, and turns sign with a falling one', () => {
    const { estimate } = spearman(kept(x), kept(y));
    expect(estimate).toBeGreaterThan(0.5);
    expect(spearman(kept(x.map(Math.exp)), kept(y.map((v) => v ** 3))).estimate).toBe(estimate);
    expect(spearman(kept(x.map((v) => -v)), kept(y)).estimate).toBeCloseTo(-estimate, 14);
    expect(spearman(kept(y), kept(x)).estimate).toBe(estimate);
  });

  it('is 1 for a rising relation, with no standard error left', () => {
    const e = spearman(kept(x), kept(x.map(Math.exp)));
    expect(e.estimate).toBeCloseTo(1, 14);
    expect(e.standardError).toBeLessThan(1e-6);
  });

  it('equals the partial rank correlation of a single input, standard error to the width of the classes', () => {
    const single = partialRankCorrelations([keptRanks(ranked(x))])(keptRanks(ranked(y)))[0];
    const e = spearman(kept(x), kept(y));
    expect(e.estimate).toBeCloseTo(single.estimate, 13);
    expect(Math.abs(e.standardError / single.standardError - 1)).toBeLessThan(2e-3);
  });

  it('covers the value for a normal pair 95 times in 100, at n = 200 (400 repeats, 4 binomial standard errors)', () => {
    const rho = 0.7;
    const truth = (6 / Math.PI) * Math.asin(rho / 2);
    const found = coverageOf(truth, 400, (r) => {
      const normal = stream(`spearman coverage/${r}`);
      const a = Float64Array.from({ length: 200 }, () => normalQuantile(normal()));
      const b = a.map((v) => rho * v + Math.sqrt(1 - rho * rho) * normalQuantile(normal()));
      const e = spearman(kept(a), kept(b));
      return { ...e, interval: correlationInterval(e, 0.95) };
    });
    expect(Math.abs(found.covered - 0.95)).toBeLessThan(fourErrors(400));
    // 4 standard errors of a standard deviation from 400 repeats
    expect(Math.abs(found.statedOverTrue - 1)).toBeLessThan(0.15);
  });

  it('refuses columns without a correlation', () => {
    expect(() => spearman(kept(x), kept(new Float64Array(500).fill(2)))).toThrow('does not vary');
    expect(() => spearman(kept(x), kept(Float64Array.of(1, 2)))).toThrow('500 and 2 rows');
  });
});
