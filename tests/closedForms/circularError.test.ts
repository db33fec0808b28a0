/**
 * H. L. Harter, Circular error probabilities, Journal of the American Statistical Association 55 (1960) 723-731: radius
 * about the mean that holds a share of a bivariate normal distribution, in units of the greater standard deviation.
 * Digits: exact one-dimensional integral with scipy 1.17.1 (article not opened). V. Chew, the same journal 61 (1966)
 * 605-617: prediction ellipses from a sample, factors with scipy's F quantile; the covariance [[9, 3], [3, 4]] with
 * numpy.
 */
import { describe, expect, it } from 'vitest';
import { containmentRadius, predictionEllipse, principalAxes } from '../../src/statistics/samples/ellipse.ts';

describe('radius holding 50, 90, 95, 99 %', () => {
  // Half of the last digit shown, and the 1e-10 of the scipy integral.
  it.each([
    [1, [1.1774100225, 2.1459660263, 2.4477468307, 3.0348542588]],
    [0.75, [1.0270906088, 1.9033493636, 2.1858019224, 2.7491616059]],
    [0.5, [0.8704174282, 1.7370799343, 2.0358587203, 2.632566755]],
    [0.25, [0.7254343822, 1.6646057971, 1.9765050639, 2.5883899704]],
    [0.1, [0.6819850883, 1.6479116062, 1.9625295968, 2.5777809445]],
  ])('deviations 1 and %d', (minor, expected) => {
    [0.5, 0.9, 0.95, 0.99].forEach((share, i) => {
      expect(Math.abs(containmentRadius(1, minor, share) - (expected[i] ?? Number.NaN))).toBeLessThanOrEqual(2e-10);
    });
  });

  it('on a line it is the normal quantile', () => {
    expect(Math.abs(containmentRadius(2, 0, 0.5) - 2 * 0.674489750196)).toBeLessThanOrEqual(2e-10);
  });
});

describe('ellipses', () => {
  const tilted = { varianceX: 9, varianceY: 4, covariance: 3 };

  it('principal axes of [[9, 3], [3, 4]]', () => {
    const { major, minor, angle } = principalAxes(tilted);
    expect(Math.abs(major ** 2 - 10.405124838)).toBeLessThanOrEqual(1e-9);
    expect(Math.abs(minor ** 2 - 2.594875162)).toBeLessThanOrEqual(1e-9);
    expect(Math.abs((angle * 180) / Math.PI - 25.0972144539)).toBeLessThanOrEqual(1e-9);
  });

  it.each([
    [10, 3.3220401888],
    [20, 2.8070034449],
    [50, 2.5777295586],
    [100, 2.5107499866],
    [1000, 2.4538790557],
  ])('95 %% factor for one more point after %i', (n, factor) => {
    const ellipse = predictionEllipse({ n, meanX: 4, meanY: -7, varianceX: 1, varianceY: 1, covariance: 0 }, 0.95);
    expect(Math.abs(ellipse.semiMajor - factor)).toBeLessThanOrEqual(1e-9);
    expect(Math.abs(ellipse.semiMinor - factor)).toBeLessThanOrEqual(1e-9);
    expect([ellipse.centreX, ellipse.centreY]).toEqual([4, -7]);
  });

  it('for a very large sample the 95 % ellipse of [[9, 3], [3, 4]] has semi-axes 7.8956910 and 3.9429814', () => {
    const ellipse = predictionEllipse({ n: 1e9, meanX: 0, meanY: 0, ...tilted }, 0.95);
    // The factor's excess is of order 1/n.
    expect(Math.abs(ellipse.semiMajor - 7.895691)).toBeLessThanOrEqual(1e-7);
    expect(Math.abs(ellipse.semiMinor - 3.9429814)).toBeLessThanOrEqual(1e-7);
  });
});
