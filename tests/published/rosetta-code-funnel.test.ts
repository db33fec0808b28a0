/**
 * W. E. Deming's funnel (Out of the Crisis, ch. 11): the hundred drops along one axis, and what they come to by his first
 * two rules, as Rosetta Code, task "Deming's funnel", lists and prints them (four decimals). Rule 1 leaves the funnel
 * where it is; rule 2 moves it from where it is by the whole of each miss. Dropped through the real course of a campaign.
 */
import { describe, expect, it } from 'vitest';
import type { Policy } from '../../src/flight/policy.ts';
import { near } from '../helpers/near.ts';
import { flySynthetic } from '../helpers/syntheticVehicle.ts';

const DROPS = `-.533 .27 .859 -.043 -.205 -.127 -.071 .275 1.251 -.231 -.401 .269 .491 .951 1.15 .001 -.382 .161 .915 2.08
  -2.337 .034 -.126 .014 .709 .129 -1.093 -.483 -1.193 .02 -.051 .047 -.095 .695 .34 -.182 .287 .213 -.423 -.021 -.134 1.798
  .021 -1.099 -.361 1.636 -1.134 1.315 .201 .034 .097 -.17 .054 -.553 -.024 -.181 -.7 -.361 -.789 .279 -.174 -.009 -.323
  -.658 .348 -.528 .881 .021 -.853 .157 .648 1.774 -1.043 .051 .021 .247 -.31 .171 0 .106 .024 -.386 .962 .765 -.125 -.289
  .521 .017 .281 -.749 -.149 -2.436 -.909 .394 -.113 -.598 .443 -.521 -.799 .087`
  .trim()
  .split(/\s+/)
  .map(Number);

const ALL: Policy = { kind: 'correct', gain: 1 };

function meanAndDeviation(values: readonly number[]): readonly [number, number] {
  const mean = values.reduce((sum, x) => sum + x, 0) / values.length;
  return [mean, Math.sqrt(values.reduce((sum, x) => sum + (x - mean) ** 2, 0) / values.length)];
}

describe('the funnel', () => {
  it.each([
    ['rule 1', { kind: 'keep' } as Policy, 0.0004, 0.7153],
    ['rule 2', ALL, 0.0009, 1.0371],
  ] as const)('%s', (_, policy, mean, deviation) => {
    expect(DROPS.length).toBe(100);
    const [ownMean, ownDeviation] = meanAndDeviation(flySynthetic(policy, 0, DROPS).misses);
    near(ownMean, mean, 0.00005);
    near(ownDeviation, deviation, 0.00005);
  });
});

// Not printed there: the same drops from a funnel that starts beside the target, by arithmetic.
describe('the same drops, begun 1 beside the target', () => {
  it('come to the target by the harmonic rule, and nearly by a fifth of each miss', () => {
    const harmonic = flySynthetic({ kind: 'harmonic' }, 1, DROPS);
    for (const [i, miss] of [0.467, 0.803, 0.9905, -0.2416666667, -0.34325].entries()) near(harmonic.misses[i], miss, 1e-10);
    near(1 + harmonic.shifts[99] - harmonic.misses[99] / 100, -0.0004, 1e-12);
    const fifth = flySynthetic({ kind: 'correct', gain: 0.2 }, 1, DROPS);
    for (const [i, miss] of [0.467, 1.1766, 1.53028, 0.322224].entries()) near(fifth.misses[i], miss, 1e-10);
    // A setting that forgets by a fifth at each drop: 0.8^100 of the beginning, and a fifth of each drop since.
    const setting = DROPS.reduce((before, drop) => 0.8 * before - 0.2 * drop, 1);
    near(1 + fifth.shifts[99] - 0.2 * fifth.misses[99], setting, 1e-12);
  });
});
