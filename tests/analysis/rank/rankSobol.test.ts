/** The variance-based path from plan and sampler to shares, with closed forms standing in for the flight. */
import { describe, expect, it } from 'vitest';
import { planBlocks } from '../../../src/analysis/rank/rankSobol.ts';
import { groupSubjects, inputSubjects, joinCorrelated, type Subject } from '../../../src/analysis/rank/rankSubjects.ts';
import { type BlockOutputs, sharesOf } from '../../../src/analysis/rank/sobolShares.ts';
import { CATALOGUE, inputIndex } from '../../../src/inputs/catalogue.ts';
import type { Distribution } from '../../../src/inputs/distributions.ts';
import { stream } from '../../../src/maths/streams.ts';
import { makeSampler } from '../../../src/sampling/sampler.ts';
import { ishigami } from '../../helpers/closedForms.ts';
import { demoStudy } from '../../helpers/studyForTests.ts';

const unit: Distribution = { kind: 'uniform', low: 0, high: 1 };
const KEYS = ['air.axialFactor', 'wind.speed', 'wind.gustScale'] as const;
const study = demoStudy({ inputs: Object.fromEntries(KEYS.map((key) => [key, unit])) });
const noise: Subject = { name: 'in-flight noise', kind: 'noise', keys: [] };

/** Every block drawn as the fleet's workers would, and a function in place of the flight. */
function flown(
  subjects: readonly Subject[],
  size: number,
  pairs: boolean,
  f: (u: readonly number[], noiseKey: string) => number,
): BlockOutputs[] {
  const row = new Float64Array(CATALOGUE.length);
  return planBlocks(subjects, size, pairs).map(({ plan }) => {
    const sampler = makeSampler(study, plan);
    const sink = Float64Array.from({ length: size }, (_, i) => {
      sampler.draw(i + 1, row);
      return f(
        KEYS.map((key) => row[inputIndex(key)]),
        sampler.noiseKey(i + 1),
      );
    });
    return { sink, success: sink };
  });
}

