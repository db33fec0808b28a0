/** How unlike vehicles are, found again from campaigns whose vehicles were drawn from a known distribution. */
import { describe, expect, it } from 'vitest';
import type { Attempts } from '../../../src/analysis/campaign/campaignCollector.ts';
import { firstLanding } from '../../../src/analysis/campaign/firstLanding.ts';
import { type Vehicles, vehiclesOf } from '../../../src/analysis/campaign/vehicles.ts';
import { stream } from '../../../src/maths/streams.ts';

const MOST = 10;
const N = 400;
/** Studies of so many campaigns each; of intervals that hold 95 %, fewer than 15 of 20 hold once in 3,000 times. */
const STUDIES = 20;
const FEWEST_HOLD = 15;

/** @param probability of a vehicle, from a uniform */
function campaigns(probability: (u: number) => number, flyAll: boolean, n = N, key = 'made up'): Attempts[] {
  return Array.from({ length: n }, (_, i) => {
    const next = stream(`${i}/${key}`);
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

describe.each([false, true])('vehicles anywhere from never to always landing, every attempt flown: %s', (flyAll) => {
  const studies = Array.from({ length: STUDIES }, (_, study) => {
    const both = found(campaigns(uniform, flyAll, N, `study ${study}`), flyAll);
    if (both === null) throw new Error('no spread');
    return both;
  });
  const held = (one: (study: (typeof studies)[number]) => boolean): void =>
    expect(studies.filter(one).length).toBeGreaterThanOrEqual(FEWEST_HOLD);

  it('the spread is found again, whenever campaigns end', () => {
    held(({ vehicles }) => holds(vehicles.mean, 1 / 2));
    held(({ vehicles }) => holds(vehicles.correlation, 1 / 3));
    for (const [i, share] of [0.1, 0.5, 0.9].entries()) held(({ vehicles }) => holds(vehicles.quantiles[i], share));
    for (const { vehicles } of studies) expect(vehicles.correlation.interval[1] - vehicles.correlation.interval[0]).toBeLessThan(0.25);
    held(({ vehicles }) => vehicles.fit.within === MOST);
  });

  it('the analysis of variance stands beside it only where every attempt was flown', () => {
    if (flyAll) held(({ vehicles }) => vehicles.byVariance !== null && holds(vehicles.byVariance, 1 / 3));
    else expect(studies.every(({ vehicles }) => vehicles.byVariance === null)).toBe(true);
  });

  it('after the first landing at attempt t the next lands with 2/(2 + t)', () => {
    // P(first at t) = 1/(t (t + 1)); a campaign that landed at its last attempt has no next flight to be counted.
    let sum = 0;
    let share = 0;
    for (let t = 1; t <= (flyAll ? MOST - 1 : MOST); t++) {
      sum += 2 / (2 + t) / (t * (t + 1));
      share += 1 / (t * (t + 1));
    }
    expect(new Set(studies.map(({ after }) => after.by))).toEqual(new Set([flyAll ? 'counted' : 'fit']));
    held(({ after }) => holds(after.next, sum / share));
  });

  it('a run of landings shows a reliability under the spread: 1 - R^(r + 1) is the confidence', () => {
    for (const [i, { reliability, confidence, exact }] of studies[0].after.claims.entries()) {
      const truth = Math.ceil(Math.log(1 - confidence) / Math.log(reliability)) - 1;
      expect(exact).toBe(truth + 1);
      held(({ after }) => (after.claims[i].least ?? truth) <= truth && (after.claims[i].most ?? truth) >= truth);
    }
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
