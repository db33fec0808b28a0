import { inverse, Matrix } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import { normalQuantile } from '../../../src/maths/normal.ts';
import { stream } from '../../../src/maths/streams.ts';
import { keptRanks } from '../../../src/statistics/samples/keptRanks.ts';
import { ranked } from '../../../src/statistics/samples/ranks.ts';
import { correlationMatrix, invertCorrelation, StandardScores } from '../../../src/statistics/sensitivity/correlationMatrix.ts';
import { correlationInterval } from '../../../src/statistics/sensitivity/influence.ts';
import { partialRankCorrelations } from '../../../src/statistics/sensitivity/partialCorrelation.ts';
import { coverageOf, fourErrors } from '../../helpers/coverage.ts';

const partialsOf = (inputs: readonly Float64Array[], output: Float64Array) =>
  partialRankCorrelations(inputs.map((column) => keptRanks(ranked(column))))(keptRanks(ranked(output)));

/** Correlated normal columns and an output; the second input acts only through the first. */
function sample(rows: number, key: string): { inputs: Float64Array[]; output: Float64Array } {
  const draw = stream(key);
  const normal = (): number => normalQuantile(draw());
  const a = Float64Array.from({ length: rows }, normal);
  const b = a.map((v) => 0.8 * v + 0.6 * normal());
  return { inputs: [a, b], output: a.map((v) => v + normal()) };
}

describe('partial correlations', () => {
  it('come from an inverse that a general matrix library gives too', () => {
    const { inputs, output } = sample(300, 'inverse');
    const matrix = correlationMatrix(new StandardScores([...inputs, output]));
    const other = inverse(Matrix.from1DArray(3, 3, [...matrix])).to1DArray();
    invertCorrelation(matrix, 3).forEach((value, k) => {
      expect(value).toBeCloseTo(other[k], 12);
    });
  });

  it('walked some rows at a time are those of all ranks at once, through an inverse of another library', () => {
    // Three blocks of rows, the last of them short; ties in one input and in the output.
    const { inputs, output } = sample(700, 'blocks');
    const columns = [inputs[0], inputs[1].map((v) => Math.round(2 * v)), output.map((v) => Math.round(v))];
    const ranks = columns.map((column) => ranked(column).ranks);
    const mean = (a: Float64Array, b: Float64Array): number => a.reduce((sum, v, i) => sum + (v - 350.5) * (b[i] - 350.5), 0) / 700;
    const direct = inverse(new Matrix(ranks.map((a) => ranks.map((b) => mean(a, b) / Math.sqrt(mean(a, a) * mean(b, b))))));
    partialsOf(columns.slice(0, 2), columns[2]).forEach(({ estimate }, i) => {
      expect(estimate).toBeCloseTo(-direct.get(i, 2) / Math.sqrt(direct.get(i, i) * direct.get(2, 2)), 12);
    });
  });

  it('free an input of what it shares with another', () => {
    const { inputs, output } = sample(20_000, 'shared');
    const [a, b] = partialsOf(inputs, output);
    // y = a + e, b = 0.8 a + 0.6 e': given a, b tells nothing of y on values and, by the closed form above, 0.004 on
    // ranks
    expect(a.estimate).toBeGreaterThan(0.4);
    expect(a.standardError).toBeLessThan(0.007);
    expect(Math.abs(b.estimate)).toBeLessThan(4 * b.standardError + 0.03);
    const plain = correlationMatrix(new StandardScores([inputs[1], output]))[1];
    expect(plain).toBeGreaterThan(0.5);
  });

  it('on ranks cover the value for normal columns 95 times in 100, at n = 150 (400 repeats, 4 binomial standard errors)', () => {
    const spearman = (rho: number): number => (6 / Math.PI) * Math.asin(rho / 2);
    const [ab, ay, by] = [0.8, Math.SQRT1_2, 0.8 * Math.SQRT1_2].map(spearman);
    const truth = (ay - ab * by) / Math.sqrt((1 - ab ** 2) * (1 - by ** 2));
    const found = coverageOf(truth, 400, (r) => {
      const { inputs, output } = sample(150, `partial/${r}`);
      const e = partialsOf(inputs, output)[0];
      return { ...e, interval: correlationInterval(e, 0.95) };
    });
    expect(Math.abs(found.covered - 0.95)).toBeLessThan(fourErrors(400));
    // 4 standard errors of a standard deviation from 400 repeats
    expect(Math.abs(found.statedOverTrue - 1)).toBeLessThan(0.15);
  });

  it('refuse a column that others make up, and name it', () => {
    const { inputs, output } = sample(50, 'singular');
    const on = (columns: Float64Array[], to: Float64Array) => partialsOf(columns, to);
    expect(() => on([...inputs, inputs[0].map((v) => 3 * v)], output)).toThrow('column 2 is a linear combination');
    expect(() => on([inputs[0], new Float64Array(50).fill(0.1)], output)).toThrow('column 1 does not vary');
    expect(() => on([inputs[0].slice(1)], output)).toThrow(RangeError);
    expect(() => on([inputs[0]], inputs[0])).toThrow('column 1 is a linear combination');
  });
});
