/** Fixes step by step until a wish is met: chosen on one luck, reported on another, and an end that is true. */
import { describe, expect, it } from 'vitest';
import { candidatesOf } from '../../../src/analysis/rank/candidates.ts';
import { type ClimbOptions, climb } from '../../../src/analysis/rank/climb.ts';
import { readFix } from '../../../src/analysis/rank/fixes.ts';
import { rankFixes } from '../../../src/analysis/rank/rankFixes.ts';
import { groupSubjects, noiseSubjects } from '../../../src/analysis/rank/rankSubjects.ts';
import { staircaseSchema } from '../../../src/analysis/read/staircaseSchema.ts';
import { staircaseText } from '../../../src/cli/staircaseText.ts';
import { outcomeMeaning } from '../../../src/flight/outcomeMeanings.ts';
import { staircaseOpening } from '../../../src/report/staircaseWords.ts';
import type { OpenedStudy } from '../../../src/study/load.ts';
import { coarseStudy, demoStudy } from '../../helpers/studyForTests.ts';

/** Hardly any spread, but an igniter that fails on three flights of ten and a casing that sticks on one of ten. */
const opened: OpenedStudy = {
  study: coarseStudy(
    {
      flights: 500,
      inputs: {
        'landing.igniterFails': { kind: 'chance', probability: 0.3 },
        'ascent.casingStuck': { kind: 'chance', probability: 0.1 },
        'wind.speed': { kind: 'uniform', low: 0, high: 0.5 },
        'alignment.y': { kind: 'normal', mean: 0, sd: 0.0005 },
      },
    },
    25,
  ),
  warnings: [],
  foretold: [],
  text: 'title: made by a test\n',
};
const options: ClimbOptions = { wish: 0.9, by: 'input', strength: 'perfect', flights: 600 };

describe('climb', async () => {
  const { staircase } = await climb(opened, options);

  it('takes what costs most landings first, then the next, and stops', () => {
    const fixes = staircase.steps.filter(({ kind }) => kind !== 'retuning');
    expect(fixes.slice(0, 2).map(({ kind, name }) => [kind, name])).toEqual([
      ['input', 'landing.igniterFails'],
      ['input', 'ascent.casingStuck'],
    ]);
    const [igniter] = fixes;
    // Three in ten of what otherwise lands.
    expect(igniter.interval?.[0]).toBeLessThan(0.3);
    expect(igniter.interval?.[1]).toBeGreaterThan(0.15);
    expect(igniter.chosen?.candidates).toBeGreaterThan(4);
    expect(staircase.refused.map(({ name }) => name)).not.toContain('landing.igniterFails');
  });

  it('reports on the study’s own luck: the flights that rank and fly show', async () => {
    const { ranking } = await rankFixes(opened, { flights: 300, fixes: ['landing.igniterFails=perfect'] });
    expect(staircase.programmed?.odds.landed).toBe(ranking.odds?.landed);
    expect(staircase.flights).toBe(300);
  });

  it('adds up: each gain is the pairs with the stage before', () => {
    const stages = [staircase.programmed, ...staircase.steps];
    staircase.steps.forEach(({ counts, gain, odds }, i) => {
      expect(counts.both + counts.secondOnly).toBe(stages[i]?.odds.landed);
      expect(counts.both + counts.firstOnly).toBe(odds.landed);
      expect(gain).toBeCloseTo((counts.firstOnly - counts.secondOnly) / 300, 12);
    });
    const left = staircase.remaining.reduce((sum, { flights }) => sum + flights, 0);
    expect(left).toBe(300 - (staircase.steps.at(-1)?.odds.landed ?? Number.NaN));
  });

  it('is read back as it was written, and its text has no hole', () => {
    expect(staircaseSchema.parse(JSON.parse(JSON.stringify(staircase)))).toEqual(staircase);
    expect(staircaseText(staircase, 'rules')).not.toMatch(/NaN|undefined|null|Infinity/);
  });

  it('says what to look at by the touchdowns that were flown', () => {
    const tipped = { ...staircase, remaining: [{ ...staircase.remaining[0], outcome: 'tipped over' as const }] };
    for (const model of ['rules', 'springs'] as const) {
      expect(staircaseText(tipped, model)).toContain(outcomeMeaning('tipped over', model).lookAt);
    }
    expect(outcomeMeaning('tipped over', 'springs')).not.toEqual(outcomeMeaning('tipped over', 'rules'));
  });

  it('does not depend on threads and chunks', async () => {
    const again = await climb(opened, { ...options, threads: 1, chunk: 37 });
    expect(again.staircase).toEqual(staircase);
  });
});

