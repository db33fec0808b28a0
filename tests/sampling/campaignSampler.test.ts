/**
 * Draws of attempts in a row: marginal distributions that are what they were, correlation between two flights of a
 * vehicle that is the share, levels that nest, and one input's change that leaves the others alone.
 */
import { describe, expect, it } from 'vitest';
import { CATALOGUE, type InputKey, inputIndex } from '../../src/inputs/catalogue.ts';
import { cdf, type Distribution, quantile } from '../../src/inputs/distributions.ts';
import type { Shares } from '../../src/inputs/stays.ts';
import { varyingInputs } from '../../src/inputs/varying.ts';
import { normalQuantile } from '../../src/maths/normal.ts';
import { type CampaignSampler, makeCampaignSampler, type Occasion } from '../../src/sampling/campaignSampler.ts';
import { makeSampler } from '../../src/sampling/sampler.ts';
import type { Study } from '../../src/study/study.ts';
import { demoStudy } from '../helpers/studyForTests.ts';

const FIRST: Occasion = { campaign: 1, attempt: 1, airframe: 1, batch: 1, day: 1 };
const LEVELS: readonly Shares[] = [{ airframe: 0.6, flight: 0.4 }, { electronics: 1 }, { batch: 0.5, day: 0.3, flight: 0.2 }];
const KEYS: readonly InputKey[] = ['landing.ignitionDelay', 'wind.speed', 'air.rollAsymmetry'];
const STAYING = demoStudy({ stays: Object.fromEntries(KEYS.map((key, i) => [key, LEVELS[i]])) });

function drawn(study: Study, occasion: Partial<Occasion>): Float64Array {
  const out = new Float64Array(CATALOGUE.length);
  makeCampaignSampler(study).draw({ ...FIRST, ...occasion }, out);
  return out;
}

/** Keys whose value differs between two occasions. */
function changed(study: Study, a: Partial<Occasion>, b: Partial<Occasion>): InputKey[] {
  const [x, y] = [drawn(study, a), drawn(study, b)];
  return CATALOGUE.filter((_, column) => !Object.is(x[column], y[column])).map((row) => row.key);
}

describe('over many vehicles', () => {
  const N = 100_000;
  // Of the others none is looked at: each input's draws are its own.
  const few = { ...STAYING, inputs: Object.fromEntries(KEYS.map((key) => [key, STAYING.inputs[key]])) };
  const sampler = makeCampaignSampler(few);
  const pairs = KEYS.map(() => [new Float64Array(N), new Float64Array(N)]);
  const out = new Float64Array(CATALOGUE.length);
  for (let i = 0; i < N; i++) {
    for (const [which, occasion] of [FIRST, { ...FIRST, attempt: 2 }].entries()) {
      sampler.draw({ ...occasion, campaign: i + 1 }, out);
      for (const [k, key] of KEYS.entries()) pairs[k][which][i] = out[inputIndex(key)];
    }
  }

  it.each(KEYS.map((key, k) => [key, k] as const))('the marginal distribution of %s is what it was', (key, k) => {
    const distribution = cdf(STAYING.inputs[key] as Distribution);
    const sorted = pairs[k][1].slice().sort();
    let distance = 0;
    for (let i = 0; i < N; i++) {
      const p = distribution(sorted[i]);
      distance = Math.max(distance, Math.abs(p - i / N), Math.abs(p - (i + 1) / N));
    }
    // Kolmogorov's 99.9 % point.
    expect(distance * Math.sqrt(N)).toBeLessThan(1.95);
  });

  it.each([
    [0, 0.6],
    [1, 1],
    [2, 0.8],
  ])('two flights of one vehicle go together by what stays, in normal scores: input %d', (k, share) => {
    const distribution = cdf(STAYING.inputs[KEYS[k]] as Distribution);
    let sum = 0;
    for (let i = 0; i < N; i++) sum += normalQuantile(distribution(pairs[k][0][i])) * normalQuantile(distribution(pairs[k][1][i]));
    // Mean of the product of two standard normals: standard error sqrt((1 + r^2)/n); within 4 of them.
    expect(Math.abs(sum / N - share)).toBeLessThan(4 * Math.sqrt((1 + share * share) / N));
  });
});

