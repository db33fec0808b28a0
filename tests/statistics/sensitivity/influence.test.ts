/**
 * Influence values are judged by the delete-one jackknife: (n - 1)(estimate - estimate without row i) is the same to
 * order 1/n.
 */
import { describe, expect, it } from 'vitest';
import { stream } from '../../../src/maths/streams.ts';
import { keptRanks } from '../../../src/statistics/samples/keptRanks.ts';
import { spearman } from '../../../src/statistics/samples/rankCorrelation.ts';
import { ranked } from '../../../src/statistics/samples/ranks.ts';
import { firstOrder } from '../../../src/statistics/sensitivity/givenData.ts';
import {
  correlationInterval,
  covarianceByInfluence,
  type Estimate,
  normalInterval,
  withInfluence,
} from '../../../src/statistics/sensitivity/influence.ts';
import { partialRankCorrelations } from '../../../src/statistics/sensitivity/partialCorrelation.ts';

const ROWS = 240;

/** Two inputs (one of few values, unequally frequent) and a skewed output with unequal spread. */
function rows(): Float64Array[] {
  const draw = stream('influence test');
  const x = Float64Array.from({ length: ROWS }, draw);
  const few = Float64Array.from({ length: ROWS }, () => Math.floor(4 * draw() ** 2));
  const y = x.map((xi, i) => Math.exp(xi) * (1 + draw()) + few[i] * draw());
  return [x, few, y];
}

/** One of two partial correlations, with the influence values that were met on the way. */
function partial(columns: readonly Float64Array[], which: 0 | 1): Estimate {
  const [x, few, y] = columns.map((column) => keptRanks(ranked(column)));
  const influence: number[] = [];
  const found = partialRankCorrelations([x, few])(y, (values, _, count) => {
    for (let i = 0; i < count; i++) influence.push(values[2 * i + which]);
  });
  const whole = withInfluence(found[which].estimate, Float32Array.from(influence), 1);
  // Single precision of the values: seven digits.
  expect(found[which].standardError).toBeCloseTo(whole.standardError, 7);
  return whole;
}

const measures: Record<string, (columns: Float64Array[]) => Estimate> = {
  'Spearman with ties': ([, few, y]) => {
    const influence = new Float64Array(y.length);
    const found = spearman(keptRanks(ranked(few)), keptRanks(ranked(y.map((v) => Math.floor(v * v)))), influence);
    const whole = withInfluence(found.estimate, Float32Array.from(influence));
    // Single precision of the values: seven digits.
    expect(found.standardError).toBeCloseTo(whole.standardError, 7);
    return whole;
  },
  'partial rank correlation': (columns) => partial(columns, 0),
  'partial rank correlation of the input with ties': (columns) => partial(columns, 1),
  'first-order share of an input of few values': ([, few, y]) => firstOrder(few, y),
};

describe('influence values equal the delete-one jackknife, to 5 % of their size, 8 % for the one with its correction (order 1/n)', () => {
  const columns = rows();
  for (const [name, measure] of Object.entries(measures)) {
    it(name, () => {
      const whole = measure(columns);
      let difference = 0;
      let size = 0;
      for (let i = 0; i < ROWS; i++) {
        const without = measure(columns.map((column) => column.filter((_, j) => j !== i)));
        const jackknife = (ROWS - 1) * (whole.estimate - without.estimate);
        difference += (whole.influence[i] - jackknife) ** 2;
        size += jackknife ** 2;
      }
      expect(Math.sqrt(difference / size)).toBeLessThan(name.startsWith('first-order') ? 0.08 : 0.05);
    });
  }
});

describe('standard errors and intervals', () => {
  // influence of a mean: the values less their mean, so that the standard error is the textbook s/sqrt(n)
  const mean = (values: number[]): Estimate => withInfluence(values.reduce((a, b) => a + b, 0) / values.length, Float32Array.from(values));

  it('gives a mean its textbook standard error', () => {
    expect(mean([1, 2, 4, 9]).standardError).toBeCloseTo(Math.sqrt(38 / 3 / 4), 7);
  });

  it('gives two means of the same rows their textbook covariance', () => {
    const [a, b] = [mean([1, 2, 4, 9]), mean([3, 1, 0, 4])];
    const covariance = covarianceByInfluence([a, b]);
    expect(covariance[0]).toBeCloseTo(38 / 12, 7);
    // sum of products of deviations: (-3)(1) + (-2)(-1) + (0)(-2) + (5)(2) = 9
    expect(covariance[1]).toBeCloseTo(9 / 12, 7);
    expect(covariance[2]).toBe(covariance[1]);
  });

  it('cuts a normal interval at the bounds and keeps a correlation inside -1 and 1', () => {
    const e: Estimate = { estimate: 0.1, standardError: 0.1, influence: new Float32Array(4) };
    const [low, high] = normalInterval(e, 0.95, 0, 1);
    expect(low).toBe(0);
    expect(high).toBeCloseTo(0.1 + 0.1 * 1.959963984540054, 14);
    const strong = correlationInterval({ ...e, estimate: 0.99 }, 0.95);
    expect(strong[0]).toBeLessThan(0.99);
    expect(strong[1]).toBeGreaterThan(0.99);
    expect(strong[1]).toBeLessThan(1);
  });

  it('refuses rows that do not outnumber what was fitted', () => {
    expect(() => withInfluence(0, new Float32Array(3), 2)).toThrow('3 rows are too few');
  });
});
