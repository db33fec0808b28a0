import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { compareVariants } from '../../../src/analysis/designs/compareVariants.ts';
import { flyStudy } from '../../../src/analysis/fly/flyStudy.ts';
import { readResults } from '../../../src/analysis/read/readResults.ts';
import { openVariant } from '../../../src/study/openVariant.ts';

const root = mkdtempSync(join(tmpdir(), 'alight-designs-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));
const STUDY = 'studies/thistledown.yaml';

describe('compareVariants', () => {
  it('flies what each variant flies alone, and pairs flights of one number', async () => {
    const out = join(root, 'pair');
    const overrides = ['flights=60'];
    const { comparison } = await compareVariants(STUDY, { variants: ['replay'], asProgrammed: true, overrides, out });
    expect(comparison.designs).toMatchObject([
      { name: 'base', variant: 'base', rule: 'fixed-height', from: null, replacements: [] },
      { name: 'replay', variant: 'replay', rule: 'fixed-height', from: null, replacements: ['phases.replay=on'] },
    ]);
    for (const { rule, odds, touchdown } of comparison.rules) {
      const alone = (await flyStudy((await openVariant(STUDY, rule, { set: overrides })).opened)).summary;
      expect({ odds, touchdown }).toEqual({ odds: alone.odds, touchdown: alone.touchdown });
      expect(comparison.designs?.find(({ name }) => name === rule)?.studyHash).toBe(alone.studyHash);
    }
    const [pair] = comparison.pairs;
    expect(pair).toMatchObject({ first: 'base', second: 'replay' });
    expect(pair.counts.both + pair.counts.firstOnly).toBe(comparison.rules[0].odds.landed);
    expect(readdirSync(out).sort()).toEqual(['comparison.json', 'run.json', 'study.yaml']);
    expect((await readResults([out])).found.comparison).toEqual(comparison);
  });

  it('shows across an input how each variant fares, in bins of the first one’s values', async () => {
    const { comparison } = await compareVariants(STUDY, {
      variants: ['base', 'light'],
      asProgrammed: true,
      across: ['airframe.mass', 'wind.speed'],
      overrides: ['flights=90'],
    });
    expect(comparison.across.map(({ input }) => input)).toEqual(['airframe.mass', 'wind.speed']);
    for (const { bins } of comparison.across) {
      expect(bins.reduce((sum, { flights }) => sum + flights, 0)).toBe(90);
      for (const [i, { rule, odds }] of comparison.rules.entries()) {
        expect(bins.map(({ rules }) => rules[i].rule)).toEqual(bins.map(() => rule));
        expect(bins.reduce((sum, { rules }) => sum + rules[i].landed, 0)).toBe(odds.landed);
      }
    }
    // The base's masses, about 930 g; the other variant's are 50 g less.
    expect(comparison.across[0].bins[0].low).toBeGreaterThan(0.89);
  });

  it('compares designs within each rule asked for, and no others', async () => {
    const rules = ['fixed-height', 'apogee-line'];
    const { comparison } = await compareVariants(STUDY, {
      variants: ['replay', 'light'],
      rules,
      asProgrammed: true,
      overrides: ['flights=20'],
    });
    expect(comparison.rules.map(({ rule }) => rule)).toEqual([
      'replay, fixed-height',
      'light, fixed-height',
      'replay, apogee-line',
      'light, apogee-line',
    ]);
    expect(comparison.pairs.map(({ first, second }) => [first, second])).toEqual([
      ['replay, fixed-height', 'light, fixed-height'],
      ['replay, apogee-line', 'light, apogee-line'],
    ]);
  });

  it('retunes each unless told not to: a variant that only made the constants stale is no longer behind', async () => {
    const { comparison } = await compareVariants(STUDY, { variants: ['base', 'replay'], overrides: ['flights=500'] });
    const [base, replay] = comparison.rules;
    expect(replay.retuned?.shift).toBeGreaterThan(2);
    expect(Math.abs(base.retuned?.shift ?? Number.NaN)).toBeLessThan(2);
    // as programmed it lands 7 of 100 against 40; retuned both land about 40, give or take 3 each and what the search
    // left open
    expect(replay.odds.landed).toBeGreaterThan(0.5 * base.odds.landed);
  });

  it.each([
    [{ variants: ['base'] }, '--variants: read "base" alone; a comparison needs a variant of the study'],
    [{ variants: [] }, '--variants: read none'],
    [{ variants: ['light', 'light'] }, '--variants: "light" stands there twice'],
    [{ variants: ['light'], rules: ['apogee'] }, '--rules: base has no rule "apogee"; it has fixed-height'],
    [{ variants: ['light'], overrides: ['flights=50'] }, '--flights: read 50; retuning needs at least 500'],
  ])('refuses %j before anything is made', async (options, message) => {
    const out = join(root, 'refused');
    await expect(compareVariants(STUDY, { ...options, out })).rejects.toThrow(message);
    expect(readdirSync(root)).not.toContain('refused');
  });
});