describe('levels nest', () => {
  const fresh = varyingInputs(STAYING)
    .map((column) => CATALOGUE[column].key)
    .filter((key) => !KEYS.includes(key));

  it('a rebuild changes what stays with the airframe and nothing else', () => {
    expect(changed(STAYING, {}, { airframe: 2 })).toEqual(['landing.ignitionDelay']);
  });

  it('a day and a purchase change theirs, a flight its own, and a vehicle all', () => {
    expect(changed(STAYING, {}, { day: 2 })).toEqual(['air.rollAsymmetry']);
    expect(changed(STAYING, {}, { batch: 2 })).toEqual(['air.rollAsymmetry']);
    const chances = fresh.filter((key) => CATALOGUE[inputIndex(key)].type === 'yesNo');
    const own = changed(STAYING, {}, { attempt: 2 });
    expect(own).not.toContain('wind.speed');
    expect(own).toEqual(expect.arrayContaining([...fresh.filter((key) => !chances.includes(key)), 'landing.ignitionDelay']));
    expect(changed(STAYING, {}, { campaign: 2 })).toEqual(expect.arrayContaining(['wind.speed', 'air.rollAsymmetry']));
  });
});

it('chances stay too: with all of it staying, a leg that failed once fails always', () => {
  const study = demoStudy({
    stays: { 'legs.failure1': { airframe: 1 } },
    inputs: { 'legs.failure1': { kind: 'chance', probability: 0.5 } },
  });
  const leg = inputIndex('legs.failure1');
  const failures = Array.from({ length: 40 }, (_, i) => {
    const [first, second] = [1, 2].map((attempt) => drawn(study, { campaign: i + 1, attempt })[leg]);
    expect(second).toBe(first);
    return first;
  });
  expect(new Set(failures)).toEqual(new Set([0, 1]));
});

it('correlated inputs keep their rank correlation, and the part of it that stays', () => {
  const [a, b]: readonly InputKey[] = ['landing.impulseFactor', 'landing.burnTimeFactor'];
  const shares: Shares = { batch: 0.5, flight: 0.5 };
  const study = demoStudy({ stays: { [a]: shares, [b]: shares }, correlations: [{ a, b, rank: -0.8 }] });
  const sampler = makeCampaignSampler(study);
  const out = new Float64Array(CATALOGUE.length);
  const score = (key: InputKey): number => normalQuantile(cdf(study.inputs[key] as Distribution)(out[inputIndex(key)]));
  const N = 10_000;
  let same = 0;
  let next = 0;
  for (let campaign = 1; campaign <= N; campaign++) {
    sampler.draw({ ...FIRST, campaign }, out);
    const first = score(a);
    same += first * score(b);
    sampler.draw({ ...FIRST, campaign, attempt: 2 }, out);
    next += first * score(b);
  }
  const r = 2 * Math.sin((-0.8 * Math.PI) / 6);
  // Standard error of a mean product at most sqrt(2/n); within 4 of them.
  expect(Math.abs(same / N - r)).toBeLessThan(4 * Math.sqrt(2 / N));
  expect(Math.abs(next / N - r / 2)).toBeLessThan(4 * Math.sqrt(2 / N));
});

it('draws an attempt the same whatever was drawn before, and whatever the design; one more varying input changes no other', () => {
  const sampler = makeCampaignSampler(STAYING);
  const out = new Float64Array(CATALOGUE.length);
  for (const occasion of [{ campaign: 7, attempt: 5, day: 2 }, { campaign: 3 }, { campaign: 7, attempt: 6, day: 2 }, { campaign: 7 }]) {
    sampler.draw({ ...FIRST, ...occasion }, out);
    expect(out).toEqual(drawn({ ...STAYING, design: 'sobol' }, occasion));
  }
  const more: Study = { ...STAYING, inputs: { ...STAYING.inputs, 'gimbal.lag': { kind: 'normal', mean: 0.03, sd: 0.001 } } };
  const [x, y] = [drawn(STAYING, { campaign: 4 }), drawn(more, { campaign: 4 })];
  expect(CATALOGUE.filter((_, column) => x[column] !== y[column]).map((row) => row.key)).toEqual(['gimbal.lag']);
});

it('flights of the study’s own designs are what they are without it', () => {
  for (const design of ['independent', 'latinHypercube', 'sobol'] as const) {
    const [x, y] = [STAYING, demoStudy()].map((study) => {
      const out = new Float64Array(CATALOGUE.length);
      makeSampler({ ...study, design }, { kind: 'study', flights: 16 }).draw(9, out);
      return out;
    });
    expect(x).toEqual(y);
  }
});

