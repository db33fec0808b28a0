/**
 * F. J. Hickernell, A generalized discrepancy and quadrature error bound, Math. Comp. 67 (1998) 299-322 (centred and
 * wrap-around); T. T. Warnock, Computational investigations of low-discrepancy point sets, 1972 (star). The measures
 * judge our points; the numbers are SciPy 1.17.1's for the published sequence, whose formulas agree with those below to
 * 1e-13. The 6-point sets: K.-T. Fang, R. Li and A. Sudjianto, Design and Modeling for Computer Experiments, 2006, p.
 * 80 (0.0081 and 0.0105 printed).
 */
import { describe, expect, it } from 'vitest';
import { sobolDimension, sobolPoint } from '../../src/sampling/sobol.ts';

type Points = readonly (readonly number[])[];

const product = (n: number, factor: (j: number) => number): number => {
  let p = 1;
  for (let j = 0; j < n; j++) p *= factor(j);
  return p;
};
const pairs = (x: Points, factor: (a: number, b: number) => number): number => {
  let sum = 0;
  for (const a of x) for (const b of x) sum += product(a.length, (j) => factor(a[j], b[j]));
  return sum / x.length ** 2;
};

function centred(x: Points): number {
  const s = x[0].length;
  const z = (v: number): number => Math.abs(v - 0.5);
  const single = x.reduce((sum, a) => sum + product(s, (j) => 1 + z(a[j]) / 2 - z(a[j]) ** 2 / 2), 0);
  return (13 / 12) ** s - (2 / x.length) * single + pairs(x, (a, b) => 1 + z(a) / 2 + z(b) / 2 - Math.abs(a - b) / 2);
}

function wrapAround(x: Points): number {
  const d = (a: number, b: number): number => Math.abs(a - b);
  return -((4 / 3) ** x[0].length) + pairs(x, (a, b) => 1.5 - d(a, b) * (1 - d(a, b)));
}

function star(x: Points): number {
  const s = x[0].length;
  const single = x.reduce((sum, a) => sum + product(s, (j) => 1 - a[j] ** 2), 0);
  return Math.sqrt(3 ** -s - (2 ** (1 - s) / x.length) * single + pairs(x, (a, b) => 1 - Math.max(a, b)));
}

const sobol = (n: number): Points => {
  const dimensions = [0, 1, 2, 3, 4].map(sobolDimension);
  return Array.from({ length: n }, (_, i) => dimensions.map((d) => sobolPoint(d, i)));
};
const sixPoints = (order: readonly number[]): Points => order.map((y, i) => [(2 * (i + 1) - 1) / 12, (2 * y - 1) / 12]);

/** Half a unit of the last printed digit. */
const close = (got: number, printed: number, digits: number): void => {
  expect(Math.abs(got - printed)).toBeLessThanOrEqual(0.5 * 10 ** -digits);
};

describe('the measures themselves', () => {
  it('one point in the middle', () => {
    close(centred([[0.5]]), 1 / 12, 14);
    close(wrapAround([[0.5]]), 1 / 6, 14);
    close(star([[0.5]]), 0.2886751346, 10);
  });

  it('the two 6-point sets of Fang, Li and Sudjianto', () => {
    const first = sixPoints([3, 6, 2, 5, 1, 4]);
    close(centred(first), 0.0081420396, 10);
    close(wrapAround(first), 0.0168467078, 10);
    close(star(first), 0.0683360621, 10);
    close(centred(sixPoints([5, 4, 3, 2, 1, 6])), 0.0104568544, 10);
  });
});

describe('the first points of five dimensions', () => {
  it.each([
    [8, 0.1276078827, 0.1565760016, 0.1311240608, 10],
    [16, 0.0346132293, 0.0572318412, 0.0582766399, 10],
    [64, 0.0031211289, 0.0069443774, 0.0156129209, 10],
  ])('%d points', (n, cd, wd, l2, digits) => {
    const x = sobol(n);
    close(centred(x), cd, digits);
    close(wrapAround(x), wd, digits);
    close(star(x), l2, digits);
  });

  it('1024 points', () => {
    const x = sobol(1024);
    close(centred(x), 2.5253213e-5, 13);
    close(wrapAround(x), 8.933897926e-5, 14);
    close(star(x), 0.0015213074, 10);
  });
});
