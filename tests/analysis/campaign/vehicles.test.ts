/** How unlike vehicles are, found again from campaigns whose vehicles were drawn from a known distribution. */
import { describe, expect, it } from 'vitest';
import type { Attempts } from '../../../src/analysis/campaign/campaignCollector.ts';
import { firstLanding } from '../../../src/analysis/campaign/firstLanding.ts';
import { type Vehicles, vehiclesOf } from '../../../src/analysis/campaign/vehicles.ts';
import { stream } from '../../../src/maths/streams.ts';

const MOST = 10;
const N = 1500;

/** @param probability of a vehicle, from a uniform */
function campaigns(probability: (u: number) => number, flyAll: boolean, n = N): Attempts[] {
  return Array.from({ length: n }, (_, i) => {
    const next = stream(`${i}/made up`);
    const p = probability(next());
    const landed: boolean[] = [];
    while (landed.length < MOST && (flyAll || !landed.includes(true))) landed.push(next() < p);
    return landed;
  });
}
const found = (made: Attempts[], flyAll: boolean) => vehiclesOf(made, firstLanding(made, MOST), flyAll, 'key');
const holds = ({ interval }: Vehicles['mean'], truth: number): boolean => interval[0] <= truth && truth <= interval[1];

/** Beta(1, 1): mean 1/2, correlation 1/3, quantiles at their shares. */
const uniform = (u: number): number => u;

// Seeds are fixed; of the 95 % intervals here each held its truth on these.
describe.each([false, true])('vehicles anywhere from never to always landing, every attempt flown: %s', (flyAll) => {
  const both = found(campaigns(uniform, flyAll), flyAll);
  if (both === null) throw new Error('no spread');
  const { vehicles, after } = both;

  it('the spread is found again, whenever campaigns end', () => {
    expect(holds(vehicles.mean, 1 / 2)).toBe(true);
    expect(holds(vehicles.correlation, 1 / 3)).toBe(true);
    for (const quantile of vehicles.quantiles) expect(holds(quantile, quantile.share)).toBe(true);
    expect(vehicles.correlation.interval[1] - vehicles.correlation.interval[0]).toBeLessThan(0.15);
    expect(vehicles.fit.within).toBe(MOST);
  });

  it('the analysis of variance stands beside it only where every attempt was flown', () => {
    expect(vehicles.byVariance === null).toBe(!flyAll);
    if (vehicles.byVariance !== null) expect(holds(vehicles.byVariance, 1 / 3)).toBe(true);
  });

  it('after the first landing at attempt t the next lands with 2/(2 + t)', () => {
    // P(first at t) = 1/(t (t + 1)); within ten attempts.
    let sum = 0;
    let share = 0;
    // A campaign that landed at its last attempt has no next flight to be counted.
    for (let t = 1; t <= (flyAll ? MOST - 1 : MOST); t++) {
      sum += 2 / (2 + t) / (t * (t + 1));
      share += 1 / (t * (t + 1));
    }
    expect(after.by).toBe(flyAll ? 'counted' : 'fit');
    expect(holds(after.next, sum / share)).toBe(true);
  });

  it('a run of landings shows a reliability under the spread: 1 - R^(r + 1) is the confidence', () => {
    for (const { reliability, confidence, least, most } of after.claims) {
      const truth = Math.ceil(Math.log(1 - confidence) / Math.log(reliability)) - 1;
      expect([least === null || least <= truth, most === null || most >= truth]).toEqual([true, true]);
    }
    expect(after.claims.map(({ exact }) => exact)).toEqual([4, 11, 22]);
  });
});

it('fresh luck shows next to no spread', () => {
  const both = found(
    campaigns(() => 0.4, true),
    true,
  );
  expect(both?.vehicles.correlation.value).toBeLessThan(0.01);
  expect(both?.vehicles.byVariance?.interval[0]).toBeLessThan(0);
});

it('says nothing where campaigns are too few, or none landed, or all did at once', () => {
  expect(found(campaigns(uniform, false, 12), false)).toBeNull();
  expect(
    found(
      campaigns(() => 0, false),
      false,
    ),
  ).toBeNull();
  expect(
    found(
      campaigns(() => 1, false),
      false,
    ),
  ).toBeNull();
  expect(vehiclesOf([], null, false, 'key')).toBeNull();
});

it('is the same whenever it is asked', () => {
  const made = campaigns(uniform, false, 100);
  expect(found(made, false)).toEqual(found(made, false));
});
