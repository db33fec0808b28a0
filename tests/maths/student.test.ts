/** Student's t: closed forms of few degrees of freedom, the normal of many, and a printed table. */
import { describe, expect, it } from 'vitest';
import { cdf, quantile } from '../../src/inputs/distributions.ts';
import { moments } from '../../src/inputs/moments.ts';
import { normalQuantile } from '../../src/maths/normal.ts';
import { studentCdf, studentQuantile } from '../../src/maths/student.ts';

const SHARES = [2 ** -54, 1e-9, 1e-4, 0.004, 0.0051, 0.1, 0.3, 0.499, 0.5, 0.6, 0.99, 0.9999, 1 - 2 ** -40];
/** The beta quantile's 1e-12, once for itself and once for what is left of 1. */
const CLOSE = 4e-12;

describe('quantiles', () => {
  it('of one degree of freedom are those of Cauchy', () => {
    for (const u of SHARES) {
      const exact = u < 0.25 ? -1 / Math.tan(Math.PI * u) : u > 0.75 ? 1 / Math.tan(Math.PI * (1 - u)) : Math.tan(Math.PI * (u - 0.5));
      expect(Math.abs(studentQuantile(1)(u) - exact)).toBeLessThanOrEqual(CLOSE * Math.abs(exact) + 1e-15);
    }
  });

  it('of two are (2 u - 1)/sqrt(2 u (1 - u))', () => {
    for (const u of SHARES) {
      const exact = (2 * u - 1) / Math.sqrt(2 * u * (1 - u));
      expect(Math.abs(studentQuantile(2)(u) - exact)).toBeLessThanOrEqual(CLOSE * Math.abs(exact) + 1e-15);
    }
  });

  it('of a million are nearly a normal’s', () => {
    // the first term of the expansion: z + (z^3 + z)/(4 freedom)
    for (const u of [0.001, 0.2, 0.7, 0.999]) {
      const z = normalQuantile(u);
      expect(Math.abs(studentQuantile(1e6)(u) - z - (z ** 3 + z) / 4e6)).toBeLessThan(1e-9);
    }
  });

  it.each([
    // NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.6.7.2, from memory; SciPy 1.17.1 agrees
    [3, 0.95, 2.353],
    [4, 0.975, 2.776],
    [10, 0.975, 2.228],
    [30, 0.999, 3.385],
  ])('%d degrees at %d: %d', (freedom, u, printed) => {
    expect(Math.abs(studentQuantile(freedom)(u) - printed)).toBeLessThanOrEqual(0.0005);
  });

  it('undo the distribution function', () => {
    for (const freedom of [1, 1.5, 2, 4, 25, 300]) {
      for (const u of SHARES.filter((share) => share > 1e-10 && share < 1 - 1e-10)) {
        expect(Math.abs(studentCdf(freedom)(studentQuantile(freedom)(u)) - u)).toBeLessThan(Math.max(1e-15, 1e-11 * Math.min(u, 1 - u)));
      }
    }
  });
});

describe('moments', () => {
  it('have no variance up to two degrees of freedom', () => {
    expect(moments({ kind: 'student', mean: 1, scale: 0.1, freedom: 2 })).toEqual({ mean: 1, sd: Number.POSITIVE_INFINITY });
    expect(moments({ kind: 'student', mean: 1, scale: 0.1, freedom: 4 }).sd).toBeCloseTo(0.1 * Math.SQRT2, 15);
  });

  it('a distribution is moved and stretched', () => {
    const d = { kind: 'student', mean: 3, scale: 2, freedom: 2 } as const;
    expect(quantile(d)(0.9)).toBeCloseTo(3 + 2 * studentQuantile(2)(0.9), 14);
    expect(cdf(d)(quantile(d)(0.9))).toBeCloseTo(0.9, 12);
  });
});
