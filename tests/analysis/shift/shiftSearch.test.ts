/** Made-up flights whose soft window is known: the search must find its middle, and say how sure it is. */
import { describe, expect, it } from 'vitest';
import { findShift, type ShiftTrial } from '../../../src/analysis/shift/shiftSearch.ts';
import { normalQuantile } from '../../../src/maths/normal.ts';
import { stream } from '../../../src/maths/streams.ts';

const LIMIT = 3;
const SHIFTS = Array.from({ length: 7 }, (_, i) => -2.4 + 0.8 * i);
const REGION = { centre: 0, halfWidth: 2.4 };

/** Each flight wants a shift of its own, normal about `middle`; the sink grows with the distance from it. */
function trials(middle: number, each: number, seed: string, softest = 1): ShiftTrial[] {
  const next = stream(seed);
  return SHIFTS.map((shift) => ({
    shift,
    sinks: Array.from({ length: each }, () => softest + 1.5 * Math.abs(shift - middle - 1.2 * normalQuantile(next()))),
  }));
}

describe('the height shift', () => {
  it('is found where most touchdowns are soft, within its interval, inside the flat region', () => {
    for (const middle of [-0.9, 0, 0.7]) {
      const found = findShift(trials(middle, 200, `a${middle}`), REGION, LIMIT, 'x', 0.95);
      // the standard error is near 0.08 m here: four of them
      expect(Math.abs(found.best - middle)).toBeLessThan(0.32);
      expect(found.interval[0]).toBeLessThanOrEqual(found.best);
      expect(found.interval[1]).toBeGreaterThanOrEqual(found.best);
      expect(found.flat[0]).toBeLessThanOrEqual(found.best);
      expect(found.flat[1]).toBeGreaterThanOrEqual(found.best);
      expect(found).toMatchObject({ onEdge: false, fittedTo: 'soft touchdowns' });
    }
  });

  it('has an interval that holds the truth about as often as it says, and shrinks with more flights', () => {
    const runs = 60;
    let held = 0;
    for (let run = 0; run < runs; run++) {
      const { interval } = findShift(trials(0.3, 60, `run${run}`), REGION, LIMIT, `r${run}`, 0.95);
      if (interval[0] <= 0.3 && interval[1] >= 0.3) held++;
    }
    // of 60 at 95 %, 51 or fewer have a chance below 1 in 1,000
    expect(held).toBeGreaterThan(51);
    const width = (each: number) => {
      const { interval } = findShift(trials(0, each, 'width'), REGION, LIMIT, 'w', 0.95);
      return interval[1] - interval[0];
    };
    expect(width(400)).toBeLessThan(0.6 * width(50));
  });

  it('goes by the median sink where hardly any touchdown is soft', () => {
    const found = findShift(trials(-0.5, 100, 'hard', 9), REGION, LIMIT, 'h', 0.95);
    expect(found.fittedTo).toBe('median sink');
    // a median of 100 wanders by 0.15 m/s, on a curve that rises by 1.5 m/s a metre: half a metre is three times that,
    // over seven shifts
    expect(Math.abs(found.best + 0.5)).toBeLessThan(0.5);
  });

  it('says when the best lies on the edge of what was flown', () => {
    const found = findShift(trials(6, 200, 'far'), REGION, LIMIT, 'f', 0.95);
    expect(found.onEdge).toBe(true);
    expect(found.best).toBeCloseTo(2.4, 6);
  });

  it('is the same for the same flights', () => {
    const one = trials(0, 50, 'same');
    expect(findShift(one, REGION, LIMIT, 's', 0.95)).toEqual(findShift(one, REGION, LIMIT, 's', 0.95));
  });
});
