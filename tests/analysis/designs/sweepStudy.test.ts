import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { tableFromIPC } from '@uwdata/flechette';
import { afterAll, describe, expect, it } from 'vitest';
import type { Sweep } from '../../../src/analysis/designs/sweep.ts';
import { type SweepOptions, sweepStudy } from '../../../src/analysis/designs/sweepStudy.ts';
import { flyStudy } from '../../../src/analysis/fly/flyStudy.ts';
import { readAnswers } from '../../../src/analysis/read/readAnswers.ts';
import { OUTCOMES } from '../../../src/flight/outputs.ts';
import { spreadWords, sweepFinding } from '../../../src/report/sweepWords.ts';
import { clopperPearson } from '../../../src/statistics/proportions/binomial.ts';
import { openStudy } from '../../../src/study/load.ts';
import { studyHash } from '../../../src/study/studyHash.ts';

const root = mkdtempSync(join(tmpdir(), 'alight-sweep-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));
const STUDY = 'studies/thistledown.yaml';
const sweep = async (options: Partial<SweepOptions>): Promise<Sweep> =>
  (await sweepStudy(STUDY, { over: [], asProgrammed: true, threads: 1, overrides: ['flights=60'], ...options })).sweep;

describe('a sweep', () => {
  it('flies at each value what the study with that value flies, and keeps it', async () => {
    const out = join(root, 'one');
    const found = await sweep({ over: ['rules.fixed-height.height=5..11 m'], steps: 3, out });
    expect(found.points.map(({ values }) => values)).toEqual([['5 m'], ['8 m'], ['11 m']]);
    for (const { values, odds, outcomes, sink, studyHash } of found.points) {
      const alone = (await flyStudy(await openStudy(STUDY, { set: ['flights=60', `rules.fixed-height.height=${values[0]}`] }))).summary;
      expect({ odds, sink, studyHash }).toEqual({
        odds: alone.odds,
        sink: alone.touchdown.measures.sink.quantiles,
        studyHash: alone.studyHash,
      });
      expect(outcomes[OUTCOMES.indexOf('landed')]).toBe(odds.landed);
      expect(outcomes.reduce((sum, n) => sum + n, 0)).toBe(60);
    }
    expect(readdirSync(out).sort()).toEqual(['run.json', 'study.yaml', 'sweep.arrow', 'sweep.json']);
    expect(readAnswers(out).sweep).toEqual(found);
    const table = tableFromIPC(readFileSync(join(out, 'sweep.arrow')));
    expect([...(table.getChild('number1') ?? [])]).toEqual([5, 8, 11]);
    expect([...(table.getChild('landed') ?? [])]).toEqual(found.points.map(({ odds }) => odds.landed));
  });

  it('has bands that hold together, and calls nothing worse that no other is shown to beat', async () => {
    const found = await sweep({ over: ['rules.fixed-height.height=1,6.9,7,7.1m'], overrides: ['flights=150'] });
    expect(found.bandLevel).toBeCloseTo(1 - 0.05 / 4, 12);
    for (const { odds, band } of found.points) expect(band).toEqual(clopperPearson(odds.landed, odds.counted, found.bandLevel));
    // lighting six metres lower lands hardly any: far beyond luck at 150 flights; a tenth of a metre is far within it
    expect(found.points.map(({ verdict }) => (verdict === 'worse' ? 'worse' : 'not worse'))).toEqual([
      'worse',
      'not worse',
      'not worse',
      'not worse',
    ]);
    expect(found.points.filter(({ verdict }) => verdict === 'best')).toHaveLength(1);
    expect(found.points[0].heightMiss?.stale).toBe(true);
    expect(sweepFinding(found)).toMatch(/^Best of 4: rules\.fixed-height\.height (6\.9|7|7\.1) m, landing \d+ %; cannot be told from it: /);
  });

  it('moves an input with its spread, holds it where asked to, and says which', async () => {
    const over = ['airframe.mass=0.9,1kg'];
    const set = ['flights=60'];
    const kept = await sweep({ over, overrides: set });
    const held = await sweep({ over, overrides: set, hold: true });
    expect([kept.axes[0].spread, held.axes[0].spread]).toEqual(['kept', 'held']);
    // As a study would say the two.
    const wide = await openStudy(STUDY, { set: [...set, 'inputs.airframe.mass={ normal: { mean: 1 kg, sd: 9.3 g } }'] });
    expect(kept.points[1].odds).toEqual((await flyStudy(wide)).summary.odds);
    expect(kept.points[1].odds).not.toEqual(held.points[1].odds);
    const narrow = await openStudy(STUDY, { set: [...set, 'airframe.mass=1 kg'] });
    expect(held.points[1].studyHash).toBe(studyHash(narrow.text));
    expect(spreadWords(kept.axes)).toEqual(['airframe.mass varies about each value as it does in the study; --hold holds it there']);
  });

  it('holds what the day brings', async () => {
    const { axes } = await sweep({ over: ['wind.speed=1,3m/s', 'site.temperature=5,25degC'], overrides: ['flights=10'] });
    expect(axes.map(({ spread }) => spread)).toEqual(['held', 'held']);
  });

  it('takes the value of a chance for its probability, and a direction without a middle as it is', async () => {
    const { axes, points } = await sweep({ over: ['landing.igniterFails=0,100%', 'rail.azimuth=0,90deg'], overrides: ['flights=10'] });
    expect(axes.map(({ spread }) => spread)).toEqual(['kept', 'held']);
    expect(points.slice(2).map(({ odds }) => odds.landed)).toEqual([0, 0]);
    expect(points[2].outcomes[OUTCOMES.indexOf('no landing thrust')]).toBeGreaterThan(5);
  });

  it('the impulse beside a factor that is moved is that of its middle', async () => {
    const { points } = await sweep({ over: ['landing.impulseFactor=1,1.1'], overrides: ['flights=10'] });
    expect(points[1].impulse.landing / points[0].impulse.landing).toBeCloseTo(1.1, 9);
  });

  it('goes over motor files and two numbers at once, with the impulse beside each', async () => {
    const over = ['landing.curve=thistledown-landing.csv,thistledown-ascent.csv', 'gimbal.limit=4,6deg'];
    const { points, axes } = await sweep({ over, overrides: ['flights=10'] });
    expect(axes.map(({ values }) => values.length)).toEqual([2, 2]);
    // the areas under the two curves, as the study's comments give them
    expect(points.map(({ impulse }) => impulse.landing.toFixed(1))).toEqual(['59.2', '59.2', '50.1', '50.1']);
  });

  it('retunes each value unless told not to', async () => {
    const { points, asProgrammed } = await sweep({ over: ['phases.replay=off,on'], asProgrammed: false, overrides: ['flights=500'] });
    expect(asProgrammed).toBe(false);
    expect(points[1].retuned?.shift).toBeGreaterThan(2);
    expect(points[1].odds.landed).toBeGreaterThan(0.5 * points[0].odds.landed);
  });

  it('interrupted, keeps the points flown whole and names the others', async () => {
    const stop = new AbortController();
    const found = await sweep({
      over: ['rules.fixed-height.height=6,7,8m'],
      overrides: ['flights=200'],
      threads: 1,
      chunk: 50,
      stopSignal: stop.signal,
      onProgress: ({ done, limit }) => {
        expect(limit).toBe(600);
        if (done >= 250) stop.abort();
      },
    });
    expect(found.stoppedBy).toBe('interrupted');
    expect(found.points.map(({ values }) => values[0])).toEqual(['6 m']);
    expect(found.unfinished).toEqual(['rules.fixed-height.height=7 m', 'rules.fixed-height.height=8 m']);
  });

  it.each([
    [{ over: [] }, '--over: read 0; expected one or two'],
    [{ over: ['a=1,2', 'a=3,4'] }, '--over: read a twice'],
    [{ over: ['flights=10,20'] }, '--over flights: expected a number of the vehicle or the day'],
    [{ over: ['vehicle.airframe.mas=1,2kg'] }, '--over vehicle.airframe.mas=1 kg: unknown path'],
    [{ over: ['vehicle.airframe.mass=1,2s'] }, '--over vehicle.airframe.mass=1 s: vehicle.airframe.mass: read "1 s"'],
    [{ over: ['wind.speed=1..2'], steps: 300 }, '--over: read 300 points; expected at most 200'],
    [{ over: ['wind.speed=1..2'], asProgrammed: false }, '--flights: read 60; retuning needs at least 500'],
    [{ over: ['wind.speed=1..2'], rule: 'fixed' }, '--rule: read "fixed"'],
  ])('refuses %j before anything is made', async (options, message) => {
    const out = join(root, 'refused');
    await expect(sweep({ ...options, out })).rejects.toThrow(message);
    expect(readdirSync(root)).not.toContain('refused');
  });
});
