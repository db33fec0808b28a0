import { expect, it } from 'vitest';
import { flatRegion, type MapPoint } from '../../../src/analysis/tune/tuningMap.ts';

const point = (offset: number, verdict: MapPoint['verdict']): MapPoint => ({
  offset: [offset],
  constants: { height: 10 + offset },
  flights: 100,
  counted: 100,
  good: 40,
  share: 0.4,
  interval: [0.3, 0.5],
  landed: 40,
  sink: null,
  adjustedP: verdict === 'best' ? null : 0.5,
  verdict,
});

it('the flat region holds the points that came out better than the best, and ends where points are worse', () => {
  const points = [point(-2, 'worse'), point(-1, 'alike'), point(0, 'best'), point(1, 'alike'), point(2, 'better')];
  expect(flatRegion(points, [[-2, -1, 0, 1, 2]], ['height'])).toEqual({ alike: { height: { low: 9, high: 12 } }, reachesRim: true });
});
