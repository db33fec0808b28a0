import { tableFromIPC } from 'apache-arrow';
import { describe, expect, it } from 'vitest';
import { across, checkAcross } from '../../../src/analysis/compare/across.ts';
import { acrossTable } from '../../../src/analysis/compare/acrossTable.ts';
import { UserError } from '../../../src/errors.ts';
import { OUTCOMES, type Outcome } from '../../../src/flight/outputs.ts';
import { answerTable } from '../../../src/results/answerTable.ts';
import { clopperPearson } from '../../../src/statistics/proportions/binomial.ts';
import { pairedDifference } from '../../../src/statistics/proportions/paired.ts';
import { demoStudy, demoStudyWith } from '../../helpers/studyForTests.ts';

const outcomes = (flights: number, of: (flight: number) => Outcome): Uint8Array =>
  Uint8Array.from({ length: flights }, (_, i) => OUTCOMES.indexOf(of(i)));

/**
 * 100 flights in shuffled order of wind 0..99: rule a lands below 50, rule b below 75; flight at wind 10 has no result
 * by b.
 */
const wind = Float64Array.from({ length: 100 }, (_, i) => (i * 37) % 100);
const rules = [
  { rule: 'a', outcome: outcomes(100, (i) => (wind[i] < 50 ? 'landed' : 'slid')) },
  { rule: 'b', outcome: outcomes(100, (i) => (wind[i] === 10 ? 'no result' : wind[i] < 75 ? 'landed' : 'leaned')) },
];

describe('across', () => {
  const found = across('wind.speed', wind, rules);

  it('makes bins of equal counts, as many as keep 30 flights each, ten at most', () => {
    expect(found.bins.map(({ low, high, flights }) => [low, high, flights])).toEqual([
      [0, 33, 34],
      [34, 66, 33],
      [67, 99, 33],
    ]);
    const many = Float64Array.from({ length: 5000 }, (_, i) => i);
    const one = [{ rule: 'a', outcome: outcomes(5000, () => 'landed') }];
    expect(across('wind.speed', many, one).bins.map((bin) => bin.flights)).toEqual(Array(10).fill(500));
    expect(across('wind.speed', many.subarray(0, 7), one).bins).toHaveLength(1);
  });

  it('gives each rule its share of the flights there that have a result', () => {
    expect(found.bins[0].rules[1]).toMatchObject({ rule: 'b', noResult: 1, counted: 33, landed: 33, share: 1 });
    expect(found.bins[1].rules[0]).toMatchObject({
      rule: 'a',
      noResult: 0,
      counted: 33,
      landed: 16,
      interval: clopperPearson(16, 33, 0.95),
    });
    expect(found.bins[2].rules.map((r) => r.landed)).toEqual([0, 8]);
  });

  it('gives the paired difference to the first rule, positive where the other lands more', () => {
    expect(found.bins[1].rules[0].toFirst).toBeNull();
    expect(found.bins[1].rules[1].toFirst).toEqual(pairedDifference({ both: 16, firstOnly: 17, secondOnly: 0, neither: 0 }, 0.95));
    expect(found.bins[0].rules[1].toFirst?.difference).toBe(0);
  });

  it('never parts equal values: a chance has a bin for no and one for yes', () => {
    const fails = Float64Array.from({ length: 100 }, (_, i) => (i % 10 === 0 ? 1 : 0));
    const { bins, yesNo } = across('landing.igniterFails', fails, rules);
    expect(yesNo).toBe(true);
    expect(bins.map(({ low, high, flights }) => [low, high, flights])).toEqual([
      [0, 0, 90],
      [1, 1, 10],
    ]);
    const few = rules.map(({ rule, outcome }) => ({ rule, outcome: outcome.subarray(0, 50) }));
    expect(across('landing.igniterFails', fails.subarray(0, 50), few).bins.map((bin) => bin.flights)).toEqual([45, 5]);
    expect(across('landing.igniterFails', fails.subarray(0, 40), few).bins.map(({ low, high }) => [low, high])).toEqual([[0, 1]]);
  });

  it('survives a bin without any result', () => {
    const none = [rules[0], { rule: 'b', outcome: outcomes(100, () => 'no result') }];
    expect(across('wind.speed', wind, none).bins[0].rules[1]).toMatchObject({ counted: 0, share: null, interval: null, toFirst: null });
  });

  it('becomes a table with a row a bin and rule, missing numbers missing', async () => {
    const table = tableFromIPC(await answerTable('across', acrossTable([found]), { title: 'T' }));
    expect(table.numRows).toBe(6);
    expect(table.schema.metadata.get('alight.table')).toBe('across');
    expect(table.schema.metadata.get('alight.title')).toBe('T');
    const at = (key: string): unknown[] => [...(table.getChild(key) ?? [])];
    expect(at('input')).toEqual(Array(6).fill('wind.speed'));
    expect(at('unit')).toEqual(Array(6).fill('m/s'));
    expect(at('bin')).toEqual([1, 1, 2, 2, 3, 3]);
    expect(at('rule')).toEqual(['a', 'b', 'a', 'b', 'a', 'b']);
    expect(at('landed')).toEqual([34, 33, 16, 33, 0, 8]);
    expect(at('low')).toEqual([0, 0, 34, 34, 67, 67]);
    expect(at('high')).toEqual([33, 33, 66, 66, 99, 99]);
    expect(at('noResult')).toEqual([0, 1, 0, 0, 0, 0]);
    expect(at('shareLow')).toEqual(found.bins.flatMap((bin) => bin.rules.map((r) => r.interval?.[0])));
    expect(at('shareHigh')).toEqual(found.bins.flatMap((bin) => bin.rules.map((r) => r.interval?.[1])));
    expect(at('difference')).toEqual([null, 0, null, 17 / 33, null, 8 / 33]);
    expect(at('differenceHigh')[1]).toBe(found.bins[0].rules[1].toFirst?.interval[1]);
    await expect(answerTable('across', [], {})).rejects.toThrow(RangeError);
  });
});

describe('checkAcross', () => {
  it('takes inputs that vary, each once', () => {
    expect(checkAcross(demoStudy(), ['wind.speed', 'airframe.mass', 'wind.speed'])).toEqual(['wind.speed', 'airframe.mass']);
  });

  it('refuses what is fixed, naming what varies nearby, and what is unknown, naming the nearest: all at once', () => {
    const study = demoStudyWith({ 'wind.gustScale': { kind: 'fixed', value: 1 } });
    let problems: readonly string[] = [];
    try {
      checkAcross(study, ['wind.gustScale', 'wind.sped']);
    } catch (error) {
      if (error instanceof UserError) problems = error.problems;
    }
    expect(problems).toEqual([
      '--across: wind.gustScale does not vary in this study; nearest that do: wind.speed, wind.direction',
      '--across: read "wind.sped"; expected an input (alight inputs lists them). Did you mean "wind.speed"?',
    ]);
    expect(() => checkAcross(demoStudy({ inputs: {} }), ['wind.speed'])).toThrow('wind.speed does not vary in this study; no input does');
  });
});