describe('the variance-based path', () => {
  const subjects = [...inputSubjects(study), noise];
  // Noise of the flight adds Ishigami's variance once more: every share halves, and noise has the other half.
  const half = Math.sqrt(ishigami.variance * 12);
  const noisy = (u: readonly number[], key: string): number => ishigami.f(u) + half * (stream(key)() - 0.5);

  it.each([false, true])('gives Ishigami’s shares, halved by as much noise, and noise its own half (pairs: %s)', (pairs) => {
    const shares = sharesOf(flown(subjects, 4096, pairs, noisy), subjects, 4096, 'sink', pairs, 'test');
    if (shares === null) throw new Error('no shares');
    const of = (name: string) => {
      const found = shares.subjects.find((one) => one.name === name);
      if (found === undefined) throw new Error(`no ${name}`);
      return found;
    };
    // 0.04: four standard errors of the widest of these at 4,096 rows drawn independently; the design is at least as
    // even.
    KEYS.forEach((key, i) => {
      expect(Math.abs(of(key).first.estimate - ishigami.first[i] / 2)).toBeLessThan(0.04);
      expect(Math.abs(of(key).total.estimate - ishigami.total[i] / 2)).toBeLessThan(0.04);
    });
    expect(Math.abs(of('in-flight noise').first.estimate - 0.5)).toBeLessThan(0.04);
    expect(Math.abs(of('in-flight noise').total.estimate - 0.5)).toBeLessThan(0.04);
    expect(of('in-flight noise').place).toEqual({ best: 1, worst: 1 });
    // Ishigami's first-order shares sum to 0.7563; halved, and the noise's half to it
    const alone = ishigami.first.reduce((sum, one) => sum + one / 2, 0.5);
    expect(shares.alone.interval[0]).toBeLessThanOrEqual(alone);
    expect(shares.alone.interval[1]).toBeGreaterThanOrEqual(alone);
    expect(shares.alone.interval[1] - shares.alone.interval[0]).toBeLessThan(0.25);
    expect(Math.abs(shares.variance / (2 * ishigami.variance) - 1)).toBeLessThan(0.06);
    if (!pairs) return expect(shares.pairs).toBeNull();
    const [largest] = shares.pairs ?? [];
    expect([largest.a, largest.b]).toEqual([KEYS[0], KEYS[2]]);
    expect(Math.abs(largest.estimate - ishigami.second13 / 2)).toBeLessThan(0.06);
    expect(shares.pairs).toHaveLength(6);
  });

  it('ranks groups: inputs exchanged together have their interaction among themselves', () => {
    const groups = [...groupSubjects(study, ['one and three=air.axialFactor,wind.gustScale']), noise];
    const shares = sharesOf(
      flown(groups, 4096, false, (u) => ishigami.f(u)),
      groups,
      4096,
      'sink',
      false,
      'test',
    );
    const group = shares?.subjects.find(({ name }) => name === 'one and three');
    const whole = ishigami.first[0] + ishigami.second13;
    expect(Math.abs((group?.first.estimate ?? 0) - whole)).toBeLessThan(0.04);
    expect(Math.abs((group?.total.estimate ?? 0) - whole)).toBeLessThan(0.04);
    const idle = shares?.subjects.find(({ kind }) => kind === 'noise');
    expect(idle?.total.estimate).toBe(0);
  });

  it('covers: over 60 scrambles the interval holds the true total share at least as often as it says', () => {
    let covered = 0;
    for (let seed = 0; seed < 60; seed++) {
      const own = demoStudy({ seed: `${seed}`, inputs: study.inputs });
      const blocks = planBlocks(subjects, 256, false).map(({ plan }) => {
        const sampler = makeSampler(own, plan);
        const row = new Float64Array(CATALOGUE.length);
        const sink = Float64Array.from({ length: 256 }, (_, i) => {
          sampler.draw(i + 1, row);
          return noisy(
            KEYS.map((key) => row[inputIndex(key)]),
            sampler.noiseKey(i + 1),
          );
        });
        return { sink, success: sink };
      });
      const total = sharesOf(blocks, subjects, 256, 'sink', false, `${seed}`)?.subjects.find(({ name }) => name === KEYS[0])?.total;
      if (total && total.interval[0] <= ishigami.total[0] / 2 && total.interval[1] >= ishigami.total[0] / 2) covered++;
    }
    // 95 % of 60 less three standard errors (2.8 % each).
    expect(covered).toBeGreaterThanOrEqual(52);
  });

  it('leaves a row out of every block when one of its flights has no result, and counts it', () => {
    const blocks = flown(subjects, 512, false, noisy);
    const marred = blocks.map((block, b) => ({ ...block, sink: block.sink.map((value, i) => (i === 7 * b ? Number.NaN : value)) }));
    const shares = sharesOf(marred, subjects, 512, 'sink', false, 'test');
    expect(shares).toMatchObject({ rows: 512 - blocks.length, leftOut: blocks.length });
    expect(shares?.subjects.every(({ total }) => Number.isFinite(total.estimate))).toBe(true);
  });

  it('shares out nothing where the output hardly varies', () => {
    expect(
      sharesOf(
        flown(subjects, 256, false, () => 1),
        subjects,
        256,
        'sink',
        false,
        'test',
      ),
    ).toBeNull();
    const rare = flown(subjects, 256, false, (u) => (u[0] < 0.01 ? 1 : 0));
    expect(sharesOf(rare, subjects, 256, 'sink', false, 'test')).toBeNull();
  });
});

describe('joinCorrelated', () => {
  const tied = demoStudy({ inputs: study.inputs, correlations: [{ a: 'air.axialFactor', b: 'wind.speed', rank: 0.4 }] });

  it('puts correlated inputs into one and says so; the sampler accepts every block then', () => {
    const { subjects, notes } = joinCorrelated(tied, inputSubjects(tied));
    expect(subjects.map(({ name }) => name)).toEqual(['air.axialFactor + wind.speed', 'wind.gustScale']);
    expect(notes).toEqual([
      'air.axialFactor, wind.speed are correlated, so their shares cannot be parted: 2 are ranked as one, "air.axialFactor + wind.speed"',
    ]);
    for (const { plan } of planBlocks([...subjects, noise], 256, true)) expect(() => makeSampler(tied, plan)).not.toThrow();
  });

  it('leaves groups alone that hold them already', () => {
    const groups = groupSubjects(tied, ['all=air.*,wind.*']);
    expect(joinCorrelated(tied, groups)).toEqual({ subjects: groups, notes: [] });
  });
});
