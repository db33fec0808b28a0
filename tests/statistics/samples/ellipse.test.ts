import { describe, expect, it } from 'vitest';
import { normalQuantile } from '../../../src/maths/normal.ts';
import { stream } from '../../../src/maths/streams.ts';
import { containmentRadius, insideEllipse, predictionEllipse, principalAxes, spread } from '../../../src/statistics/samples/ellipse.ts';

describe('spread', () => {
  it('of four points by hand', () => {
    // Deviations (-1.5, -1), (-0.5, 1), (0.5, -1), (1.5, 1) from (1.5, 3): sums of squares 5 and 4, of products 2.
    expect(spread([0, 1, 2, 3], [2, 4, 2, 4])).toEqual({
      n: 4,
      meanX: 1.5,
      meanY: 3,
      varianceX: 5 / 3,
      varianceY: 4 / 3,
      covariance: 2 / 3,
    });
  });

  it('does not cancel far from the origin', () => {
    const far = spread([1e8, 1e8 + 1, 1e8 + 2], [0, 0, 3]);
    expect(far.varianceX).toBe(1);
    expect(far.covariance).toBe(1.5);
  });

  it('refuses fewer than three points, unequal columns, and NaN', () => {
    expect(() => spread([1, 2], [1, 2])).toThrow(RangeError);
    expect(() => spread([1, 2, 3], [1, 2])).toThrow(RangeError);
    expect(() => spread([1, 2, Number.NaN], [1, 2, 3])).toThrow(RangeError);
  });
});

describe('principalAxes', () => {
  it('turns from x toward y', () => {
    expect(principalAxes({ varianceX: 4, varianceY: 1, covariance: 0 })).toEqual({ major: 2, minor: 1, angle: 0 });
    expect(principalAxes({ varianceX: 1, varianceY: 4, covariance: 0 })).toEqual({ major: 2, minor: 1, angle: Math.PI / 2 });
    expect(principalAxes({ varianceX: 2, varianceY: 2, covariance: 1 }).angle).toBe(Math.PI / 4);
    expect(principalAxes({ varianceX: 2, varianceY: 2, covariance: -1 }).angle).toBe(-Math.PI / 4);
  });
});

describe('insideEllipse', () => {
  const ellipse = { share: 0.5, centreX: 10, centreY: 20, semiMajor: 4, semiMinor: 1, angle: Math.PI / 2 };

  it('knows long from short', () => {
    expect(insideEllipse(ellipse, 10, 23.9)).toBe(true);
    expect(insideEllipse(ellipse, 10, 24.1)).toBe(false);
    expect(insideEllipse(ellipse, 13.9, 20)).toBe(false);
    expect(insideEllipse(ellipse, 10.9, 20)).toBe(true);
  });

  it('of no size holds its centre alone', () => {
    const point = { ...ellipse, semiMajor: 0, semiMinor: 0 };
    expect(insideEllipse(point, 10, 20)).toBe(true);
    expect(insideEllipse(point, 10, 20.001)).toBe(false);
  });
});

describe('containmentRadius', () => {
  it('scales with the deviations and vanishes with them', () => {
    expect(containmentRadius(0, 0, 0.5)).toBe(0);
    expect(containmentRadius(6, 3, 0.9)).toBeCloseTo(3 * containmentRadius(2, 1, 0.9), 12);
  });

  it('refuses axes in the wrong order and shares that are none', () => {
    expect(() => containmentRadius(1, 2, 0.5)).toThrow(RangeError);
    expect(() => containmentRadius(1, -1, 0.5)).toThrow(RangeError);
    expect(() => containmentRadius(1, 1, 1)).toThrow(RangeError);
  });
});

it('an ellipse from 10 points holds an 11th in the share it promises', () => {
  const draw = stream('ellipse prediction');
  const normal = () => normalQuantile(draw());
  const trials = 4000;
  const held = [0.5, 0.95].map(() => 0);
  for (let i = 0; i < trials; i++) {
    const points = Array.from({ length: 11 }, () => {
      const a = normal();
      return [3 * a + 5, a - 2 * normal()] as const;
    });
    const moments = spread(
      points.slice(0, 10).map(([x]) => x),
      points.slice(0, 10).map(([, y]) => y),
    );
    const [x, y] = points[10] ?? [Number.NaN, Number.NaN];
    [0.5, 0.95].forEach((share, s) => {
      if (insideEllipse(predictionEllipse(moments, share), x, y)) held[s] = (held[s] ?? 0) + 1;
    });
  }
  // 4 standard errors of 4,000 trials; the plain chi-square factor would give 0.43 and 0.87.
  expect(Math.abs((held[0] ?? 0) / trials - 0.5)).toBeLessThanOrEqual(0.032);
  expect(Math.abs((held[1] ?? 0) / trials - 0.95)).toBeLessThanOrEqual(0.0138);
});
