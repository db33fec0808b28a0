/**
 * A. Saltelli, P. Annoni, I. Azzini, F. Campolongo, M. Ratto and S. Tarantola, Variance based sensitivity analysis of model output. Design
 * and estimator for the total sensitivity index, Comput. Phys. Commun. 181 (2010) 259-270, Table 2, rows (b), (c), (f).
 * Digits: the formulas evaluated with numpy on the Ishigami function (a = 7, b = 0.1), A | B the first N plain Sobol' points in six
 * dimensions (point 0 included), columns 1-3 | 4-6, x = (2u - 1) pi; the paper prints no such table.
 */
import { describe, expect, it } from 'vitest';
import { sobolDimension, sobolPoint } from '../../src/sampling/sobol.ts';
import { firstOrderJansen, firstOrderSaltelli, pooledVariance, totalJansen } from '../../src/statistics/sensitivity/sobolIndices.ts';
import { ishigami } from '../helpers/closedForms.ts';
import { evaluated } from '../helpers/pickFreeze.ts';

const table = [
  {
    rows: 1024,
    mean: 3.5060556804,
    variance: 13.818954443239,
    saltelli: [0.332739378383, 0.441313938544, 0.018399909008],
    jansen: [0.312844776395, 0.426167815794, -0.002624053234],
    total: [0.558179045711, 0.44328458403, 0.242149373355],
  },
  {
    rows: 4096,
    mean: 3.499911890632,
    variance: 13.844530431683,
    saltelli: [0.314106770884, 0.44247275212, -0.000066341788],
    jansen: [0.314744199217, 0.442798276504, 0.000125973555],
    total: [0.55743457631, 0.442454153496, 0.243293121922],
  },
] as const;

for (const { rows, mean, variance, saltelli, jansen, total } of table) {
  describe(`${rows} rows, all twelve printed decimals`, () => {
    const point = (first: number): number[][] => {
      const dimensions = [0, 1, 2].map((k) => sobolDimension(first + k));
      return Array.from({ length: rows }, (_, i) => dimensions.map((dimension) => sobolPoint(dimension, i)));
    };
    const { a, b, ab } = evaluated(ishigami, point(0), point(3), false);
    const v = pooledVariance(a, b);

    it(`mean ${mean}`, () => expect([...a, ...b].reduce((s, f) => s + f, 0) / (2 * rows)).toBeCloseTo(mean, 12));
    it(`variance ${variance}`, () => expect(v).toBeCloseTo(variance, 11));
    for (const i of [0, 1, 2]) {
      it(`x${i + 1} first order, Saltelli: ${saltelli[i]}`, () => expect(firstOrderSaltelli(a, b, ab[i], v)).toBeCloseTo(saltelli[i], 12));
      it(`x${i + 1} first order, Jansen: ${jansen[i]}`, () => expect(firstOrderJansen(b, ab[i], v)).toBeCloseTo(jansen[i], 12));
      it(`x${i + 1} total, Jansen: ${total[i]}`, () => expect(totalJansen(a, ab[i], v)).toBeCloseTo(total[i], 12));
    }
  });
}
