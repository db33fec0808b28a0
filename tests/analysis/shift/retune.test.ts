/**
 * Real flights, few of them: what is shifted, what it costs, and that what flies afterwards is a study like any other.
 */
import { describe, expect, it } from 'vitest';
import { compareRules } from '../../../src/analysis/compare/compareRules.ts';
import { flyStudy } from '../../../src/analysis/fly/flyStudy.ts';
import { retuneBudget } from '../../../src/analysis/shift/retune.ts';
import type { OpenedStudy } from '../../../src/study/load.ts';
import type { Study } from '../../../src/study/study.ts';
import { coarseStudy } from '../../helpers/studyForTests.ts';

const demo = coarseStudy();
const opened = (changes: Partial<Study>): OpenedStudy => ({
  study: coarseStudy(changes),
  warnings: [],
  foretold: [],
  text: 'title: made by a test\n',
});
/** The replay takes some four metres off the error that the demo's constants absorb: they are stale then. */
const replayed = { phases: { ...demo.phases, replay: true }, flights: 600 };

describe('retuned', () => {
  it('a change that only made the constants stale is seen as stale, and as no loss once they follow', async () => {
    const [asProgrammed, retuned] = [await flyStudy(opened(replayed)), await flyStudy(opened(replayed), { retune: true })];
    expect(asProgrammed.summary.heightMiss?.stale).toBe(true);
    expect(asProgrammed.summary.heightMiss?.median).toBeLessThan(-2);
    expect(retuned.summary.heightMiss?.stale).toBe(false);
    const { shift, from, to, interval, flat, flights, nominalFlights } = retuned.summary.retuned ?? expect.fail('not retuned');
    // some three and a half metres higher, give or take what 79 flights leave open
    expect(shift).toBeGreaterThan(2);
    expect(shift).toBeLessThan(5.5);
    expect(to - from).toBeCloseTo(shift, 6);
    expect(interval[0]).toBeLessThanOrEqual(interval[1]);
    expect(flat[0]).toBeLessThanOrEqual(flat[1]);
    expect(flights + nominalFlights).toBeLessThanOrEqual(0.2 * 600);
    // from about 8 of 100 to about 40: of 600 flights each, far beyond luck
    expect(retuned.summary.odds.landed).toBeGreaterThan(3 * asProgrammed.summary.odds.landed);
    expect(retuned.summary.overrides).toEqual([`rules.fixed height.height=${to}`]);
  });

  it('the demo as it is is not called stale', async () => {
    const { heightMiss } = (await flyStudy(opened({ flights: 600 }))).summary;
    expect(heightMiss).toMatchObject({ stale: false });
  });

  it('flies what a study with those constants flies, whatever the threads', async () => {
    const { summary } = await flyStudy(opened({ flights: 500 }), { retune: true, threads: 1, chunk: 37 });
    expect((await flyStudy(opened({ flights: 500 }), { retune: true, threads: 2 })).summary).toEqual(summary);
    const to = summary.retuned?.to ?? Number.NaN;
    const rules = demo.rules.map((rule, i) => (i === 0 ? { ...rule, constants: { height: to } } : rule));
    const { odds, causes } = (await flyStudy(opened({ flights: 500, rules }))).summary;
    expect({ odds, causes }).toEqual({ odds: summary.odds, causes: summary.causes });
  });

  it('moves each rule of a comparison by its own constant', async () => {
    const { comparison } = await compareRules(opened({ flights: 500, rules: demo.rules.slice(0, 2) }), { retune: true });
    expect(comparison.rules.map(({ retuned }) => [retuned?.rule, retuned?.constant])).toEqual([
      ['fixed height', 'height'],
      ['apogee line', 'c0'],
    ]);
    expect(comparison.overrides).toHaveLength(2);
  });
});

describe('the budget', () => {
  it('is a fifth of what is asked for, and never more than 2,000', () => {
    expect([500, 1000, 10_000, 1e6].map(retuneBudget)).toEqual([100, 200, 2000, 2000]);
  });

  it('refuses too few flights in one line', () => {
    expect(() => retuneBudget(499)).toThrow('--flights: read 499; retuning needs at least 500');
  });
});
