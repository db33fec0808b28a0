import { describe, expect, it } from 'vitest';
import { normalQuantile } from '../../../src/maths/normal.ts';
import { stream } from '../../../src/maths/streams.ts';
import { ranked } from '../../../src/statistics/samples/ranks.ts';
import { firstOrder } from '../../../src/statistics/sensitivity/givenData.ts';
import { delta, deltaClasses, dependenceBound, drawFolds } from '../../../src/statistics/sensitivity/momentIndependent.ts';
import { sampleOf, sumOfTwo, twoUniformFailure } from '../../helpers/closedForms.ts';
import { coverageOf, fourErrors } from '../../helpers/coverage.ts';

const REPEATS = 300;

describe('delta', () => {
  it('have mean 0, an honest standard error and find nothing in 97.5 of 100 for an input without effect, n = 1,000 (300 repeats)', () => {
    {
      const measure = delta;
      const found = coverageOf(0, REPEATS, (r) => {
        const { inputs, output } = sampleOf(sumOfTwo, 1000, stream(`without/${r}`), 3);
        const e = measure(deltaClasses(ranked(inputs[2])), deltaClasses(ranked(output)), drawFolds(1000, `without/${r}`));
        return { ...e, interval: [dependenceBound(e, 0.95), 1] as const };
      });
      expect(Math.abs(found.bias)).toBeLessThan((4 * found.spread) / Math.sqrt(REPEATS));
      expect(Math.abs(found.statedOverTrue - 1)).toBeLessThan(4 / Math.sqrt(2 * REPEATS));
      // one-sided 0.025 (the low end), 4 binomial standard errors
      expect(1 - found.covered).toBeLessThan(0.025 + 4 * Math.sqrt((0.025 * 0.975) / REPEATS));
      expect(found.covered).toBeLessThan(1);
    }
  });

  it('cover both at once for a yes/no output, where they are one, n = 1,000 (300 repeats, 4 binomial standard errors)', () => {
    const found = coverageOf(0.25, REPEATS, (r) => {
      const { inputs, output } = sampleOf(twoUniformFailure, 1000, stream(`failure/${r}`));
      const y = deltaClasses(ranked(output));
      const e = delta(deltaClasses(ranked(inputs[0])), y, drawFolds(1000, `failure/${r}`));
      return { ...e, interval: [dependenceBound(e, 0.95), 1] as const };
    });
    expect(Math.abs(found.covered - 0.95)).toBeLessThan(fourErrors(REPEATS));
    // errs low, by 0.0034 measured with 1,000 repeats
    expect(found.bias).toBeLessThan(0);
    expect(found.bias).toBeGreaterThan(-0.0034 - (4 * found.spread) / Math.sqrt(REPEATS));
  });

  it('err low only, by no more than 0.02 at 100,000 rows for a sum of two', () => {
    const { inputs, output } = sampleOf(sumOfTwo, 100_000, stream('sum of two'));
    const y = deltaClasses(ranked(output));
    const folds = drawFolds(100_000, 'sum of two');
    for (const input of inputs) {
      const d = delta(deltaClasses(ranked(input)), y, folds);
      expect(d.estimate).toBeLessThan(1 / 3 + 4 * d.standardError);
      expect(d.estimate).toBeGreaterThan(1 / 3 - 0.02);
    }
  });

  it('see an input that changes the spread alone, which the first-order share does not', () => {
    const draw = stream('spread');
    const x = ranked(Float64Array.from({ length: 20_000 }, draw));
    const y = x.values.map((v) => (0.2 + v) * normalQuantile(draw()));
    const e = delta(deltaClasses(x), deltaClasses(ranked(y)), drawFolds(20_000, 'spread'));
    expect(dependenceBound(e, 0.999)).toBeGreaterThan(0.1);
    expect(firstOrder(x.values, y).pValue).toBeGreaterThan(0.01);
  });

  it('know an input of two values: the distance of the two normals it chooses from', () => {
    // y = x + standard normal, x fair in {0, 1}: each side lies half the distance from the mixture, (2 Phi(1/2) - 1)/2
    const truth = 0.19146246127401312;
    const draw = stream('two values');
    const x = Float64Array.from({ length: 40_000 }, () => (draw() < 0.5 ? 0 : 1));
    const y = deltaClasses(ranked(x.map((v) => v + normalQuantile(draw()))));
    const folds = drawFolds(40_000, 'two values');
    {
      const measure = delta;
      const e = measure(deltaClasses(ranked(x)), y, folds);
      expect(Math.abs(e.estimate - truth)).toBeLessThan(4 * e.standardError);
      expect(e.standardError).toBeLessThan(0.005);
    }
  });

  it('have no bias at 100 rows where the contrast is plain: an output that is its yes/no input, both 1/2 (300 repeats)', () => {
    {
      const measure = delta;
      const found = coverageOf(0.5, REPEATS, (r) => {
        const draw = stream(`plain/${r}`);
        const x = ranked(Float64Array.from({ length: 100 }, () => (draw() < 0.5 ? 0 : 1)));
        const e = measure(deltaClasses(x), deltaClasses(x), drawFolds(100, `plain/${r}`));
        return { ...e, interval: [dependenceBound(e, 0.95), 1] as const };
      });
      // 4 standard errors; leaving out m/(m-1) would cost a tenth
      expect(Math.abs(found.bias)).toBeLessThan((4 * found.spread) / Math.sqrt(REPEATS));
      expect(found.spread).toBeLessThan(0.03);
    }
  });

  it('are the same for the same key and after any rising change of input and output', () => {
    const { inputs, output } = sampleOf(sumOfTwo, 2000, stream('same'));
    const folds = drawFolds(2000, 'a');
    const plain = delta(deltaClasses(ranked(inputs[0])), deltaClasses(ranked(output)), folds).estimate;
    expect(drawFolds(2000, 'a')).toEqual(folds);
    expect(drawFolds(2000, 'b')).not.toEqual(folds);
    expect(delta(deltaClasses(ranked(inputs[0].map(Math.exp))), deltaClasses(ranked(output.map((v) => v ** 3))), folds).estimate).toBe(
      plain,
    );
  });

  it('have nothing to say of an input that does not vary, and refuse few rows', () => {
    const { output } = sampleOf(sumOfTwo, 200, stream('constant'));
    const y = deltaClasses(ranked(output));
    expect(delta(deltaClasses(ranked(new Float64Array(200))), y, drawFolds(200, 'c'))).toMatchObject({
      estimate: 0,
      standardError: 0,
      pValue: 1,
    });
    expect(() => delta(deltaClasses(ranked(output.slice(0, 50))), deltaClasses(ranked(output.slice(0, 50))), drawFolds(50, 'c'))).toThrow(
      '50 rows',
    );
    expect(() => delta(deltaClasses(ranked(output)), y, drawFolds(150, 'c'))).toThrow(RangeError);
  });
});
