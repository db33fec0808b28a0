/**
 * A. Saltelli and I. M. Sobol', About the use of rank transformation in sensitivity analysis of model output, Reliab.
 * Eng. Syst. Saf. 50 (1995) 225-239: the g-function with its two usual vectors. Digits recomputed from the formulas
 * (numpy); the paper itself was not opened.
 */
import { describe, expect, it } from 'vitest';
import { stream } from '../../src/maths/streams.ts';
import { varianceShares } from '../../src/statistics/sensitivity/sobolIndices.ts';
import { gFunction } from '../helpers/closedForms.ts';
import { drawn } from '../helpers/pickFreeze.ts';

const cases = [
  {
    a: [0, 1, 4.5, 9, 99, 99, 99, 99],
    variance: 0.4654244319022,
    first: [0.716192169, 0.179048042, 0.0236757742, 0.00716192169, 7.16192169e-5],
    total: [0.787144127, 0.242198193, 0.0343169102, 0.0104603871, 1.04949052e-4],
  },
  {
    a: [0, 0.5, 3, 9, 99, 99],
    variance: 0.5680709252,
    first: [0.58678119, 0.26079164, 0.0366738244, 0.0058678119, 5.8678119e-5],
    total: [0.690085892, 0.356173364, 0.0563335422, 0.00917057664, 9.20083854e-5],
  },
] as const;

for (const { a, variance, first, total } of cases) {
  describe(`a = ${a.join(', ')}`, () => {
    const form = gFunction(a);
    it(`variance ${variance}`, () => expect(form.variance).toBeCloseTo(variance, 9));
    for (const i of first.keys()) {
      // nine printed digits: one unit of the ninth, relative
      it(`S${i + 1} = ${first[i]}`, () => expect(Math.abs(form.first[i] / first[i] - 1)).toBeLessThan(1e-8));
      it(`ST${i + 1} = ${total[i]}`, () => expect(Math.abs(form.total[i] / total[i] - 1)).toBeLessThan(1e-8));
    }

    for (const both of [false, true]) {
      const shares = varianceShares(drawn(form, 20_000, stream(`g-function ${a.length}`), both), 100, 'g-function');
      for (const i of first.keys()) {
        it(`estimates S${i + 1} and ST${i + 1} with ${both ? 'both bases' : 'one base'}, to 4 standard errors with this seed`, () => {
          expect(Math.abs(shares.first[i].estimate - first[i])).toBeLessThan(4 * shares.first[i].standardError);
          expect(Math.abs(shares.total[i].estimate - total[i])).toBeLessThan(4 * shares.total[i].standardError);
          // both bases tell even 7e-5 from 0; so does the total of one base
          if (both) expect(shares.first[i].standardError).toBeLessThan(first[i] / 10);
          expect(shares.total[i].standardError).toBeLessThan(total[i] / 10);
        });
      }
    }
  });
}

it('the first eight-input shares sum to 0.9263643838', () => {
  expect(gFunction([0, 1, 4.5, 9, 99, 99, 99, 99]).first.reduce((s, v) => s + v, 0)).toBeCloseTo(0.9263643838, 10);
});
