/** Valid distributions of every kind, for property tests. */
import fc from 'fast-check';
import type { Distribution } from '../../src/inputs/distributions.ts';

const real = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const width = real(1e-6, 50);
const data = fc.array(real(-20, 20), { minLength: 1, maxLength: 12 }).map((values) => [...values].sort((a, b) => a - b));

export const anyDistribution: fc.Arbitrary<Distribution> = fc.oneof(
  real(-50, 50).map((value): Distribution => ({ kind: 'fixed', value })),
  fc.tuple(real(-50, 50), width).map(([mean, sd]): Distribution => ({ kind: 'normal', mean, sd })),
  // With a variance of its own; without, tests/maths/student.test.ts.
  fc.tuple(real(-50, 50), width, real(2.5, 60)).map(([mean, scale, freedom]): Distribution => ({ kind: 'student', mean, scale, freedom })),
  // Bounds from 30 sd below the mean to 30 sd above it.
  fc
    .tuple(real(-5, 5), real(0.1, 5), real(-30, 30), real(1e-3, 20))
    .map(([mean, sd, a, w]): Distribution => ({ kind: 'truncatedNormal', mean, sd, low: mean + a * sd, high: mean + (a + w) * sd })),
  fc.tuple(real(0.01, 10), real(0.01, 2)).map(([middle, logSd]): Distribution => ({ kind: 'lognormal', median: middle, logSd })),
  fc.tuple(real(-50, 50), width).map(([low, w]): Distribution => ({ kind: 'uniform', low, high: low + w })),
  fc
    .tuple(real(-50, 50), width, real(0, 1))
    .map(([low, w, share]): Distribution => ({ kind: 'triangular', low, mode: low + w * share, high: low + w })),
  fc
    .tuple(real(0.2, 200), real(0.2, 200), real(-5, 5), real(0.1, 10))
    .map(([alpha, beta, low, w]): Distribution => ({ kind: 'beta', alpha, beta, low, high: low + w })),
  data.map((values): Distribution => ({ kind: 'discrete', values, weights: values.map(() => 1 / values.length) })),
  real(0, 1).map((probability): Distribution => ({ kind: 'chance', probability })),
  fc
    .tuple(data, fc.constantFrom('resample' as const, 'smooth' as const), real(0, 2))
    .map(([values, as, bandwidth]): Distribution => ({ kind: 'measured', values, as, bandwidth })),
);
