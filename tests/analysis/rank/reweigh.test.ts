/** Halved spreads by reweighting, where the answer is known. */
import { describe, expect, it } from 'vitest';
import { type FlightColumns, outcomeIndex } from '../../../src/analysis/flights/flightColumns.ts';
import { groupSubjects } from '../../../src/analysis/rank/rankSubjects.ts';
import { reweigh } from '../../../src/analysis/rank/reweigh.ts';
import { CATALOGUE } from '../../../src/inputs/catalogue.ts';
import type { Distribution } from '../../../src/inputs/distributions.ts';
import { normalCdf } from '../../../src/maths/normal.ts';
import { makeSampler } from '../../../src/sampling/sampler.ts';
import type { Study } from '../../../src/study/study.ts';
import { demoStudy } from '../../helpers/studyForTests.ts';

/** Draws of the study; success by a function of the inputs by key. */
function flown(study: Study, flights: number, lands: (input: (key: string) => number) => boolean): FlightColumns {
  const sampler = makeSampler(study, { kind: 'study', flights });
  const row = new Float64Array(CATALOGUE.length);
  const columns = Object.fromEntries(Object.keys(study.inputs).map((key) => [key, new Float64Array(flights)]));
  const outcome = new Uint8Array(flights);
  for (let i = 0; i < flights; i++) {
    sampler.draw(i + 1, row);
    const input = (key: string): number => row[CATALOGUE.findIndex((r) => r.key === key)];
    for (const key of Object.keys(columns)) columns[key][i] = input(key);
    outcome[i] = outcomeIndex(lands(input) ? 'landed' : 'slid');
  }
  return { outcome, columns, number: Float64Array.from({ length: flights }, (_, i) => i + 1) };
}

const normal: Distribution = { kind: 'normal', mean: 1, sd: 0.05 };
const within = (sds: number): number => 2 * normalCdf(sds) - 1;

describe('reweigh', () => {
  it('covers what halving truly buys about 95 times in 100', () => {
    // Lands within one sd: halving makes it two.
    const truth = within(2) - within(1);
    let covered = 0;
    const trials = 200;
    for (let seed = 0; seed < trials; seed++) {
      const study = demoStudy({ seed: `${seed}`, inputs: { 'air.axialFactor': normal } });
      const [one] = reweigh(
        study,
        flown(study, 600, (input) => Math.abs(input('air.axialFactor') - 1) < 0.05),
        groupSubjects(study, []),
      );
      if (one.refused !== null) throw new Error(one.refused);
      if (one.interval[0] <= truth && one.interval[1] >= truth) covered++;
    }
    // Three standard errors of 200 trials (1.5 %) about 95 %.
    expect(covered / trials).toBeGreaterThan(0.9);
    expect(covered / trials).toBeLessThan(0.996);
  });

  it('knows what flights are worth: the mean square weight of a halved normal is 2/sqrt(1.75)', () => {
    const study = demoStudy({ inputs: { 'air.axialFactor': normal, 'air.lateralFactor': normal } });
    const flights = flown(study, 20000, (input) => input('air.axialFactor') > 1);
    const subjects = [
      ...groupSubjects(study, []),
      ...(['air.axialFactor'] as const).map((name) => ({ name, kind: 'input' as const, keys: [name] })),
    ];
    const [both, one] = reweigh(study, flights, subjects);
    // Integral of the narrow density squared over the wide one; within two in a hundred at 20,000 flights.
    expect((one.effectiveFlights ?? 0) / 20000 / (Math.sqrt(1.75) / 2)).toBeCloseTo(1, 1);
    expect(Math.abs((one.effectiveFlights ?? 0) / 20000 - Math.sqrt(1.75) / 2)).toBeLessThan(0.02);
    expect(Math.abs((both.effectiveFlights ?? 0) / 20000 - 1.75 / 4)).toBeLessThan(0.02);
  });

  it('halves a chance', () => {
    const study = demoStudy({ inputs: { 'landing.igniterFails': { kind: 'chance', probability: 0.4 } } });
    const [one] = reweigh(
      study,
      flown(study, 4000, (input) => input('landing.igniterFails') === 0),
      groupSubjects(study, []),
    );
    if (one.refused !== null) throw new Error(one.refused);
    // 0.8 - 0.6; four standard errors of a share at 4,000 flights.
    expect(Math.abs(one.gain - 0.2)).toBeLessThan(0.03);
  });

  it.each<[string, Record<string, Distribution>, Partial<Study>, RegExp]>([
    [
      'lists of values',
      { 'air.axialFactor': { kind: 'discrete', values: [0.9, 1.1], weights: [0.5, 0.5] } },
      {},
      /takes values from a list/,
    ],
    [
      'correlated inputs',
      { 'air.axialFactor': normal, 'air.lateralFactor': normal },
      { correlations: [{ a: 'air.axialFactor', b: 'air.lateralFactor', rank: 0.5 }] },
      /is correlated with another input/,
    ],
    ['draws held at a bound', { 'wind.gustScale': { kind: 'normal', mean: 0.1, sd: 0.3 } }, {}, /held at its bounds/],
    [
      'too few effective flights',
      Object.fromEntries(['X', 'Y', 'Z'].map((axis) => [`accelerometer.bias${axis}`, { kind: 'normal', mean: 0, sd: 0.03 }])),
      {},
      /^worth \d+ flights only, under 200$/,
    ],
  ])('refuses %s, and says why', (_, inputs, more, why) => {
    const study = demoStudy({ inputs, ...more });
    const [one] = reweigh(
      study,
      flown(study, 400, () => true),
      groupSubjects(study, []),
    );
    expect(one.refused).toMatch(why);
    expect(one).not.toHaveProperty('gain');
  });

  it('leaves a direction that may be any out of its group, by whatever turn it is written, and refuses it alone', () => {
    for (const low of [0, -Math.PI]) {
      const study = demoStudy({
        seed: '1',
        inputs: {
          'wind.speed': { kind: 'uniform', low: 1, high: 3 },
          'wind.direction': { kind: 'uniform', low, high: low + 2 * Math.PI },
        },
      });
      const flights = flown(study, 1000, (input) => input('wind.speed') < 2.2);
      const [wind, alone] = reweigh(study, flights, [
        { name: 'wind', kind: 'group', keys: ['wind.speed', 'wind.direction'] },
        { name: 'wind.direction', kind: 'input', keys: ['wind.direction'] },
      ]);
      expect(wind.refused).toBeNull();
      expect(alone.refused).toBe('wind.direction may be any direction: it has no middle');
    }
  });
});