describe('with some inputs held', () => {
  const held = ['landing.ignitionDelay', 'wind.speed'] as const;
  const draw = (sampler: CampaignSampler, occasion: Partial<Occasion>): Float64Array => {
    const out = new Float64Array(CATALOGUE.length);
    sampler.draw({ ...FIRST, ...occasion }, out);
    return out;
  };
  const without = makeCampaignSampler(STAYING);
  const sampler = makeCampaignSampler(STAYING, held);

  it('what stays is at its centre, what is fresh is as without, and no other input changes', () => {
    const median = quantile(STAYING.inputs['wind.speed'] as Distribution)(0.5);
    const fresh: number[] = [];
    const moved: string[] = [];
    for (let campaign = 1; campaign <= 4000; campaign++) {
      const [x, y] = [draw(without, { campaign }), draw(sampler, { campaign })];
      const other = CATALOGUE.filter((_, column) => !Object.is(x[column], y[column])).map(({ key }) => key);
      if (!other.includes('landing.ignitionDelay')) moved.push(`${campaign}: nothing`);
      moved.push(...other.filter((key) => !held.includes(key as (typeof held)[number])).map((key) => `${campaign}: ${key}`));
      if (y[inputIndex('wind.speed')] !== median) moved.push(`${campaign}: off its centre`);
      fresh.push(normalQuantile(cdf(STAYING.inputs['landing.ignitionDelay'] as Distribution)(y[inputIndex('landing.ignitionDelay')])));
    }
    expect(moved).toEqual([]);
    // The share that is fresh, 0.4, is all the variance there is: a mean square has the standard error v sqrt(2/n).
    const square = fresh.reduce((sum, z) => sum + z * z, 0) / fresh.length;
    expect(Math.abs(square - 0.4)).toBeLessThan(4 * 0.4 * Math.sqrt(2 / fresh.length));
  });

  it('misreadings are standard normal, of each attempt alone', () => {
    const errors = Array.from({ length: 4000 }, (_, i) => sampler.misreading(1 + (i % 200), 1 + Math.floor(i / 200)));
    expect(new Set(errors).size).toBe(4000);
    const square = errors.reduce((sum, z) => sum + z * z, 0) / errors.length;
    expect(Math.abs(square - 1)).toBeLessThan(4 * Math.sqrt(2 / errors.length));
  });
});

describe('a direction all round', () => {
  const direction = inputIndex('wind.direction');
  const TURN = 2 * Math.PI;
  const study = demoStudy({
    inputs: { 'wind.direction': { kind: 'uniform', low: 0, high: TURN } },
    stays: { 'wind.direction': { airframe: 0.4, day: 0.3, flight: 0.3 } },
  });
  const N = 20_000;
  const sampler = makeCampaignSampler(study);
  const out = new Float64Array(CATALOGUE.length);
  const at = (occasion: Partial<Occasion>): number => {
    sampler.draw({ ...FIRST, ...occasion }, out);
    return out[direction];
  };

  it('stays uniform, on every flight', () => {
    const sorted = Float64Array.from({ length: N }, (_, i) => at({ campaign: i + 1, attempt: 5, day: 2 }) / TURN).sort();
    const distance = sorted.reduce((most, p, i) => Math.max(most, Math.abs(p - i / N), Math.abs(p - (i + 1) / N)), 0);
    // Kolmogorov's 99.9 % point.
    expect(distance * Math.sqrt(N)).toBeLessThan(1.95);
  });

  it.each([
    ['of one day', { attempt: 2 }, 0.7],
    ['of two days', { attempt: 2, day: 2 }, 0.4],
    ['of two vehicles', { attempt: 2, day: 2, airframe: 2 }, 0],
  ] as const)(
    'two flights %s have what they share as the mean cosine of their difference, about north as about south',
    (_, other, share) => {
      const sums = [0, 0];
      const counts = [0, 0];
      for (let campaign = 1; campaign <= N; campaign++) {
        const first = at({ campaign });
        const side = Math.cos(first) > 0 ? 0 : 1;
        sums[side] += Math.cos(at({ campaign, ...other }) - first);
        counts[side]++;
      }
      // A cosine's standard deviation is at most 1; within four standard errors.
      for (const side of [0, 1]) expect(Math.abs(sums[side] / counts[side] - share)).toBeLessThan(4 / Math.sqrt(counts[side]));
    },
  );

  it('cannot be held at a middle it has not', () => {
    expect(() => makeCampaignSampler(study, ['wind.direction'])).toThrow('wind.direction has no middle direction');
  });
});
