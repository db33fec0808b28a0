import { describe, expect, it } from 'vitest';
import { stream } from '../../../src/maths/streams.ts';
import { covarianceOfReplicates } from '../../../src/statistics/samples/bootstrap.ts';
import { doubtfulInterval, secondOrder, shareInterval, varianceShares } from '../../../src/statistics/sensitivity/sobolIndices.ts';
import { type ClosedForm, gFunction, ishigami } from '../../helpers/closedForms.ts';
import { coverageOf, fourErrors } from '../../helpers/coverage.ts';
import { drawn } from '../../helpers/pickFreeze.ts';

const REPEATS = 200;
const form = gFunction([0, 1, 9]);

/**
 * A third input that does nothing beside x1 x2, whose interaction share is known: Var = 7/144, V1 = V2 = 3/144, V12 =
 * 1/144.
 */
const product: ClosedForm = {
  inputs: 3,
  f: ([a, b]) => a * b,
  first: [3 / 7, 3 / 7, 0],
  total: [4 / 7, 4 / 7, 0],
};

describe('varianceShares', () => {
  for (const both of [false, true]) {
    it(`cover the g-function's shares 95 times in 100 at 256 rows, ${both ? 'both bases' : 'one base'} (200 repeats, 4 binomial standard errors)`, () => {
      const results = Array.from({ length: REPEATS }, (_, r) =>
        varianceShares(drawn(form, 256, stream(`shares/${both}/${r}`), both), 200, `shares/${r}`),
      );
      for (const [i] of form.first.entries()) {
        for (const [truth, order] of [
          [form.first[i], 'first'],
          [form.total[i], 'total'],
        ] as const) {
          const found = coverageOf(truth, REPEATS, (r) => {
            const e = results[r][order][i];
            const which = order === 'first' ? i : form.inputs + i;
            return { ...e, interval: shareInterval(e, results[r].replicates, which, 0.95, order === 'first' ? -1 : 0) };
          });
          expect(Math.abs(found.covered - 0.95), `${order} ${i}`).toBeLessThan(fourErrors(REPEATS));
          expect(Math.abs(found.bias), `${order} ${i}`).toBeLessThan((4 * found.spread) / Math.sqrt(REPEATS));
          expect(Math.abs(found.statedOverTrue - 1), `${order} ${i}`).toBeLessThan(4 / Math.sqrt(2 * REPEATS));
        }
      }
    });
  }

  it('have influence values and bootstrap that agree on standard errors and covariance', () => {
    const shares = varianceShares(drawn(form, 2000, stream('agree'), true), 1000, 'agree');
    const covariance = covarianceOfReplicates(shares.replicates);
    const size = 2 * form.inputs;
    for (const [k, e] of [...shares.first, ...shares.total].entries()) {
      // 4 standard errors of a standard deviation from 1,000 replicates
      expect(Math.abs(Math.sqrt(covariance[k * size + k]) / e.standardError - 1)).toBeLessThan(4 / Math.sqrt(2000));
    }
  });

  it('leave an input without effect at exactly 0, within what rows not drawn might have shown', () => {
    for (const both of [false, true]) {
      const shares = varianceShares(drawn(product, 500, stream('idle'), both), 100, 'idle');
      expect(shares.first[2].estimate).toBe(0);
      expect(shares.total[2]).toMatchObject({ estimate: 0, telling: 0 });
      const [low, high] = shareInterval(shares.total[2], shares.replicates, 5, 0.95, 0);
      expect(low).toBe(0);
      expect(high).toBeGreaterThan(0);
      // four rows of 500 as telling as any other input's
      expect(high).toBeLessThan(0.1);
    }
  });

  it('cover small shares of a yes/no output that is seldom yes, and never without width (80 repeats of 512 rows)', () => {
    // yes when at least two of three inputs lie in their last tenth: P 0.028, first-order shares 0.107 each, by
    // counting the eight cases
    const rare: ClosedForm = { inputs: 3, f: (u) => (u.filter((v) => v > 0.9).length >= 2 ? 1 : 0), first: [], total: [] };
    const p = 3 * 0.01 * 0.9 + 0.001;
    const [withIt, without] = [1 - 0.81, 0.01];
    const truth = (0.1 * withIt ** 2 + 0.9 * without ** 2 - p * p) / (p * (1 - p));
    expect(truth).toBeCloseTo(0.1071, 3);
    for (const both of [false, true]) {
      let covered = 0;
      for (let r = 0; r < 80; r++) {
        const { first, replicates } = varianceShares(drawn(rare, 512, stream(`rare/${both}/${r}`), both), 100, `rare/${r}`);
        const [low, high] = shareInterval(first[0], replicates, 0, 0.95, -1);
        expect(high).toBeGreaterThan(low);
        if (low <= truth && truth <= high) covered++;
      }
      // 95 % less four binomial standard errors of 80 (2.4 % each); by the replicates alone 63 and 71 of 80 here
      expect(covered / 80).toBeGreaterThan(0.95 - 4 * 0.0244);
    }
  });

  it('halve the standard error of a strong first-order share by flying both bases', () => {
    const [one, two] = [false, true].map((both) => varianceShares(drawn(ishigami, 4000, stream('bases'), both), 100, 'bases').first[0]);
    expect(two.standardError).toBeLessThan(0.7 * one.standardError);
  });

  it('refuse outputs that do not fit, are not finite or do not vary', () => {
    const design = drawn(product, 50, stream('refuse'), false);
    expect(() => varianceShares({ ...design, b: design.b.slice(1) }, 100, 'k')).toThrow('49 rows beside 50');
    expect(() => varianceShares({ ...design, ab: [design.a.map(() => Number.NaN)] }, 100, 'k')).toThrow('leave its row out');
    const flat = new Float64Array(50).fill(0.1);
    expect(() => varianceShares({ a: flat, b: flat, ab: [flat], ba: null }, 100, 'k')).toThrow('does not vary');
    expect(() => varianceShares({ ...design, ba: [] }, 100, 'k')).toThrow('3 columns exchanged in A, 0 in B');
  });
});

