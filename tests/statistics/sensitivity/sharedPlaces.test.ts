import { describe, expect, it } from 'vitest';
import { stream } from '../../../src/maths/streams.ts';
import { firstOrder } from '../../../src/statistics/sensitivity/givenData.ts';
import { covarianceByInfluence } from '../../../src/statistics/sensitivity/influence.ts';
import { sharedPlaces } from '../../../src/statistics/sensitivity/sharedPlaces.ts';
import { gFunction, sampleOf } from '../../helpers/closedForms.ts';

const diagonal = (...variances: number[]): Float64Array => {
  const d = variances.length;
  return Float64Array.from({ length: d * d }, (_, k) => (k % (d + 1) === 0 ? variances[k / (d + 1)] : 0));
};

describe('sharedPlaces', () => {
  it('parts what is far apart and lets the rest share', () => {
    expect(sharedPlaces([0.1, 0.9, 0.11, 0.5], diagonal(1e-4, 1e-4, 1e-4, 1e-4), 0.95)).toEqual([
      { best: 3, worst: 4 },
      { best: 1, worst: 1 },
      { best: 3, worst: 4 },
      { best: 2, worst: 2 },
    ]);
  });

  it('lets a middle one share with both neighbours that are themselves apart', () => {
    // neighbours 0.9, ends 1.8 standard errors of a difference apart; Holm asks 2.39 (one-sided 0.05/6) of the widest
    // of six
    const apart = sharedPlaces(
      [6, 4, 2].map((v) => v * Math.SQRT2 * 0.45),
      diagonal(1, 1, 1),
      0.95,
    );
    expect(apart).toEqual([
      { best: 1, worst: 3 },
      { best: 1, worst: 3 },
      { best: 1, worst: 3 },
    ]);
    // neighbours 2, ends 4 apart
    const chain = sharedPlaces(
      [4, 2, 0].map((v) => v * Math.SQRT2),
      diagonal(1, 1, 1),
      0.95,
    );
    expect(chain).toEqual([
      { best: 1, worst: 2 },
      { best: 1, worst: 3 },
      { best: 2, worst: 3 },
    ]);
  });

  it('uses what two estimates share: a small difference of nearly the same rows counts', () => {
    const estimates = [0.5, 0.48];
    expect(sharedPlaces(estimates, Float64Array.of(1e-3, 0, 0, 1e-3), 0.95)[0]).toEqual({ best: 1, worst: 2 });
    expect(sharedPlaces(estimates, Float64Array.of(1e-3, 9.9e-4, 9.9e-4, 1e-3), 0.95)[0]).toEqual({ best: 1, worst: 1 });
  });

  it('never parts equal estimates, even without any variance', () => {
    expect(sharedPlaces([0.2, 0.2], new Float64Array(4), 0.95)).toEqual([
      { best: 1, worst: 2 },
      { best: 1, worst: 2 },
    ]);
    expect(sharedPlaces([], new Float64Array(0), 0.95)).toEqual([]);
  });

  it('claims no wrong order in 95 of 100 rankings, true ties among them (200 repeats of 1,000 rows, 4 binomial standard errors)', () => {
    const form = gFunction([0, 1, 1, 4.5, 9, 9]);
    const columns = 9;
    const truth = Array.from({ length: columns }, (_, i) => form.first[i] ?? 0);
    let wrong = 0;
    let leaderFound = 0;
    for (let r = 0; r < 200; r++) {
      const { inputs, output } = sampleOf(form, 1000, stream(`places/${r}`), columns);
      const estimates = inputs.map((x) => firstOrder(x, output));
      const places = sharedPlaces(
        estimates.map((e) => e.estimate),
        covarianceByInfluence(estimates),
        0.95,
      );
      const holds = places.every(({ best, worst }, i) => {
        const larger = truth.filter((t) => t > truth[i] + 1e-9).length;
        const smaller = truth.filter((t) => t < truth[i] - 1e-9).length;
        return best <= 1 + larger && worst >= columns - smaller;
      });
      if (!holds) wrong++;
      if (places[0].worst === 1) leaderFound++;
    }
    expect(wrong / 200).toBeLessThan(0.05 + 4 * Math.sqrt((0.05 * 0.95) / 200));
    // and it does part the clear leader (0.70 against 0.17)
    expect(leaderFound).toBe(200);
  });

  it('refuses a covariance that does not fit or numbers that are none', () => {
    expect(() => sharedPlaces([1, 2], new Float64Array(3), 0.95)).toThrow('covariance of 4 entries, not 3');
    expect(() => sharedPlaces([1, Number.NaN], new Float64Array(4), 0.95)).toThrow(RangeError);
  });
});
