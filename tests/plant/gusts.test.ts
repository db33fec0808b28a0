import { describe, expect, test } from 'vitest';
import { GUST_STATE_SIZE, startGusts, stepGusts } from '../../src/plant/gusts.ts';
import { scriptedNoise } from '../helpers/scriptedNoise.ts';
import { gustResponses, secondMoment } from './gustResponses.ts';

const plain = { height: 30.48, airspeed: 20, wind: 4, windAt20ft: 3, scale: 1, dt: 0.01 };

test('five draws at the start, five a step, none else', () => {
  let draws = 0;
  const noise = scriptedNoise(() => {
    draws++;
    return 0.3;
  });
  const state = new Float64Array(GUST_STATE_SIZE);
  startGusts(state, noise);
  expect(draws).toBe(5);
  stepGusts(state, 10, 20, 2, 2, 0, 0.01, noise, new Float64Array(3));
  expect(draws).toBe(10);
});

describe('intensity', () => {
  test('0.1 of the wind at 20 ft up, 1.71584871 of that across, at 100 ft; scaled', () => {
    for (const scale of [1, 2.5]) {
      const r = gustResponses(1, { ...plain, scale });
      const sd = (axis: number) => Math.sqrt(secondMoment(r, axis, 0, axis, 0));
      expect(sd(2)).toBeCloseTo(0.3 * scale, 12);
      expect(sd(0)).toBeCloseTo(0.3 * 1.71584871 * scale, 8);
      expect(sd(1)).toBeCloseTo(0.3 * 1.71584871 * scale, 8);
    }
  });

  test('scale 0 and no wind at 20 ft give no gust', () => {
    for (const still of [
      { ...plain, scale: 0 },
      { ...plain, windAt20ft: 0 },
    ]) {
      for (const response of gustResponses(3, still)) expect(response.every((x) => x === 0)).toBe(true);
    }
  });
});

describe('speed through the gusts', () => {
  const decayOfU = (c: Partial<typeof plain>) => {
    const r = gustResponses(2, { ...plain, height: 304.8, dt: 1, ...c });
    return secondMoment(r, 0, 0, 0, 1) / secondMoment(r, 0, 0, 0, 0);
  };
  test.each([
    ['the airspeed', { airspeed: 20, wind: 4 }, 20],
    ['the mean wind when that is more', { airspeed: 1, wind: 4 }, 4],
    ['1 m/s at least', { airspeed: 0, wind: 0 }, 1],
  ])('is %s', (_, c, speed) => {
    expect(decayOfU(c)).toBeCloseTo(Math.exp(-speed / 304.8), 12);
  });
});

test('steps of any size leave the variance alone, down to a = 1e-9', () => {
  for (const dt of [1e-7, 1e-5, 1e-3, 0.05, 1, 7, 100]) {
    const r = gustResponses(1, { ...plain, dt });
    expect(secondMoment(r, 2, 0, 2, 0) / 0.09).toBeCloseTo(1, 12);
    expect(secondMoment(r, 1, 0, 1, 0) / (0.3 * 1.71584871) ** 2).toBeCloseTo(1, 7);
  }
});

test('without noise X1 fades as e to the -a, on either side of where its series ends', () => {
  for (let i = 1; i <= 400; i++) {
    const a = i / 2000;
    const state = Float64Array.of(0, 0, 0, 1, 0);
    // 100 m up and at 100 m/s the step is as long as a.
    stepGusts(
      state,
      100,
      100,
      0,
      10,
      1,
      a,
      scriptedNoise(() => 0),
      new Float64Array(3),
    );
    expect(Math.abs(state[3] - Math.exp(-a))).toBeLessThan(5e-16);
  }
});

test('the noise of X2 given X1 is continuous where its series begins, and positive when tiny', () => {
  // from rest, only the fifth draw (the second of w): the state's last entry is root * spread
  const ownNoise = (a: number) => {
    const state = new Float64Array(GUST_STATE_SIZE);
    let draw = 0;
    stepGusts(
      state,
      100,
      100,
      0,
      10,
      1,
      a,
      scriptedNoise(() => (draw++ === 4 ? 1 : 0)),
      new Float64Array(3),
    );
    return Number(state[4]);
  };
  expect(ownNoise(0.1) / ownNoise(0.1 - 1e-15) - 1).toBeLessThan(1e-12);
  // a^1.5/sqrt12 to first order
  expect(ownNoise(1e-8) / (1e-12 / Math.sqrt(12))).toBeCloseTo(1, 7);
});