describe('secondOrder', () => {
  it('covers an interaction and the lack of one 95 times in 100 at 256 rows (200 repeats, 4 binomial standard errors)', () => {
    const designs = Array.from({ length: REPEATS }, (_, r) => drawn(ishigami, 256, stream(`second/${r}`), true));
    for (const [i, j, truth] of [
      [0, 2, ishigami.second13],
      [2, 0, ishigami.second13],
      [0, 1, 0],
    ] as const) {
      const found = coverageOf(truth, REPEATS, (r) => {
        const e = secondOrder(designs[r], i, j);
        return { ...e, interval: doubtfulInterval(e, 0.95) };
      });
      expect(Math.abs(found.covered - 0.95)).toBeLessThan(fourErrors(REPEATS));
      expect(Math.abs(found.bias)).toBeLessThan((4 * found.spread) / Math.sqrt(REPEATS));
      expect(Math.abs(found.statedOverTrue - 1)).toBeLessThan(4 / Math.sqrt(2 * REPEATS));
    }
  });

  it('gives 1/7 for a product of two uniforms', () => {
    const e = secondOrder(drawn(product, 20_000, stream('product'), true), 0, 1);
    expect(Math.abs(e.estimate - 1 / 7)).toBeLessThan(4 * e.standardError);
    expect(e.standardError).toBeLessThan(0.01);
  });

  it('needs both bases and two different inputs', () => {
    const design = drawn(product, 50, stream('needs'), true);
    expect(() => secondOrder({ ...design, ba: null }, 0, 1)).toThrow('needs the design with B as base too');
    expect(() => secondOrder(design, 1, 1)).toThrow('no pair');
    expect(() => secondOrder(design, 0, 3)).toThrow('no pair');
  });
});
