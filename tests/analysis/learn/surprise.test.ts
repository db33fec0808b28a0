/** Surprise of what was seen, where simulated flights are a known function of one input's score. */
import { describe, expect, it } from 'vitest';
import { columnOf } from '../../../src/analysis/learn/likelihood.ts';
import type { Posterior } from '../../../src/analysis/learn/posterior.ts';
import { scoreOf, scoresOf } from '../../../src/analysis/learn/scores.ts';
import { surpriseOf } from '../../../src/analysis/learn/surprise.ts';
import type { Logbook, Observation, Sight } from '../../../src/analysis/logbook/logbook.ts';
import { OUTCOMES } from '../../../src/flight/outputs.ts';
import { inputIndex } from '../../../src/inputs/catalogue.ts';
import { normalQuantile } from '../../../src/maths/normal.ts';
import { stream } from '../../../src/maths/streams.ts';
import { demoStudy } from '../../helpers/studyForTests.ts';

const STUDY = demoStudy();
const having = { electronics: '1', airframe: '1', batch: '1', day: '1' };
const setting = { rule: 'fixed height', constants: {}, pins: {}, having };
const N = 1000;

/** Apogee 50 m + 5 m for each sd of the ascent impulse; every second flight lands, the others lean. */
function surpriseAt(...sights: readonly { readonly key: Observation['key']; readonly sight: Sight }[]) {
  const observations = sights.map((one): Observation => ({ ...one, misjudged: 0.02, place: 'x:1:1', words: 'w' }));
  const logbook: Logbook = {
    title: 't',
    columns: null,
    attempts: [{ name: 'hop', ...setting, observations, notSeen: [], log: null }],
    next: setting,
  };
  const scores = scoresOf(STUDY, [having, having], 1);
  const uniform = stream('surprise');
  const prior = Float64Array.from({ length: N * scores.dimensions }, () => normalQuantile(uniform()));
  const parts = scores.parts[0][scores.columns.indexOf(inputIndex('ascent.impulseFactor'))];
  const apogee = Float64Array.from({ length: N }, (_, i) => 50 + 5 * scoreOf(parts, prior, i * scores.dimensions));
  const outcome = Float64Array.from({ length: N }, (_, i) => OUTCOMES.indexOf(i % 2 === 0 ? 'landed' : 'leaned'));
  const foretold = [observations.map(({ key }) => (key === 'outcome' ? outcome : apogee))];
  // Only the prior's scores are looked at.
  const runs = [{ prior: { scores: prior } }] as unknown as Posterior['runs'];
  expect(columnOf(observations[0])).toBeGreaterThan(0);
  return surpriseOf(logbook, { scores, runs, foretold }, 'seed');
}

const apogeeOf = (value: number, error: number) => ({ key: 'apogee', sight: { kind: 'value', value, error } }) as const;
const word = (outcome: (typeof OUTCOMES)[number]) =>
  ({ key: 'outcome', sight: { kind: 'exactly', value: OUTCOMES.indexOf(outcome) } }) as const;

describe('surprise', () => {
  it('is the share of simulated flights as far out, to either side', () => {
    // 1.645 sd out: 10 % two-sided; standard error of a tail share of 5 % of 1,000 is 0.7 %, doubled: five of them.
    const [one] = surpriseAt(apogeeOf(50 + 1.645 * 5, 0.01)).observations;
    expect(Math.abs(one.share - 0.1)).toBeLessThan(0.07);
    expect(one.surprising).toBe(false);
    expect(one.culprits).toEqual([]);
  });

  it('takes the error of the sight in: seen to 10 m, 10 m out is usual', () => {
    const [one] = surpriseAt(apogeeOf(60, 10)).observations;
    expect(one.share).toBeGreaterThan(0.3);
  });

  it('names which input would have to lie how far out', () => {
    const { observations, joint } = surpriseAt(apogeeOf(72, 1));
    expect(observations[0].surprising).toBe(true);
    expect(observations[0].culprits[0].input).toBe('ascent.impulseFactor');
    // (72 - 50)/5; the fit draws slopes a little toward 0, and the sample's mean is off by 1/sqrt(1000).
    expect(Math.abs(observations[0].culprits[0].sds - 4.4)).toBeLessThan(0.15);
    expect(joint.share).toBeLessThan(0.005);
  });

  it('of a word: the share of words as rare; of one that never came, its chance to be a slip', () => {
    expect(surpriseAt(word('landed')).observations[0].share).toBeCloseTo(1, 9);
    const never = surpriseAt(word('slid')).observations[0];
    expect(never.share).toBeCloseTo(0.02, 6);
    expect(never.happened).toBeCloseTo(0.02, 6);
  });

  it('is adjusted for all that was seen, so that one far-out number among many is none', () => {
    const quiet = Array.from({ length: 9 }, () => apogeeOf(50, 1));
    const alone = surpriseAt(apogeeOf(50 + 5 * 2.33, 0.1)).observations[0];
    const among = surpriseAt(apogeeOf(50 + 5 * 2.33, 0.1), ...quiet).observations[0];
    expect(alone.surprising).toBe(true);
    expect(among.adjusted).toBeCloseTo(Math.min(1, 10 * among.share), 9);
    expect(among.surprising).toBe(false);
  });
});
