/** Real flights, few of them: each test flies some dozens, the one across a block's end a thousand by two rules. */
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { type CompareOptions, compareRules, rivals } from '../../../src/analysis/compare/compareRules.ts';
import { flyStudy } from '../../../src/analysis/fly/flyStudy.ts';
import { OUTCOMES } from '../../../src/flight/outputs.ts';
import { openFlights } from '../../../src/results/reader.ts';
import type { OpenedStudy } from '../../../src/study/load.ts';
import type { Study } from '../../../src/study/study.ts';
import { coarseStudy } from '../../helpers/studyForTests.ts';

const root = mkdtempSync(join(tmpdir(), 'alight-compare-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

const opened = (changes: Partial<Study>): OpenedStudy => ({
  study: coarseStudy(changes, 25),
  warnings: [],
  foretold: [],
  text: 'title: made by a test\n',
});
const [fixedHeight, apogeeLine, speedCurve] = coarseStudy().rules;

describe('rivals', () => {
  const study = coarseStudy();

  it('are all of the study’s rules, or those named in that order', () => {
    expect(rivals(study, undefined)).toEqual(['fixed height', 'apogee line', 'speed curve']);
    expect(rivals(study, ['speed curve', 'fixed height'])).toEqual(['speed curve', 'fixed height']);
  });

  it.each([
    [
      ['apogee lime', 'fixed height', 'fixed height'],
      '--rules: read "apogee lime"; expected names of the study\'s rules: fixed height, apogee line, speed curve. Did you mean "apogee line"?\n--rules: "fixed height" stands there twice',
    ],
    [['fixed height'], 'a comparison needs two rules or more: read "fixed height" alone'],
    [[], 'a comparison needs two rules or more: read none'],
  ])('refuse %o', (names, message) => {
    expect(() => rivals(study, names)).toThrow(message);
  });

  it('refuse a study of one rule', () => {
    expect(() => rivals(coarseStudy({ rules: [fixedHeight] }), undefined)).toThrow(
      'a comparison needs two rules or more: the study has one rule, fixed height',
    );
  });
});

describe('compareRules', () => {
  it('flies the same luck by every rule, the flights that fly flies', async () => {
    const study = opened({ flights: 60 });
    const { comparison } = await compareRules(study);
    expect(comparison).toMatchObject({ flights: 60, stoppedBy: 'limit', untilResolved: null, lost: [], across: [] });
    for (const { rule, odds, causes, touchdown } of comparison.rules) {
      const alone = (await flyStudy(study, { rule })).summary;
      expect({ odds, causes, touchdown }).toEqual({ odds: alone.odds, causes: alone.causes, touchdown: alone.touchdown });
    }
    expect(comparison.pairs.map(({ first, second }) => [first, second])).toEqual([
      ['fixed height', 'apogee line'],
      ['fixed height', 'speed curve'],
      ['apogee line', 'speed curve'],
    ]);
    comparison.pairs.forEach(({ counts, first }, p) => {
      expect(counts.both + counts.firstOnly + counts.secondOnly + counts.neither).toBe(60);
      expect(counts.both + counts.firstOnly).toBe(comparison.rules.find((r) => r.rule === first)?.odds.landed);
      expect(comparison.discordant[p].firstOnly).toHaveLength(counts.firstOnly);
      expect(comparison.discordant[p].secondOnly).toHaveLength(counts.secondOnly);
    });
  });

  it('gives the same bytes on one thread and two, whatever the chunks, also past the end of a block', async () => {
    const names = ['flights.arrow', 'comparison.json', 'across.arrow', 'study.yaml'];
    const study = opened({ flights: 1030, rules: [fixedHeight, apogeeLine] });
    const fly = async (name: string, options: CompareOptions): Promise<Buffer[]> => {
      const out = join(root, name);
      await compareRules(study, { across: ['wind.speed'], ...options, out });
      expect(readdirSync(out).sort()).toEqual([...names, 'run.json'].sort());
      return names.map((file) => readFileSync(join(out, file)));
    };
    const one = await fly('one', { threads: 1, chunk: 97 });
    const two = await fly('two', { threads: 2 });
    names.forEach((_, i) => {
      expect(one[i].equals(two[i])).toBe(true);
    });

    const file = await openFlights(join(root, 'one', 'flights.arrow'));
    try {
      const [flight, rule, outcome, speed] = file.numbers(['flight', 'rule', 'outcome', 'wind.speed']);
      // A block of a thousand by each rule in turn, then the rest.
      const turns = [
        [0, 1, 1000],
        [1, 1, 1000],
        [0, 1001, 30],
        [1, 1001, 30],
      ].flatMap(([r, first, count]) => Array.from({ length: count }, (_, i) => [r, first + i]));
      expect(Array.from(rule, (r, i) => [r, flight[i]])).toEqual(turns);
      expect(speed.slice(0, 1000)).toEqual(speed.slice(1000, 2000));
      const landed = (r: number): number[] =>
        Array.from(flight).filter((_, i) => rule[i] === r && outcome[i] === OUTCOMES.indexOf('landed'));
      const comparison = JSON.parse(one[1].toString());
      const second = new Set(landed(1));
      expect(comparison.discordant[0].firstOnly).toEqual(landed(0).filter((n) => !second.has(n)));
      expect(comparison.pairs[0].statement.difference).toBeCloseTo((landed(0).length - landed(1).length) / 1030, 12);
    } finally {
      await file.close();
    }
  }, 180_000);

  it('stops at the first look at which every pair is decided', async () => {
    const hopeless = { ...fixedHeight, name: 'too high', constants: { height: 40 } };
    const study = opened({ flights: 30_000, rules: [apogeeLine, hopeless] });
    const { comparison } = await compareRules(study, { untilResolved: true, margin: 0.01 });
    expect(comparison).toMatchObject({ flights: 2000, stoppedBy: 'decided', flightsAsked: 30_000 });
    // Twenty looks at most.
    expect(comparison.untilResolved).toEqual({ margin: 0.01, lookEvery: 2000 });
    expect(comparison.pairs[0].statement).toMatchObject({ procedure: 'groupSequential', flights: 2000, verdict: 'first', level: 0.95 });
  });

  it('at the end of the budget says that a pair is open', async () => {
    const { comparison } = await compareRules(opened({ flights: 40, rules: [apogeeLine, speedCurve] }), { untilResolved: true });
    expect(comparison).toMatchObject({ flights: 40, stoppedBy: 'limit' });
    expect(comparison.pairs[0].statement).toMatchObject({ procedure: 'groupSequential', flights: 40, verdict: 'open' });
  });

  it('counts the flights in which a rule never fires', async () => {
    const shy = { ...fixedHeight, name: 'shy', tiltGuard: 1e-6 };
    const { comparison } = await compareRules(opened({ flights: 20, rules: [apogeeLine, shy] }));
    expect(comparison.rules.map((r) => r.neverFired)).toEqual([0, 20]);
    expect(comparison.rules[1].odds.landed).toBe(0);
  });

  it('interrupted, compares the flights that every rule flew and keeps the rest in the file', async () => {
    const out = join(root, 'interrupted');
    const stop = new AbortController();
    const { comparison } = await compareRules(opened({ flights: 400, rules: [fixedHeight, apogeeLine] }), {
      out,
      threads: 1,
      chunk: 10,
      stopSignal: stop.signal,
      across: ['wind.speed'],
      onProgress: ({ done, limit }) => {
        expect(limit).toBe(800);
        if (done >= 430) stop.abort();
      },
    });
    const { flights } = comparison;
    // Chunks that the worker ended before it saw the stop count too: at most the two that were out.
    expect([30, 40, 50]).toContain(flights);
    expect(comparison.stoppedBy).toBe('interrupted');
    expect(comparison.rules.map((r) => r.odds.flights)).toEqual([flights, flights]);
    expect(comparison.pairs[0].statement.flights).toBe(flights);
    const file = await openFlights(join(out, 'flights.arrow'));
    expect(file.rows).toBe(400 + flights);
    await file.close();
  });

  it('interrupted before any flight, says that nothing can be said', async () => {
    const stop = new AbortController();
    stop.abort();
    const { comparison } = await compareRules(opened({ flights: 10 }), {
      stopSignal: stop.signal,
      across: ['wind.speed'],
      untilResolved: true,
    });
    expect(comparison).toMatchObject({ flights: 0, stoppedBy: 'interrupted', across: [] });
    expect(comparison.pairs[0]).toMatchObject({ attempts: null, luck: null, statement: { difference: null, verdict: 'open' } });
  });

  it('refuses before it flies or makes a folder', async () => {
    const out = join(root, 'refused');
    await expect(compareRules(opened({}), { out, across: ['site.elevation'] })).rejects.toThrow('--across: read "site.elevation"');
    await expect(compareRules(opened({}), { out, rules: ['fixed height'] })).rejects.toThrow('two rules or more');
    await expect(compareRules(opened({}), { out, margin: 0.01 })).rejects.toThrow('--margin: only --until-resolved');
    expect(readdirSync(root)).not.toContain('refused');
  });
});
