/**
 * Quantiles, distribution functions and moments against tables of an independent computation: F. Johansson et al.,
 * mpmath 1.3.0 (50 digits), and P. Virtanen et al., SciPy 1.0, Nature Methods 17 (2020) 261-272 (release 1.17.1). Each
 * case carries its own absolute tolerance; the generator beside the table (fixtures/make_distribution_tables.py) says
 * how it comes about.
 */
import { describe, expect, it } from 'vitest';
import type { Distribution } from '../../src/inputs/distributions.ts';
import { cdf, quantile } from '../../src/inputs/distributions.ts';
import { moments } from '../../src/inputs/moments.ts';
import table from './fixtures/distributions.json' with { type: 'json' };

const named = (d: Distribution): string => JSON.stringify(d).replaceAll('"', '');

describe('quantiles', () => {
  it.each(table.quantile as [Distribution, number, number, number][])('%j at %d', (d, u, value, tolerance) => {
    expect(Math.abs(quantile(d)(u) - value), named(d)).toBeLessThanOrEqual(tolerance);
  });
});

describe('distribution functions', () => {
  it.each(table.cdf as [Distribution, number, number, number][])('%j at %d', (d, x, value, tolerance) => {
    expect(Math.abs(cdf(d)(x) - value), named(d)).toBeLessThanOrEqual(tolerance);
  });
});

describe('moments', () => {
  it.each(table.moments as [Distribution, number, number, number][])('mean and sd of %j', (d, mean, sd, tolerance) => {
    const got = moments(d);
    expect(Math.abs(got.mean - mean)).toBeLessThanOrEqual(tolerance * sd);
    expect(Math.abs(got.sd - sd)).toBeLessThanOrEqual(tolerance * sd);
  });

  it.each(table.median as [Distribution, number, number][])('median of %j', (d, value, tolerance) => {
    expect(Math.abs(quantile(d)(0.5) - value)).toBeLessThanOrEqual(tolerance);
  });
});