describe('constants follow', () => {
  it('a study whose constants are stale is retuned first, and lands more by it', async () => {
    const [choice] = opened.study.rules;
    // Three metres too low.
    const low = { ...choice, constants: { ...choice.constants, height: choice.constants.height - 3 } };
    // At the full rate, for which the constants were made.
    const stale = { ...opened, study: demoStudy({ ...opened.study, computer: demoStudy().computer, rules: [low] }) };
    const { staircase } = await climb(stale, { ...options, wish: 0.3 });
    const [first] = staircase.steps;
    expect(first.kind).toBe('retuning');
    expect(first.shift?.shift).toBeGreaterThan(1);
    expect(first.interval?.[0]).toBeGreaterThan(0.2);
    expect(staircase.programmed?.shift).toBeNull();
  });
});

describe('how a climb ends', () => {
  it('at once where the wish is met as it is', async () => {
    const { staircase } = await climb(opened, { ...options, wish: 0.3 });
    expect(staircase).toMatchObject({ stoppedBy: 'wish', end: 'reached' });
    expect(staircase.steps.filter(({ kind }) => kind !== 'retuning')).toEqual([]);
    expect(staircaseOpening(staircase)).toMatch(/ nothing mended the vehicle lands .* The wish of 30 % is met\.$/);
  });

  it('with what remains, and a ceiling, where no spread is to blame', async () => {
    // Nothing lands this softly, whatever is held.
    const strict = { ...opened, study: coarseStudy({ ...opened.study, limits: { ...opened.study.limits, slide: 0.001 } }, 25) };
    const { staircase } = await climb(strict, { ...options, wish: 0.8 });
    expect(staircase).toMatchObject({ stoppedBy: 'nothing helps', end: 'missed' });
    expect(staircase.everything?.odds.interval?.[1]).toBeLessThan(0.8);
    const words = staircaseOpening(staircase);
    expect(words).toContain('The wish of 80 % is not met: no other fix of the list is shown to help with 300 flights each.');
    expect(words).toContain('the rest is in the design');
    expect(words).toMatch(/What remains: \S+/);
  });

  it('refuses too few flights before it flies', async () => {
    await expect(climb(opened, { ...options, flights: 100 })).rejects.toThrow('--flights: read 100; retuning needs');
  });
});

describe('candidates', () => {
  const { study } = opened;
  const subjects = [...groupSubjects(study, []), ...noiseSubjects(study)];
  const asked = [readFix(study, 'phases.replay=on', subjects)];
  const all = (taken: Parameters<typeof candidatesOf>[4] = []) => candidatesOf(study, subjects, asked, 'half', taken);

  it('are halves first, the rest of a thing once it is halved, then no more of it; what was asked for once', () => {
    const first = all();
    expect(first.map(({ strength }) => strength)).toEqual(['asked', ...subjects.map(() => 'half')]);
    const gusts = first.filter(({ name }) => name === 'gusts');
    expect(all(gusts).filter(({ name }) => name === 'gusts')).toMatchObject([{ strength: 'perfect' }]);
    const both = [...gusts, ...all(gusts).filter(({ name }) => name === 'gusts')];
    expect(all(both).filter(({ name }) => name === 'gusts')).toEqual([]);
    expect(all(first.slice(0, 1)).map(({ strength }) => strength)).not.toContain('asked');
  });

  it('have no half where the strength of a noise varies', () => {
    const varied = coarseStudy({ ...study, inputs: { ...study.inputs, 'wind.gustScale': { kind: 'uniform', low: 0.5, high: 1.5 } } });
    const found = candidatesOf(varied, noiseSubjects(varied), [], 'half', []);
    expect(found.find(({ name }) => name === 'gusts')?.strength).toBe('perfect');
  });
});
