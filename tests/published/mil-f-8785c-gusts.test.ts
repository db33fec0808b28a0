/**
 * MIL-F-8785C, Military Specification: Flying Qualities of Piloted Airplanes (5 November 1980), 3.7.3.4: low-altitude
 * Dryden turbulence, its lengths, intensities and spectra. Formulas and wind levels as quoted in public codes and in a
 * toolbox vendor's documentation of the specification; digits recomputed with numpy. Discretisation (a = V dt/L = 0.1):
 * recomputed with numpy, F P F' + Q = P checked to 1e-16.
 */
import { describe, expect, test } from 'vitest';
import { normalQuantile } from '../../src/maths/normal.ts';
import { noiseStream } from '../../src/maths/streams.ts';
import {
  GUST_STATE_SIZE,
  GUST_WIND_HEIGHT,
  horizontalGustLength,
  horizontalGustRatio,
  startGusts,
  stepGusts,
  verticalGustIntensity,
  verticalGustLength,
} from '../../src/plant/gusts.ts';
import { scriptedNoise } from '../helpers/scriptedNoise.ts';
import { gustResponses, secondMoment } from '../plant/gustResponses.ts';

const FT = 0.3048;
const KT = 1852 / 3600;

describe('lengths and intensities', () => {
  // h ft, L_u = L_v ft, sigma_u/sigma_w; to half of the last digit
  test.each([
    [10, 75.63911, 1.96297817],
    [20, 143.588803, 1.92913903],
    [50, 310.787644, 1.83864512],
    [100, 505.169335, 1.71584871],
    [200, 725.785958, 1.53671332],
    [500, 944.65721, 1.23623608],
    [1000, 1000, 1],
  ])('at %d ft L_u = L_v = %d ft, sigma_u = %d sigma_w, L_w = h', (hFt, lengthFt, ratio) => {
    const lw = verticalGustLength(hFt * FT);
    expect(Math.abs(lw / FT - hFt)).toBeLessThan(1e-9);
    expect(Math.abs(horizontalGustRatio(lw) - ratio)).toBeLessThan(0.5e-8);
    expect(Math.abs(horizontalGustLength(lw, horizontalGustRatio(lw)) / FT - lengthFt)).toBeLessThan(0.5e-6);
  });

  test.each([
    [10, 67.365951, 1.8886297],
    [30, 152.464823, 1.7192913],
    [50, 202.289589, 1.59343557],
    [100, 262.794137, 1.37997714],
    [200, 298.117817, 1.14231526],
  ])('at %d m L_u = %d m, sigma_u = %d sigma_w', (h, length, ratio) => {
    const lw = verticalGustLength(h);
    expect(Math.abs(horizontalGustRatio(lw) - ratio)).toBeLessThan(0.5e-8);
    expect(Math.abs(horizontalGustLength(lw, horizontalGustRatio(lw)) - length)).toBeLessThan(0.5e-6);
  });

  test.each([
    ['light', 15, 0.771667],
    ['moderate', 30, 1.543333],
    ['severe', 45, 2.315],
  ])('%s turbulence, %d kt at 20 ft: sigma_w = %d m/s', (_, w20, sigma) => {
    expect(Math.abs(verticalGustIntensity(w20 * KT) - sigma)).toBeLessThan(0.5e-6);
  });

  test('light turbulence at 100 ft: sigma_u = 1.324063 m/s', () => {
    const sigma = verticalGustIntensity(15 * KT) * horizontalGustRatio(verticalGustLength(100 * FT));
    expect(Math.abs(sigma - 1.324063)).toBeLessThan(0.5e-6);
  });

  test('heights are held in 10 to 1000 ft', () => {
    expect(verticalGustLength(-5)).toBe(10 * FT);
    expect(verticalGustLength(1e4)).toBe(1000 * FT);
    expect(GUST_WIND_HEIGHT).toBe(20 * FT);
  });
});

/** 1000 ft, where every length is 304.8 m and all intensities are equal: 1 m/s with 10 m/s at 20 ft. */
const HIGH = 1000 * FT;

