import { describe, expect, it } from 'vitest';
import { RepeatedLooks } from '../../../src/analysis/compare/repeatedLooks.ts';
import {
  fixedStatements,
  lookPlan,
  pairOff,
  realAttempts,
  repeatedStatement,
  type Statement,
} from '../../../src/analysis/compare/rulePair.ts';
import { OUTCOMES, type Outcome } from '../../../src/flight/outputs.ts';
import { stream } from '../../../src/maths/streams.ts';
import { mcnemar, type PairCounts, pairedDifference } from '../../../src/statistics/proportions/paired.ts';
import { trialsPerGroup } from '../../../src/statistics/proportions/sampleSize.ts';

const outcomes = (...names: readonly Outcome[]): Uint8Array => Uint8Array.from(names, (name) => OUTCOMES.indexOf(name));
const pairs = (both: number, firstOnly: number, secondOnly: number, neither: number): PairCounts => ({
  both,
  firstOnly,
  secondOnly,
  neither,
});

describe('pairOff', () => {
  const first = outcomes('landed', 'landed', 'slid', 'lit too low', 'no result', 'landed', 'landed');
  const second = outcomes('landed', 'slid', 'landed', 'lit too high', 'landed', 'no result', 'leaned');

  it('counts pairs, keeps flights without a result out and names those that only one landed', () => {
    expect(pairOff(first, second, 7)).toEqual({
      counts: pairs(1, 2, 1, 1),
      noResult: 2,
      firstOnlyFlights: [2, 7],
      secondOnlyFlights: [3],
    });
  });

  it('stops where it is told', () => {
    expect(pairOff(first, second, 2)).toEqual({ counts: pairs(1, 1, 0, 0), noResult: 0, firstOnlyFlights: [2], secondOnlyFlights: [] });
    expect(() => pairOff(first, second, 8)).toThrow(/fewer than 8/);
  });
});

describe('fixedStatements', () => {
  const clear = pairs(300, 100, 40, 560);
  const faint = pairs(300, 30, 15, 655);
  const none = pairs(300, 20, 21, 659);

  it('takes interval and p from the paired methods, p adjusted over the pairs', () => {
    const p = [clear, faint, none].map((c) => mcnemar(c).exact);
    const found = fixedStatements([clear, faint, none], 1000);
    expect(found.map((s) => s.p)).toEqual(p);
    // Holm by hand: the least p times 3, the next times 2, the last as it is.
    expect(found.map((s) => s.adjustedP)).toEqual([3 * p[0], 2 * p[1], p[2]]);
    expect(found[0]).toMatchObject({ procedure: 'fixed', flights: 1000, level: 0.95, ...pairedDifference(clear, 0.95) });
  });

  it('claims a winner only when interval and adjusted p agree', () => {
    // faint alone: p = 0.036; among three with p 0.036 each it may be luck.
    expect(fixedStatements([faint], 1000)[0].verdict).toBe('first');
    expect(fixedStatements([faint, faint, faint], 1000).map((s) => s.verdict)).toEqual(['hint', 'hint', 'hint']);
    expect(fixedStatements([clear, pairs(300, 40, 100, 560), none], 1000).map((s) => s.verdict)).toEqual(['first', 'second', 'open']);
  });

  it('says nothing without a pair', () => {
    expect(fixedStatements([pairs(0, 0, 0, 0)], 5)[0]).toMatchObject({ difference: null, interval: null, p: 1, verdict: 'open' });
  });
});

