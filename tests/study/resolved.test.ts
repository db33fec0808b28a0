/** A study written out in full is the same study. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import type { Distribution } from '../../src/inputs/distributions.ts';
import { resolvedYaml } from '../../src/study/resolved.ts';
import type { Study } from '../../src/study/study.ts';
import { demoStudy } from '../helpers/studyForTests.ts';
import { plainText, read } from './plainStudy.ts';

const between = (low: number, high: number) => fc.double({ min: low, max: high, noNaN: true });

/** Any distribution well inside an input's bounds. */
function distributionWithin(low: number, high: number): fc.Arbitrary<Distribution> {
  const at = (share: number) => low + share * (high - low);
  const inner = between(at(0.4), at(0.6));
  const sd = between(0.001 * (high - low), 0.02 * (high - low));
  const ends = fc.tuple(between(at(0.3), at(0.45)), between(at(0.55), at(0.7)));
  const weights = fc.array(between(0.01, 1), { minLength: 1, maxLength: 5 });
  const kinds: fc.Arbitrary<Distribution>[] = [
    inner.map((value) => ({ kind: 'fixed', value })),
    fc.tuple(inner, sd).map(([mean, s]) => ({ kind: 'normal', mean, sd: s })),
    fc.tuple(inner, sd, between(3, 40)).map(([mean, scale, freedom]) => ({ kind: 'student', mean, scale: 0.1 * scale, freedom })),
    fc.tuple(between(at(0.45), at(0.55)), sd, ends).map(([mean, s, [a, b]]) => ({ kind: 'truncatedNormal', mean, sd: s, low: a, high: b })),
    ends.map(([a, b]) => ({ kind: 'uniform', low: a, high: b })),
    fc.tuple(ends, between(at(0.45), at(0.55))).map(([[a, b], mode]) => ({ kind: 'triangular', low: a, mode, high: b })),
    fc.tuple(ends, between(0.1, 9), between(0.1, 9)).map(([[a, b], alpha, beta]) => ({ kind: 'beta', alpha, beta, low: a, high: b })),
    fc
      .array(inner, { minLength: 1, maxLength: 5 })
      .map((values) => ({ kind: 'measured', values: values.sort((a, b) => a - b), as: 'resample', bandwidth: 0 })),
    fc
      .tuple(fc.array(inner, { minLength: 1, maxLength: 5 }), sd)
      .map(([values, bandwidth]) => ({ kind: 'measured', values: values.sort((a, b) => a - b), as: 'smooth', bandwidth })),
    fc.tuple(weights, between(at(0.4), at(0.5)), sd).map(([parts, first, step]) => {
      const sum = parts.reduce((a, b) => a + b, 0);
      return { kind: 'discrete', values: parts.map((_, i) => first + i * step), weights: parts.map((w) => w / sum) };
    }),
  ];
  if (low >= 0) kinds.push(fc.tuple(inner, between(0.001, 0.05)).map(([median, logSd]) => ({ kind: 'lognormal', median, logSd })));
  return fc.oneof(...kinds);
}

const inputs: fc.Arbitrary<Study['inputs']> = fc
  .subarray([...CATALOGUE], { minLength: 1, maxLength: 12 })
  .chain((rows) =>
    fc.tuple(
      ...rows.map((row) =>
        row.type === 'yesNo'
          ? between(0, 1).map((probability): [string, Distribution] => [row.key, { kind: 'chance', probability }])
          : distributionWithin(row.low, row.high).map((d): [string, Distribution] => [row.key, d]),
      ),
    ),
  )
  .map((entries) => Object.fromEntries(entries));

describe('a study written out', () => {
  it('and read again is the same study, whatever varies in it and however', async () => {
    await fc.assert(
      fc.asyncProperty(inputs, between(0.2, 0.9), fc.boolean(), fc.boolean(), async (varying, height, fitted, scheduled) => {
        const demo = demoStudy();
        const study = demoStudy({
          seed: '0',
          inputs: varying,
          correlations: [],
          sensors: {
            ...demo.sensors,
            rounding: fitted,
            barometer: fitted ? { noise: height, lag: 0.1 * height, speedGain: 0.5, heightGain: 1 } : null,
          },
          control: { ...demo.control, torqueScheduling: scheduled ? demo.control.torqueScheduling : null },
          limits: { ...demo.limits, radius: scheduled ? 30 * height : null },
          site: { ...demo.site, latitude: fitted ? height : null },
          rules: [
            { name: 'one', kind: 'apogeeLine', constants: { c0: -height, c1: height }, lead: height, tiltGuard: 0.5, insideTick: fitted },
          ],
        });
        expect((await read(resolvedYaml(study))).study).toEqual(study);
      }),
      { seed: 41, numRuns: 60 },
    );
  });

  it('keeps correlations, releases at a height and texts that look like numbers', async () => {
    const demo = demoStudy();
    const study = demoStudy({
      seed: '007',
      title: '12',
      correlations: [{ a: 'ascent.impulseFactor', b: 'landing.impulseFactor', rank: -0.25 }],
      vehicle: { ...demo.vehicle, legs: { ...demo.vehicle.legs, release: { kind: 'atHeight', height: 12.5 } } },
    });
    expect((await read(resolvedYaml(study))).study).toEqual(study);
  });

  it('states the settings and the defaults', async () => {
    const { text, study } = await read(plainText(), ['wind.speed=3', 'ruleDefaults.lead=0.25']);
    expect(text).toContain('wind.speed: 3\n');
    expect(text).toContain('lead: 0.25');
    expect(text).toContain('windExponent: 0.14285714285714285');
    expect((await read(text)).study).toEqual(study);
  });

  it('is plain data, frozen to the bottom', async () => {
    const { study } = await read(plainText());
    expect(structuredClone(study)).toEqual(study);
    const frozen = (value: unknown): boolean =>
      typeof value !== 'object' || value === null || (Object.isFrozen(value) && Object.values(value).every(frozen));
    expect(frozen(study)).toBe(true);
  });
});
