/** Tuning a rule of the demo with few flights: what it promises, not how well it finds (searchConstants.test.ts). */
import { describe, expect, it } from 'vitest';
import { tuneRule } from '../../../src/analysis/tune/tuneRule.ts';
import { UserError } from '../../../src/errors.ts';
import type { OpenedStudy } from '../../../src/study/load.ts';
import type { Study } from '../../../src/study/study.ts';
import { coarseStudy } from '../../helpers/studyForTests.ts';

const demo = coarseStudy();
const opened = (study: Study): OpenedStudy => ({ study, warnings: [], foretold: [], text: `title: ${study.title}\n` });
const withRule = (kind: string, constants: Record<string, number>): OpenedStudy =>
  opened(coarseStudy({ rules: [{ name: 'mine', kind, constants, lead: 0.11, tiltGuard: 0.6, insideTick: false }] }));
const BUDGET = 3000;

describe('tuning', { timeout: 180_000 }, () => {
  it('mends constants that are far off, says so from flights it did not choose on, the same with any threads and chunks', async () => {
    const study = withRule('fixedHeight', { height: 3 });
    const { tuning } = await tuneRule(study, { budget: BUDGET, threads: 2 });
    const { fresh, map } = tuning;
    if (fresh === null || map === null) throw new Error('unfinished');
    expect(tuning.finished).toBe(true);
    expect(tuning.present).toEqual({ height: 3 });
    // The demo's peak lies near 7 m and is a metre wide either side; 3 m lands less than one in twenty.
    expect(Math.abs(tuning.best.constants.height - 7)).toBeLessThan(1.2);
    expect(fresh.pair.interval?.[0]).toBeGreaterThan(0.1);
    expect(fresh.pair.p).toBeLessThan(1e-6);
    expect(fresh.best.odds.flights).toBe(fresh.flights);
    expect(fresh.best.fired).toBeGreaterThan(0.9 * fresh.flights);
    expect(fresh.seed).not.toBe(tuning.searchSeed);
    expect([fresh.seed, tuning.searchSeed]).not.toContain(demo.seed);
    expect(tuning.flown).toBeLessThanOrEqual(BUDGET);
    expect(tuning.flown).toBeGreaterThan(0.9 * BUDGET);
    // The flat region holds the best, and what it says of a constant its points say.
    const flat = map.points.filter(({ verdict }) => verdict !== 'worse').map(({ constants }) => constants.height);
    expect(map.alike.height).toEqual({ low: Math.min(...flat), high: Math.max(...flat) });
    expect(map.points.filter(({ verdict }) => verdict === 'best').map(({ constants }) => constants)).toEqual([tuning.best.constants]);
    expect(map.points).toHaveLength(17);
    expect(JSON.parse(JSON.stringify(tuning))).toEqual(tuning);
    const again = await tuneRule(study, { budget: BUDGET, threads: 1, chunk: 7 });
    expect(again.tuning).toEqual(tuning);
  });

  it('counts that a rule never fires', async () => {
    const bounds = { c1: { low: 0.24, high: 0.24 } };
    const { tuning } = await tuneRule(withRule('apogeeLine', { c0: -400, c1: 0.24 }), { budget: BUDGET, bounds });
    expect(tuning.fresh?.present.fired).toBe(0);
    expect(tuning.fresh?.best.fired).toBeGreaterThan(0);
    expect(tuning.best.constants.c1).toBe(0.24);
    expect(tuning.free.map(({ key }) => key)).toEqual(['c0']);
  });

  it('makes a quantile of sink speed small when asked, within bounds, and says when the best lies on one', async () => {
    const { tuning } = await tuneRule(withRule('fixedHeight', { height: 3 }), {
      budget: BUDGET,
      aim: { kind: 'sink', quantile: 0.5 },
      bounds: { height: { low: 0, high: 4.5 } },
    });
    const { fresh, good } = tuning;
    expect(good?.kind).toBe('sink');
    const [best, present] = [fresh?.best.sink?.value ?? Number.NaN, fresh?.present.sink?.value ?? Number.NaN];
    expect(best).toBeLessThan(present - 1);
    expect(fresh?.best.sink?.interval?.[0]).toBeLessThanOrEqual(best);
    expect(fresh?.best.sink?.interval?.[1]).toBeGreaterThanOrEqual(best);
    expect(tuning.onBounds).toEqual([{ key: 'height', at: 4.5, side: 'high', own: false }]);
    expect(tuning.rounds.every((round) => round.candidates.every(({ constants }) => constants.height <= 4.5))).toBe(true);
    expect(tuning.map?.points.every(({ constants }) => constants.height <= 4.5)).toBe(true);
  });

  it('keeps the best so far when interrupted', async () => {
    const stop = new AbortController();
    const { tuning } = await tuneRule(withRule('fixedHeight', { height: 4 }), {
      budget: BUDGET,
      stopSignal: stop.signal,
      onProgress: ({ done }) => {
        if (done > 600) stop.abort();
      },
    });
    expect(tuning.finished).toBe(false);
    expect(tuning.rounds).toHaveLength(2);
    expect(tuning.bestIs).toBe('surface');
    expect([tuning.fresh, tuning.map]).toEqual([null, null]);
    expect(Math.abs(tuning.best.constants.height - 7)).toBeLessThan(3);
  });

  it('refuses bounds and budgets that do not fit, all at once', async () => {
    const study = withRule('apogeeLine', { c0: -3, c1: 0.24 });
    const wrong = tuneRule(study, { bounds: { c2: { low: 0, high: 1 }, c0: { low: 1, high: -1 }, c1: { low: 0, high: 50 } } });
    const error = await wrong.then(
      () => null,
      (e: unknown) => e,
    );
    expect(error).toBeInstanceOf(UserError);
    expect((error as UserError).problems).toHaveLength(3);
    await expect(tuneRule(study, { budget: 100 })).rejects.toThrow(/takes at least/);
    const held = { c0: { low: 0, high: 0 }, c1: { low: 0, high: 0 } };
    await expect(tuneRule(study, { bounds: held })).rejects.toThrow(/leave at least one/);
    await expect(tuneRule(study, { rule: 'none' })).rejects.toThrow(UserError);
  });
});