test('the start is stationary: var U = 1, var X1 = 1/2, cov = var X2 = 1/4', () => {
  const starts = Array.from({ length: 5 }, (_, j) => {
    const state = new Float64Array(GUST_STATE_SIZE);
    let draw = 0;
    startGusts(
      state,
      scriptedNoise(() => (draw++ === j ? 1 : 0)),
    );
    return state;
  });
  const p = Array.from({ length: 5 }, (_, i) =>
    Array.from({ length: 5 }, (__, k) => starts.reduce((sum, s) => sum + Number(s[i]) * Number(s[k]), 0)),
  );
  const expected = [
    [1, 0, 0, 0, 0],
    [0, 0.5, 0.25, 0, 0],
    [0, 0.25, 0.25, 0, 0],
    [0, 0, 0, 0.5, 0.25],
    [0, 0, 0, 0.25, 0.25],
  ];
  for (const [i, row] of expected.entries()) for (const [k, value] of row.entries()) expect(p[i]?.[k]).toBeCloseTo(value, 15);
});

describe('the exact step', () => {
  // From rest, the two noises of one step: state X1 = n1, X2 = n2, so the sums over unit draws are their covariances.
  const loads = Array.from({ length: 5 }, (_, j) => {
    const state = new Float64Array(GUST_STATE_SIZE);
    let draw = 0;
    stepGusts(
      state,
      HIGH,
      0.1 * HIGH,
      0,
      10,
      1,
      1,
      scriptedNoise(() => (draw++ === j ? 1 : 0)),
      new Float64Array(3),
    );
    return state;
  });
  const q = (i: number, k: number) => loads.reduce((sum, s) => sum + Number(s[i]) * Number(s[k]), 0);

  test.each([
    ['v', 1],
    ['w', 3],
  ])('%s at a = 0.1: Q11, Q12, Q22 as recomputed', (_, i) => {
    expect(Math.abs(q(i, i) - 0.090634623461)).toBeLessThan(0.5e-13);
    expect(Math.abs(q(i, i + 1) - 0.00438077407661)).toBeLessThan(0.5e-14);
    expect(Math.abs(q(i + 1, i + 1) - 0.000287120311216)).toBeLessThan(0.5e-15);
  });

  // the spectrum leaves the sign of the filter's zero open; as specified it lies in the left half-plane
  test.each([
    ['v', 1],
    ['w', 3],
  ])('%s follows a push at once, not backwards first', (_, draw) => {
    let drawn = 0;
    const out = new Float64Array(3);
    stepGusts(
      new Float64Array(GUST_STATE_SIZE),
      HIGH,
      0.1 * HIGH,
      0,
      10,
      1,
      1,
      scriptedNoise(() => (drawn++ === draw ? 1 : 0)),
      out,
    );
    // X1 = sqrt Q11 and X2 = Q12/sqrt Q11 after one unit draw
    const n1 = Math.sqrt(0.090634623461);
    expect(out[draw === 1 ? 1 : 2]).toBeCloseTo(Math.sqrt(3) * n1 + (1 - Math.sqrt(3)) * (0.00438077407661 / n1), 12);
  });

  test('u at a = 0.1: Var(n) = 0.1812692469', () => {
    expect(Math.abs(q(0, 0) - 0.1812692469)).toBeLessThan(0.5e-10);
  });
});