describe('repeatedStatement', () => {
  it('shares the error between the comparisons, and is stricter the earlier it looks', () => {
    const counts = pairs(300, 100, 40, 560);
    const found = repeatedStatement(counts, 1000, lookPlan(10_000, 1000, 4), null);
    expect(found.level).toBeCloseTo(0.9875, 15);
    expect(found.adjustedP).toBe(4 * found.p);
    expect(found.verdict).toBe('first');
    const last = repeatedStatement(counts, 1000, lookPlan(1000, 1000, 4), null);
    expect(last.interval).toEqual(pairedDifference(counts, last.level).interval.map((end) => expect.closeTo(end, 6)));
    // One look and no other: McNemar's own p.
    expect(last.p).toBeCloseTo(mcnemar(counts).exact, 12);
    const width = ({ interval }: Statement): number => (interval === null ? 0 : interval[1] - interval[0]);
    expect(width(found)).toBeGreaterThan(1.5 * width(last));
    expect(found.p).toBeGreaterThan(last.p);
  });

  it('calls a pair alike only within a margin that was given', () => {
    const counts = pairs(4000, 20, 22, 5000);
    const plan = lookPlan(20_000, 1000, 1);
    expect(repeatedStatement(counts, 9042, plan, null).verdict).toBe('open');
    expect(repeatedStatement(counts, 9042, plan, 0.02).verdict).toBe('alike');
    expect(repeatedStatement(counts, 9042, plan, 1e-4).verdict).toBe('open');
  });

  /** A comparison looked at ten times: flights at its decision, and whether an interval ever missed the truth. */
  function compared(draw: () => number, first: number, second: number): { at: number | null; missed: boolean } {
    let [f, g, missed] = [0, 0, false];
    let decided: number | null = null;
    for (let n = 1; n <= 1000; n++) {
      const u = draw();
      if (u < first) f++;
      else if (u < first + second) g++;
      if (n % 100 !== 0) continue;
      const { interval, verdict } = repeatedStatement(pairs(n - f - g, f, g, 0), n, TEN_LOOKS, null);
      if (interval !== null) missed ||= interval[0] > first - second || interval[1] < first - second;
      if (verdict !== 'open') decided ??= n;
    }
    return { at: decided, missed };
  }
  const TEN_LOOKS = lookPlan(1000, 100, 1);

  it('finds a difference where there is none in at most 5 % of comparisons, and not in much fewer', () => {
    const draw = stream('looks without a difference');
    let found = 0;
    const trials = 600;
    for (let i = 0; i < trials; i++) if (compared(draw, 0.1, 0.1).at !== null) found++;
    // Interval and exact test must agree, which costs some of the 5 %; two standard errors are 1.8 %.
    expect(found / trials).toBeLessThan(0.05 + 0.018);
    expect(found / trials).toBeGreaterThan(0.012);
  });

  it('holds the true difference over all looks, and decides for it well before the last', () => {
    const draw = stream('looks at a difference');
    const trials = 240;
    const runs = Array.from({ length: trials }, () => compared(draw, 0.18, 0.12));
    // Two standard errors of 5 % are 2.8 %.
    expect(runs.filter(({ missed }) => missed).length / trials).toBeLessThan(0.05 + 0.028);
    const decided = runs.filter(({ at }) => at !== null).length;
    // 18 against 12 of 100: one look at all 1,000 flights has a power of 0.94 (Connor's formula).
    expect(decided / trials).toBeGreaterThan(0.85);
    const mean = runs.reduce((sum, { at }) => sum + (at ?? 1000), 0) / trials;
    expect(mean).toBeLessThan(680);
  });
});

describe('Looks', () => {
  // Of each ten flights: both land 3, only the first 2, neither 5; later the second alone lands all.
  const stretch = (rule: 0 | 1, flights: number): Outcome[] =>
    Array.from({ length: flights }, (_, i) => (i % 10 < 3 || (i % 10 < 5 && rule === 0) ? 'landed' : 'slid'));

  it('keeps the statement of the look at which a pair was decided, whatever comes later', () => {
    const plan = lookPlan(600, 100, 1);
    const looks = new RepeatedLooks([[0, 1]], plan, null);
    const first = outcomes(...stretch(0, 200), ...Array<Outcome>(400).fill('slid'));
    const second = outcomes(...stretch(1, 200), ...Array<Outcome>(400).fill('landed'));
    expect(looks.look([first, second], 10)).toBe(false);
    expect(looks.statements()[0]).toMatchObject({ flights: 10, verdict: 'open', counts: pairs(3, 2, 0, 5) });
    expect(looks.look([first, second], 200)).toBe(true);
    expect(looks.look([first, second], 600)).toBe(true);
    expect(looks.statements()).toEqual([repeatedStatement(pairs(60, 40, 0, 100), 200, plan, null)]);
    expect(looks.statements()[0].verdict).toBe('first');
  });

  it('goes on while any pair is open', () => {
    const looks = new RepeatedLooks(
      [
        [0, 1],
        [0, 2],
        [1, 2],
      ],
      lookPlan(300, 300, 3),
      null,
    );
    const [one, two] = [outcomes(...stretch(0, 300)), outcomes(...stretch(1, 300))];
    expect(looks.look([one, two, two], 300)).toBe(false);
    expect(looks.statements().map((s) => s.verdict)).toEqual(['first', 'first', 'open']);
  });
});

describe('realAttempts', () => {
  const test = { alpha: 0.05, power: 0.8 };
  const plan = (p1: number, p2: number): number => Math.ceil(trialsPerGroup(p1, p2, test, true));

  it('plans for the estimate and for both ends of the interval, about the same mean', () => {
    // 40 % against 34 %, interval 2 to 10 points: mean 37 %.
    expect(realAttempts({ counts: pairs(300, 100, 40, 560), interval: [0.02, 0.1] })).toEqual({
      estimated: plan(0.4, 0.34),
      least: plan(0.42, 0.32),
      most: plan(0.38, 0.36),
    });
    expect(realAttempts({ counts: pairs(300, 40, 100, 560), interval: [-0.1, -0.02] })).toEqual(
      realAttempts({ counts: pairs(300, 100, 40, 560), interval: [0.02, 0.1] }),
    );
  });

  it('names no greatest number when the difference may be none', () => {
    expect(realAttempts({ counts: pairs(300, 21, 21, 658), interval: [-0.02, 0.04] })).toEqual({
      estimated: null,
      least: plan(0.341, 0.301),
      most: null,
    });
    expect(realAttempts({ counts: pairs(0, 0, 0, 0), interval: null })).toBeNull();
  });

  it('stays between 0 and 1 where success is rare', () => {
    // Mean 0.5 %: ends 0 and 4 %.
    expect(realAttempts({ counts: pairs(0, 1, 0, 99), interval: [-0.01, 0.04] })).toMatchObject({ least: plan(0, 0.04), most: null });
  });
});
