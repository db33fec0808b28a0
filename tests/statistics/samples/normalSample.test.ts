/** Few values of a bell curve: intervals and predictions hold as often as they say. */
import { describe, expect, it } from 'vitest';
import { studentQuantile } from '../../../src/maths/student.ts';
import {
  correlation,
  correlationInterval,
  meanInterval,
  normalSample,
  prediction,
  sdInterval,
} from '../../../src/statistics/samples/normalSample.ts';
import { makeNormalNoise } from '../../helpers/normals.ts';

describe('of three values', () => {
  const sample = normalSample([1, 2, 6]);
  it('mean and sd', () => {
    expect(sample).toEqual({ count: 3, mean: 3, sd: Math.sqrt(7) });
  });
  it('one value has no spread, none no mean', () => {
    expect(normalSample([4])).toEqual({ count: 1, mean: 4, sd: null });
    expect(meanInterval(normalSample([4]), 0.95)).toBeNull();
    expect(prediction(normalSample([4]))).toBeNull();
    expect(() => normalSample([])).toThrow(RangeError);
  });
});

it('mean, sd and the next value lie where they should, as often as they should', () => {
  const normal = makeNormalNoise('few');
  const runs = 4000;
  let [mean, sd, next] = [0, 0, 0];
  for (let k = 0; k < runs; k++) {
    const sample = normalSample(Array.from({ length: 4 }, normal));
    const [a, b] = meanInterval(sample, 0.9) ?? [0, 0];
    if (a <= 0 && 0 <= b) mean++;
    const [c, d] = sdInterval(sample.sd ?? 0, 3, 0.9);
    if (c <= 1 && 1 <= d) sd++;
    const p = prediction(sample);
    if (p !== null && Math.abs(normal() - p.mean) <= p.scale * studentQuantile(p.freedom)(0.95)) next++;
  }
  // exact methods: 90 % of 4,000, four standard errors of 19
  for (const held of [mean, sd, next]) expect(Math.abs(held - 0.9 * runs)).toBeLessThan(76);
});

describe('a correlation', () => {
  it('of a line is 1 or -1, of a constant nothing', () => {
    expect(correlation([1, 2, 3], [2, 4, 6])).toBe(1);
    expect(correlation([1, 2, 3], [3, 2, 1])).toBe(-1);
    expect(correlation([1, 2, 3], [1, 1, 1])).toBeNull();
  });

  it('needs four pairs for an interval', () => {
    expect(correlationInterval(0.5, 3, 0.95)).toBeNull();
    const [low, high] = correlationInterval(0.5, 28, 0.95) ?? [0, 0];
    // atanh(0.5) -+ 1.95996/5
    expect(low).toBeCloseTo(Math.tanh(0.5493061443 - 0.3919927969), 9);
    expect(high).toBeCloseTo(Math.tanh(0.5493061443 + 0.3919927969), 9);
  });
});
