/**
 * Policies after a miss, with a vehicle put in place of the flight whose miss is an offset that stands and a normal that
 * is fresh, against closed forms: F. E. Grubbs' rules for setting a machine (Industrial Quality Control, July 1954; not
 * opened, the variances are derived from the rules), and constant gains. Means over many vehicles lie within four
 * standard errors of them; the seed is fixed.
 */
import { describe, expect, it } from 'vitest';
import { gainOf, type Policy } from '../../src/flight/policy.ts';
import { normalQuantile } from '../../src/maths/normal.ts';
import { stream } from '../../src/maths/streams.ts';
import { near } from '../helpers/near.ts';
import { flySynthetic } from '../helpers/syntheticVehicle.ts';

const VEHICLES = 20_000;
const ATTEMPTS = 6;

/** Misses attempt by attempt, of many vehicles. @param spread standard deviation of what stands; of what is fresh it is 1 */
function missesOf(policy: Policy, spread: number, limit = -1): number[][] {
  const next = stream(`adjustments/${JSON.stringify(policy)}`);
  const normal = (): number => normalQuantile(next());
  return Array.from({ length: VEHICLES }, () => {
    const standing = spread * normal();
    return flySynthetic(policy, standing, Array.from({ length: ATTEMPTS }, normal), { limit }).misses;
  });
}

/** Mean square of the nth miss: its variance, since its mean is 0. A normal's square has a variance of twice that squared. */
function varianceIs(misses: readonly number[][], n: number, expected: number): void {
  const found = misses.reduce((sum, own) => sum + own[n - 1] ** 2, 0) / misses.length;
  near(found, expected, 4 * expected * Math.sqrt(2 / misses.length));
}

describe('the harmonic rule', () => {
  it('leaves the mean of the chances seen, whatever stands: the next miss has the variance 1 + 1/n', () => {
    for (const spread of [0.1, 5]) {
      const misses = missesOf({ kind: 'harmonic' }, spread);
      for (const n of [1, 2, 3, 4, 5]) varianceIs(misses, n + 1, 1 + 1 / n);
    }
  });

  it('forgets the offset exactly', () => {
    const fresh = [0.3, -1.2, 0.7, 0.1];
    const near0 = flySynthetic({ kind: 'harmonic' }, 0, fresh).misses;
    const far = flySynthetic({ kind: 'harmonic' }, 1000, fresh).misses;
    for (const n of [1, 2, 3]) near(far[n], near0[n], 1e-12 * 1000);
  });
});

describe('the weighted rule, what stands twice as wide as what is fresh', () => {
  const policy: Policy = { kind: 'weighted', ratio: 0.25 };

  it('has the gains 1/(n + 1/4), and the variances 1 + 1/(n - 1 + 1/4)', () => {
    const gains = [0.8, 0.4444444444, 0.3076923077, 0.2352941176, 0.1904761905];
    for (const [i, gain] of gains.entries()) near(gainOf(policy, i + 1), gain, 1e-10);
    const misses = missesOf(policy, 2);
    for (const [i, variance] of [5, 1.8, 1.4444444444, 1.3076923077, 1.2352941176].entries()) varianceIs(misses, i + 1, variance);
  });

  it.each([
    [1, 0.628906630477],
    [2, 0.949517523748],
    [3, 0.99514902126],
    [4, 0.999610467427],
  ])('has landed within twice the fresh by attempt %d with the chance %d', (n, chance) => {
    const landed = missesOf(policy, 2, 2).filter((misses) => misses.slice(0, n).some((miss) => Math.abs(miss) <= 2)).length;
    near(landed / VEHICLES, chance, 4 * Math.sqrt((chance * (1 - chance)) / VEHICLES));
  });
});

describe('the program left as it is, what stands twice as wide as what is fresh', () => {
  it('has landed within twice the fresh in two attempts with the chance of two flights of one vehicle', () => {
    const landed = missesOf({ kind: 'keep' }, 2, 2).filter((misses) => misses.slice(0, 2).some((miss) => Math.abs(miss) <= 2)).length;
    near(landed / VEHICLES, 0.76389382424, 4 * Math.sqrt((0.7639 * 0.2361) / VEHICLES));
  });
});

describe('a constant gain G', () => {
  it.each([
    [0.2, 1.0656],
    [0.5, 1.3125],
    [1, 2],
    [1.5, 3.8125],
  ])('%d of mere chance adds up to a variance of %d after two corrections', (gain, variance) => {
    varianceIs(missesOf({ kind: 'correct', gain }, 0), 3, variance);
  });

  it('leaves (1 - G)^n of an offset', () => {
    for (const [gain, left] of [
      [0.1, 0.59049],
      [0.5, 0.03125],
      [0.8, 0.00032],
      [1.5, -0.03125],
    ]) {
      near(flySynthetic({ kind: 'correct', gain }, 1, new Array<number>(6).fill(0)).misses[5], left, 1e-12);
    }
  });

  it('moves no further than the rule’s constant may', () => {
    const { shifts } = flySynthetic({ kind: 'correct', gain: 1 }, 3, [0, 0, 0], { low: -2, high: 1 });
    expect(shifts).toEqual([0, -2, -2]);
  });
});
