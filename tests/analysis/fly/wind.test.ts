import { describe, expect, it } from 'vitest';
import { meanWind } from '../../../src/analysis/fly/wind.ts';
import { openStudy } from '../../../src/study/load.ts';
import { flights } from '../flights.ts';

const { study } = await openStudy('studies/thistledown.yaml');
const keys = ['wind.speed', 'wind.direction'];
const blowing = (speed: number, from: number) => ({ outcome: 'landed' as const, 'wind.speed': speed, 'wind.direction': from });

describe('the mean wind', () => {
  it('blows away from where it comes', () => {
    const { speed, toward } = meanWind(study, flights([blowing(2, Math.PI / 2), blowing(4, Math.PI / 2)], keys));
    expect(speed).toBe(3);
    // From the east it blows to the west; sines of right angles in doubles.
    expect(toward?.east).toBeCloseTo(-1, 12);
    expect(toward?.north).toBeCloseTo(0, 12);
  });

  it('has no direction where directions cancel, or nothing blows', () => {
    expect(meanWind(study, flights([blowing(3, 0), blowing(3, Math.PI)], keys))).toEqual({ speed: 3, toward: null });
    expect(meanWind(study, flights([blowing(0, 0)], keys))).toEqual({ speed: 0, toward: null });
  });

  it('says nothing of no flights', () => {
    expect(meanWind(study, flights([], keys))).toEqual({ speed: null, toward: null });
  });
});
