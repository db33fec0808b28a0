/** What to do is said first, and no more than the numbers allow. */
import { describe, expect, it } from 'vitest';
import { fixedStatements } from '../../src/analysis/compare/rulePair.ts';
import { attemptPlan } from '../../src/analysis/fly/attemptPlan.ts';
import { causes } from '../../src/analysis/fly/causes.ts';
import { odds } from '../../src/analysis/fly/odds.ts';
import { OUTCOMES, type Outcome } from '../../src/flight/outputs.ts';
import { compareOpening, dropsOpening, flyOpening, tuningOpening } from '../../src/report/openings.ts';
import type { PairCounts } from '../../src/statistics/proportions/paired.ts';

const flown = (ends: Partial<Record<Outcome, number>>, stale: number | null = null): string => {
  const counts = OUTCOMES.map((outcome) => ends[outcome] ?? 0);
  const found = odds(counts, 0.95);
  const answers = { odds: found, attempts: attemptPlan(found), causes: causes(counts, 0.95) } as unknown as Parameters<
    typeof flyOpening
  >[0];
  const miss = stale === null ? null : ({ stale: true, median: stale } as unknown as Parameters<typeof flyOpening>[1]);
  return flyOpening(answers, miss);
};

describe('flights', () => {
  it('plan attempts and name the failures as far as their order is sure', () => {
    expect(flown({ landed: 4000, slid: 5000, leaned: 1000 })).toBe(
      'Plan 5 attempts, each with its pair of motors, for a first landing with 90 % odds, and look first at “slid”, the most frequent failure. 40.0 % of simulated flights land (95 % interval 39.0 to 41.0 %).',
    );
    expect(flown({ landed: 40, slid: 31, leaned: 29 })).toMatch(
      /^Plan 5 attempts \(4 to 7\), .* “slid” and “leaned”, the most frequent failures in an order that may be luck\. 40 %/,
    );
    expect(flown({ landed: 50 })).toMatch(/^Plan 1 attempt, each with its pair of motors, for a first landing with 90 % odds\. All 50 /);
  });

  it('that hardly land promise nothing', () => {
    expect(flown({ slid: 100 })).toMatch(/^Do not fly it as it is, and look first at “slid”, the most frequent failure\. None of 100 /);
    expect(flown({ landed: 100, slid: 300 }, -1.2)).toMatch(/^Move the rule’s height first: .* a rule that lights too low\. 25 %/);
    expect(flown({ 'no result': 7 })).toBe('None of 7 flights has a result: nothing can be said about landing.');
    expect(flown({ landed: 1 })).toMatch(/^One flight alone says little/);
  });
});

const compared = (counts: readonly PairCounts[], pairs: readonly (readonly [string, string])[], verdict?: 'alike'): string => {
  const statements = fixedStatements(counts, 1000);
  const rules = [...new Set(pairs.flat())].map((rule) => ({ rule }));
  return compareOpening({
    designs: null,
    flights: 1000,
    rules,
    pairs: pairs.map(([first, second], i) => ({
      first,
      second,
      statement: { ...statements[i], ...(verdict === undefined ? {} : { verdict }) },
    })),
  } as unknown as Parameters<typeof compareOpening>[0]);
};
const pair = (firstOnly: number, secondOnly: number): PairCounts => ({
  both: 300,
  firstOnly,
  secondOnly,
  neither: 700 - firstOnly - secondOnly,
});

describe('a comparison', () => {
  it('names the one to fly, the ones to leave out, or that nothing is seen', () => {
    expect(compared([pair(100, 20)], [['line', 'fixed']])).toMatch(
      /^Fly line: line lands 8\.0 points more often than fixed \(95 % interval /,
    );
    const three = [
      ['line', 'fixed'],
      ['line', 'curve'],
      ['fixed', 'curve'],
    ] as const;
    expect(compared([pair(100, 20), pair(30, 28), pair(20, 100)], three)).toMatch(
      /^Leave out fixed: (line|curve) lands 8\.0 points more often than fixed .*; of line and curve none is shown to land less than another\.$/,
    );
    expect(compared([pair(31, 30), pair(30, 28), pair(29, 30)], three)).toBe(
      'Change no rule for what is seen here: 1,000 flights each show no difference in landings beyond chance between any two of 3.',
    );
    expect(compared([pair(31, 30)], [['line', 'fixed']], 'alike')).toMatch(/^Take whichever rule you like best: all land alike/);
  });
});

const tuned = (interval: [number, number] | null, present = 7): Parameters<typeof tuningOpening>[0] => {
  const counts = OUTCOMES.map((outcome) => (outcome === 'landed' ? 400 : outcome === 'slid' ? 600 : 0));
  return {
    rule: 'fixed',
    best: { constants: { height: 6.6 } },
    present: { height: present },
    finished: true,
    free: [{ key: 'height', unit: 'm' }],
    good: { kind: 'landed' },
    fresh: {
      best: { odds: odds(counts, 0.95) },
      pair: { difference: interval === null ? null : (interval[0] + interval[1]) / 2, interval },
    },
  } as unknown as Parameters<typeof tuningOpening>[0];
};

describe('a tuning', () => {
  it('says to change only what fresh flights show to gain', () => {
    expect(tuningOpening(tuned([0.01, 0.03]))).toMatch(
      /^Change fixed \(height 7\.00 to 6\.60 m\): it gains 2\.0 \(1\.0 to 3\.0\) points of landings on fresh flights; 40\.0 % .* fresh flights land\.$/,
    );
    expect(tuningOpening({ ...tuned([0.01, 0.03]), good: { kind: 'sink', most: 2.5 } })).toMatch(
      / 2\.0 \(1\.0 to 3\.0\) points of touchdowns no harder than 2\.50 m\/s on /,
    );
    expect(tuningOpening(tuned([-0.01, 0.01]))).toMatch(/^Keep the constants of fixed, or change them .* not told apart/);
    expect(tuningOpening(tuned([-0.03, -0.01]))).toMatch(/^Keep the constants of fixed: on fresh flights what the search found /);
    expect(tuningOpening(tuned([0.01, 0.03], 6.6))).toMatch(/^Keep the constants of fixed: the search found none better/);
    expect(tuningOpening(tuned(null))).toMatch(/^Nothing is shown of fixed changed/);
    expect(tuningOpening({ ...tuned([0, 0]), fresh: null, finished: false })).toMatch(
      /^Nothing is known yet .* interrupted: the best so far\.$/,
    );
  });
});

describe('drops', () => {
  const said = (stands: number, soft: number): string =>
    dropsOpening({
      drops: new Array(11).fill({}),
      nominal: { commandHeight: 13.24 },
      verdict: { stands, soft, bestSink: 7.1, sinkLimit: 3 },
    } as unknown as Parameters<typeof dropsOpening>[0]);

  it('say whether there is anything to tune', () => {
    expect(said(11, 11)).toMatch(/^Begin with the constants below: from each of 11 drops .* lit at 13\.2 m true height/);
    expect(said(4, 6)).toMatch(/^Begin with .* it can land from 4 of 11 drops/);
    expect(said(0, 2)).toMatch(/^Mend the touchdown before any rule: 2 of 11 drops /);
    expect(said(0, 0)).toMatch(/^Change the landing motor, .* touches down at 7\.10? m\/s, over the limit of 3(\.00)? m\/s\.$/);
  });
});
