/** Success at the ends of an input and round a circle, where it is known. */
import { describe, expect, it } from 'vitest';
import { circleSuccess, endsOf } from '../../../src/analysis/rank/trends.ts';
import { noiseStream } from '../../../src/maths/streams.ts';

const TURN = 2 * Math.PI;

describe('endsOf', () => {
  it('compares the fifth with least and the fifth with most', () => {
    const values = Float64Array.from({ length: 100 }, (_, i) => i);
    const success = Float64Array.from(values, (v) => (v < 30 ? 1 : 0));
    const { least, most } = endsOf('wind.speed', values, success, 1);
    expect(least).toMatchObject({ low: 0, high: 19, counted: 20, landed: 20, share: 1 });
    expect(most).toMatchObject({ low: 80, high: 99, counted: 20, landed: 0, share: 0 });
    expect(least.interval?.[0]).toBeGreaterThan(most.interval?.[1] ?? 1);
  });
});

describe('circleSuccess', () => {
  const draw = noiseStream('circle');
  const angles = Float64Array.from({ length: 2000 }, () => TURN * draw());
  const toSouth = Float64Array.from(angles, (a) => (draw() < 0.4 - 0.2 * Math.cos(a) ? 1 : 0));

  it('names the best and the worst direction, the same by whatever turn angles are written', () => {
    const found = circleSuccess('wind.direction', angles, toSouth, 1);
    expect([found.best, found.worst]).toEqual([4, 0]);
    const shifted = angles.map((a) => (a > Math.PI ? a - TURN : a));
    expect(circleSuccess('wind.direction', shifted, toSouth, 1)).toEqual(found);
  });

  it('names none where directions are alike', () => {
    const alike = Float64Array.from(angles, () => (draw() < 0.4 ? 1 : 0));
    expect(circleSuccess('wind.direction', angles, alike, 1)).toMatchObject({ best: null, worst: null });
  });
});