describe('autocovariance and spectrum of what is generated, exact: by the response to each unit draw', () => {
  const perLength = 200;
  const lengths = 40;
  const responses = gustResponses(perLength * lengths + 1, {
    height: HIGH,
    airspeed: HIGH / perLength,
    wind: 0,
    windAt20ft: 10,
    scale: 1,
    dt: 1,
  });
  const autocovariance = (axis: number, lag: number) => secondMoment(responses, axis, 0, axis, lag);

  test('unit variance after the first step', () => {
    for (const axis of [0, 1, 2]) expect(Math.abs(autocovariance(axis, 0) - 1)).toBeLessThan(1e-12);
  });

  test('u: e^(-r/L), 0.3678794412 at r = L', () => {
    expect(Math.abs(autocovariance(0, perLength) - 0.3678794412)).toBeLessThan(0.5e-10);
  });

  test.each([1, 2])('axis %d: e^(-r/L) (1 - r/(2L)), 0.1839397206 at r = L, no correlation at 2L, negative beyond', (axis) => {
    expect(Math.abs(autocovariance(axis, perLength) - 0.1839397206)).toBeLessThan(0.5e-10);
    expect(Math.abs(autocovariance(axis, 2 * perLength))).toBeLessThan(1e-12);
    expect(autocovariance(axis, 3 * perLength)).toBeCloseTo(Math.exp(-3) * (1 - 1.5), 12);
  });

  test('the three axes are independent', () => {
    for (const lag of [0, 1, perLength]) {
      for (const [i, k] of [
        [0, 1],
        [0, 2],
        [1, 2],
      ] as const) {
        expect(Math.abs(secondMoment(responses, i, 0, k, lag))).toBeLessThan(1e-15);
      }
    }
  });

  // Phi(W) = (2/pi) times the integral of R(r) cos(W r), by Simpson's rule over 40 lengths; for sigma = 1.5, L = 100 as
  // printed. Simpson at 1/200 of a length: error 1e-11; what lies beyond 40 lengths: 1e-16.
  const spectrum = (axis: number, W: number) => {
    const n = perLength * lengths;
    let sum = 0;
    for (let i = 0; i <= n; i++) {
      const weight = i === 0 || i === n ? 1 : i % 2 === 1 ? 4 : 2;
      sum += weight * autocovariance(axis, i) * Math.cos((W * i) / perLength);
    }
    return (1.5 ** 2 * 100 * (2 / Math.PI) * sum) / (3 * perLength);
  };

  test.each([
    ['Phi_u(0)', 0, 0, 143.2394487827],
    ['Phi_u(1/L)', 0, 1, 71.6197243914],
    ['Phi_v(0)', 1, 0, 71.6197243914],
    ['Phi_v(1/L)', 1, 1, 71.6197243914],
    ['Phi_w(0)', 2, 0, 71.6197243914],
    ['Phi_w(1/L)', 2, 1, 71.6197243914],
  ])('%s', (_, axis, W, printed) => {
    expect(Math.abs(spectrum(axis, W) / printed - 1)).toBeLessThan(1e-9);
  });

  test.each([
    ['u', 0, (W: number) => (2 / Math.PI) * (1 / (1 + W * W))],
    ['v', 1, (W: number) => ((1 / Math.PI) * (1 + 3 * W * W)) / (1 + W * W) ** 2],
    ['w', 2, (W: number) => ((1 / Math.PI) * (1 + 3 * W * W)) / (1 + W * W) ** 2],
  ])('the whole spectrum of %s from 0.1 to 10 radians a length', (_, axis, formula) => {
    for (const W of [0.1, 0.3, 0.577, 1.7, 3, 10]) {
      // Simpson's error grows as (W/200)^4
      expect(Math.abs(spectrum(axis, W) / (1.5 ** 2 * 100 * formula(W)) - 1)).toBeLessThan(1e-6);
    }
  });
});

describe('generated with random draws', () => {
  test('variance and one-length autocovariance of 20000 gusts, within four standard errors with this seed', () => {
    const uniform = noiseStream('gusts');
    const noise = scriptedNoise(() => normalQuantile(uniform()));
    const runs = 20000;
    const state = new Float64Array(GUST_STATE_SIZE);
    const now = new Float64Array(3);
    const later = new Float64Array(3);
    const variance = [0, 0, 0];
    const lagged = [0, 0, 0];
    for (let i = 0; i < runs; i++) {
      startGusts(state, noise);
      stepGusts(state, HIGH, HIGH / 10, 0, 10, 1, 1, noise, now);
      for (let k = 0; k < 10; k++) stepGusts(state, HIGH, HIGH / 10, 0, 10, 1, 1, noise, later);
      for (const axis of [0, 1, 2]) {
        variance[axis] = Number(variance[axis]) + Number(now[axis]) ** 2 / runs;
        lagged[axis] = Number(lagged[axis]) + (Number(now[axis]) * Number(later[axis])) / runs;
      }
    }
    // standard error of a mean square of unit normals sqrt(2/n), of a mean product sqrt((1 + r^2)/n)
    const expected = [0.3678794412, 0.1839397206, 0.1839397206];
    for (const axis of [0, 1, 2]) {
      expect(Math.abs(Number(variance[axis]) - 1)).toBeLessThan(4 * Math.sqrt(2 / runs));
      const r = Number(expected[axis]);
      expect(Math.abs(Number(lagged[axis]) - r)).toBeLessThan(4 * Math.sqrt((1 + r * r) / runs));
    }
  });
});
